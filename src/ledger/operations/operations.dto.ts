import { ApiProperty } from '@nestjs/swagger';
import { NOMINAL_KINDS } from '../books/account.js';
import { Figures, Litres, toLitres } from '../books/litres.dto.js';
import { figureOf, toFigures } from '../figures/figure.js';
import { ListOf } from '../../platform/openapi/list-of.js';
import { DayQuery } from '../../platform/pagination.js';
import { Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsOneOf, IsPattern, IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';
import type { ComponentRow, OperationRow, PostingRow } from './operations.reader.js';

const KIND = /^[a-z][a-z-]*$/;
const SEQUENCE = { min: 1, max: Number.MAX_SAFE_INTEGER };

export class OperationQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those with a posting of this lot.' })
  lotId?: string;

  @Optional()
  @IsId({ description: 'Only those with a posting of this packaged lot.' })
  packagedLotId?: string;

  @Optional()
  @IsId({ description: 'Only those with a posting of this material lot.' })
  materialLotId?: string;

  @Optional()
  @IsId({ description: 'Only those with a posting on the contents of this vessel.' })
  vesselId?: string;

  @Optional()
  @IsPattern(
    KIND,
    'a kind of operation',
    { max: 40 },
    { description: 'Only those of this kind.', example: 'packaging' },
  )
  kind?: string;

  @Optional()
  @IsId({ description: 'Only those at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those that occurred in this period.' })
  periodId?: string;

  @Optional()
  @IsId({ description: 'Only those with a posting on this account.' })
  accountId?: string;

  @Optional()
  @IsOneOf(NOMINAL_KINDS, { description: 'Only those with a posting on this line of the period report.' })
  line?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Only those with a posting of this category.' })
  category?: string;

  @Optional()
  @IsOneOf(['suspended', 'paid'], { description: 'Only those with a posting in this of the two balances.' })
  dutyStatus?: 'suspended' | 'paid';
}

export class UncertaintyComponent {
  @IsPlainText({ max: 200 }, { description: 'Where the uncertainty comes from.' })
  origin: string;

  @ApiProperty({ type: Litres, description: 'Signed contribution (sensitivity times standard uncertainty).' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}

export class Posting extends Figures {
  @IsWholeNumber({ min: 1, max: 10_000 })
  line: number;

  @IsId()
  accountId: string;

  @IsPlainText({ max: 1600 }, { description: 'The account, readable.' })
  account: string;

  @IsOneOf(['stock', 'nominal'])
  side: 'stock' | 'nominal';

  @IsPlainText({ max: 60 })
  kind: string;

  @Optional()
  @IsPlainText({ max: 60 })
  stage?: string;

  @Optional()
  @IsPlainText({ max: 120 })
  category?: string;

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @Optional()
  @IsId()
  materialLotId?: string;

  @ApiProperty({
    type: [UncertaintyComponent],
    required: false,
    description: 'By origin; only where one operation is asked for.',
  })
  components?: UncertaintyComponent[];
}

export class Operation {
  @IsId()
  id: string;

  @IsWholeNumber(SEQUENCE, { description: "The producer's own number, without gaps." })
  sequence: number;

  @IsPlainText({ max: 40 })
  kind: string;

  @IsOneOf(['draw', 'change', 'assertion'])
  timing: string;

  @IsId()
  premisesId: string;

  @IsInstant()
  occurredAt: string;

  @IsInstant()
  recordedAt: string;

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsId()
  keyId?: string;

  @Optional()
  @IsId()
  reverses?: string;

  @Optional()
  @IsId()
  reversedBy?: string;

  @Optional()
  @IsId()
  corrects?: string;

  @Optional()
  @IsId()
  explains?: string;

  @Optional()
  @IsId()
  earlierPeriodId?: string;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true })
  note?: string;

  @ApiProperty({ type: Object, additionalProperties: true, description: 'Facts of the event.' })
  document: Record<string, unknown>;

  @IsWholeNumber(SEQUENCE, { description: 'The entry of the audit trail that holds it.' })
  trailSequence: number;

  @IsPlainText({ max: 200 }, { description: 'Where the findings, readings and instruments are that it rests on.' })
  evidence: string;

  @ApiProperty({ type: [Posting] })
  postings: Posting[];
}

export class OperationPage extends ListOf(Operation) {}

/** Without the properties that are null. */
export function given<T extends object>(values: T): { [K in keyof T]?: NonNullable<T[K]> } {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== null)) as {
    [K in keyof T]?: NonNullable<T[K]>;
  };
}

const toPosting = (row: PostingRow, components: readonly ComponentRow[] | undefined): Posting => {
  const { line, accountId, account, side, kind, stage, category } = row;
  const { lotId, compositionId, packagedLotId, materialLotId } = row;
  return {
    line,
    accountId,
    account,
    side,
    kind,
    ...given({ stage, category, lotId, compositionId, packagedLotId, materialLotId }),
    ...toFigures(figureOf(row)),
    ...(components === undefined
      ? {}
      : {
          components: components
            .filter((each) => each.line === line)
            .map(({ origin, litres, lpa }) => ({
              origin,
              litres: toLitres(litres),
              litresOfPureAlcohol: toLitres(lpa),
            })),
        }),
  };
};

export function toOperation(
  row: OperationRow,
  postings: readonly PostingRow[],
  components?: readonly ComponentRow[],
): Operation {
  const { id, sequence, kind, timing, premisesId, occurredAt, recordedAt, document, trailSequence, ...rest } = row;
  return {
    id,
    sequence: Number(sequence),
    kind,
    timing,
    premisesId,
    occurredAt: occurredAt.toISOString(),
    recordedAt: recordedAt.toISOString(),
    ...given(rest),
    document,
    trailSequence: Number(trailSequence),
    evidence: `/v1/operations/${id}/evidence`,
    postings: postings.filter((each) => each.sequence === sequence).map((each) => toPosting(each, components)),
  };
}
