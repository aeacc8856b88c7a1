import type { Premises as PremisesRow } from '../../generated/prisma/client.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsDateOnly, IsFlag, IsId, IsInstant, IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';
import type { Stored } from '../settings/resource.service.js';
import { fromJson, listFromJson } from '../settings/stored-json.js';
import { ListOf } from '../../platform/openapi/list-of.js';

/** Approval of an authority for these premises. It is kept as given; no rule depends on it. */
export class Approval {
  @IsPlainText({ max: 120 }, { example: 'Customs office (invented)' })
  authority: string;

  @IsPlainText({ max: 60 }, { example: 'BR-0001' })
  number: string;

  @Optional()
  @IsDateOnly({ example: '2026-01-01' })
  validFrom?: string;

  @Optional()
  @IsDateOnly({ example: '2030-12-31' })
  validUntil?: string;
}

export class NewPremises {
  @IsPlainText({ max: 120 }, { example: 'Mill Lane' })
  name: string;

  @IsPlainText(
    { max: 60 },
    { description: 'IANA time zone; months and days of the books are those of this zone.', example: 'Europe/London' },
  )
  timeZone: string;

  @Optional()
  @NestedList(() => Approval, { max: 20 })
  approvals?: Approval[];

  @Optional()
  @IsPlainText({ max: 400, multiline: true }, { example: '1 Mill Lane, Sampleton (invented)' })
  address?: string;
}

export class PremisesChange {
  @Optional()
  @IsPlainText({ max: 120 })
  name?: string;

  @Optional()
  @NestedList(() => Approval, { max: 20 })
  approvals?: Approval[];

  @Optional()
  @IsPlainText({ max: 400, multiline: true })
  address?: string;

  @Optional()
  @IsFlag({
    description:
      'true retires premises that have no report; nothing is deleted. Those that have one are closed down instead.',
  })
  retired?: boolean;
}

/** Facts of the closing down of premises. */
export class ClosedDown {
  @IsId({ description: 'The period of the last report.' })
  lastPeriodId: string;

  @IsDateOnly({ description: 'Last day of that period.' })
  lastDay: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the notice to the authority.' })
  reference?: string;

  @Optional()
  @IsId()
  personId?: string;

  @IsId({ description: 'The key that entered it.' })
  keyId: string;
}

export class Premises extends NewPremises {
  @IsId()
  id: string;

  @IsWholeNumber({ min: 1, max: 2147483647 })
  version: number;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant()
  retiredAt?: string;

  @Optional()
  @Nested(() => ClosedDown, { description: 'Left out while they were not closed down.' })
  closedDown?: ClosedDown;
}

export class PremisesPage extends ListOf(Premises) {}

export type PremisesColumns = Pick<PremisesRow, 'name' | 'timeZone' | 'approvals' | 'address'> &
  Partial<Pick<PremisesRow, 'closingDown'>>;

export const approvalsOf = ({ approvals }: Pick<PremisesRow, 'approvals'>): Approval[] =>
  listFromJson(Approval, 'premises.approvals', approvals);

export const toPremises = (row: PremisesColumns & Stored): Premises => ({
  id: row.id,
  name: row.name,
  timeZone: row.timeZone,
  approvals: approvalsOf(row),
  ...(row.address === null ? {} : { address: row.address }),
  ...(row.closingDown === undefined || row.closingDown === null
    ? {}
    : { closedDown: fromJson(ClosedDown, 'premises.closing_down', row.closingDown) }),
  version: row.version,
  createdAt: row.createdAt.toISOString(),
  ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
});
