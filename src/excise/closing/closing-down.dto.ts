import { Optional } from '../../platform/validation/field.js';
import { IsId, IsPlainText } from '../../platform/validation/fields.js';
import { ClosedDown } from '../../tenancy/premises/premises.dto.js';

export class NewClosingDown {
  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the notice to the authority.', example: 'NOTICE-0007' })
  reference?: string;

  @Optional()
  @IsId({ description: 'Who closes them down; the key that entered it is kept in any case.' })
  personId?: string;
}

export class ClosingDown extends ClosedDown {
  @IsId()
  premisesId: string;

  @IsPlainText({ max: 200 }, { description: 'Address of the last report.' })
  report: string;
}
