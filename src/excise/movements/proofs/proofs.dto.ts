import { Optional } from '../../../platform/validation/field.js';
import { IsId, IsPlainText } from '../../../platform/validation/fields.js';

export class NewProof {
  @IsPlainText({ max: 120 }, { description: 'Number of the proof of arrival or export.', example: 'PROOF-0001' })
  proof: string;

  @Optional()
  @IsId({ description: 'Who entered it.' })
  personId?: string;
}

export class MovementProof extends NewProof {
  @IsId()
  movementId: string;
}
