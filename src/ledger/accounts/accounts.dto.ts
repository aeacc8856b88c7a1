import { STAGES } from '../figures/stages.js';
import { Figures } from '../books/litres.dto.js';
import { figureOf, toFigures } from '../figures/figure.js';
import { given } from '../operations/operations.dto.js';
import { ListOf } from '../../platform/openapi/list-of.js';
import { PageQuery } from '../../platform/pagination.js';
import { Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsOneOf, IsPlainText, IsQueryFlag, IsWholeNumber } from '../../platform/validation/fields.js';
import type { AccountRow } from './accounts.reader.js';

export class AccountQuery extends PageQuery {
  @Optional()
  @IsId({ description: 'Only those at these premises.' })
  premisesId?: string;

  @Optional()
  @IsOneOf(STAGES, { description: 'Only those of this stage.' })
  stage?: string;

  @Optional()
  @IsId({ description: 'Only those of the contents of this vessel.' })
  vesselId?: string;

  @Optional()
  @IsId({ description: 'Only those of this packaged lot.' })
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'Only those of this material lot.' })
  materialLotId?: string;

  @Optional()
  @IsQueryFlag({ description: 'true leaves out the empty ones.' })
  nonzero?: boolean;
}

export class Account extends Figures {
  @IsId()
  id: string;

  @IsPlainText({ max: 1600 }, { description: 'The account, readable; problems name it so.' })
  account: string;

  @IsPlainText({ max: 60 }, { example: 'liquid' })
  kind: string;

  @IsId()
  premisesId: string;

  @IsPlainText({ max: 120 })
  owner: string;

  @IsOneOf(['suspended', 'paid'])
  dutyStatus: string;

  @Optional()
  @IsOneOf(STAGES)
  stage?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @Optional()
  @IsId()
  materialLotId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @IsWholeNumber({ min: 1, max: Number.MAX_SAFE_INTEGER }, { description: 'Grows with each posting.' })
  version: number;

  @IsInstant({ description: 'The latest event on it.' })
  lastOccurredAt: string;
}

export class AccountPage extends ListOf(Account) {}

export const toAccount = (row: AccountRow): Account => {
  const { id, account, kind, premisesId, owner, dutyStatus, stage } = row;
  const { compositionId, vesselId, materialLotId, packagedLotId } = row;
  return {
    id,
    account,
    kind,
    premisesId,
    owner,
    dutyStatus,
    ...given({ stage, compositionId, vesselId, materialLotId, packagedLotId }),
    ...toFigures(figureOf(row)),
    version: Number(row.version),
    lastOccurredAt: row.lastOccurredAt.toISOString(),
  };
};
