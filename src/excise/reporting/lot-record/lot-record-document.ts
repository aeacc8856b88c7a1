import { toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { objectIn, textIn, textsIn } from '../../../ledger/operations/document-facts.js';
import type { OperationRow } from '../../../ledger/operations/operations.reader.js';
import { Exact, sumOf } from '../../../metrology/decimals.js';
import { toBase } from '../../../metrology/units.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import { toFinding } from '../../../production/measuring/findings/findings.dto.js';
import { packedStrength } from '../../../production/measuring/packed/packed-strength.js';
import { packedStrengthOf } from '../../../production/operations/packaging/packaged-lots.dto.js';
import { grouped } from '../../../platform/grouped.js';
import type { FillCheck } from '../../../production/operations/packaging/fills.js';
import { LabelCheck } from '../../../production/shared/labels/label-check.dto.js';
import type { ReadingRow } from '../../../production/measuring/readings/reading.reader.js';
import { toReading } from '../../../production/measuring/readings/reading.reader.js';
import { fromJson, toJson } from '../../../tenancy/settings/stored-json.js';
import type {
  CategoryChoice,
  LotInstrument,
  LotOperation,
  LotPackaging,
  LotRecord,
  PlanComparison,
} from './lot-record.dto.js';
import type { LotRecordInput } from './lot-record.reader.js';
import { operationWords } from './operation-words.js';

const STATEMENT = [
  'Local law and licensed practice decide what has to be kept and for how long. This record is not legal advice.',
  'It tells what was entered, as the books stand now; readings are given as read.',
];

const CHARGES: ReadonlySet<string> = new Set(['charge', 'spirit-charge']);

/** A gravity on SG 20/20, whatever scale it was read on; undefined for what is no gravity. */
function specificGravity({ kind, value, unit }: Pick<ReadingRow, 'kind' | 'value' | 'unit'>): number | undefined {
  return kind === 'gravity' && value !== null && unit !== null
    ? toExtract({ value: Number(value), scale: unit as GravityScale }).specificGravity20
    : undefined;
}

function operationPart({ lot, postings, movements, names }: LotRecordInput, row: OperationRow): LotOperation {
  const own = postings.filter(
    ({ sequence, side, lotId }) => sequence === row.sequence && side === 'stock' && lotId === lot.id,
  );
  const { reasonCode, note, reverses, reversedBy, corrects, earlierPeriodId } = row;
  const movement = movements.find(({ operationId }) => operationId === row.id);
  return {
    id: row.id,
    sequence: Number(row.sequence),
    kind: row.kind,
    ...given({ movementKind: movement?.kind ?? null }),
    occurredAt: row.occurredAt.toISOString(),
    litres: toLitres(sumOf(own.map(({ litres }) => new Exact(litres)))),
    litresOfPureAlcohol: toLitres(sumOf(own.map(({ fermented, added }) => new Exact(fermented).plus(added)))),
    description: [
      operationWords(row.document, names),
      ...(movement?.counterparty == null
        ? []
        : [`${movement.kind === 'return' ? 'from' : 'to'} ${movement.counterparty}`]),
    ]
      .filter((part) => part !== '')
      .join(', '),
    ...given({ reasonCode, note, reverses, reversedBy, corrects, earlierPeriodId }),
    operation: `/v1/operations/${row.id}`,
    evidence: `/v1/operations/${row.id}/evidence`,
  };
}

/** The finding of the fermentation itself, by the readings of its two gravities; else what is of record now. */
const findingOfOperation = (findings: readonly FindingRow[]): FindingRow | undefined => {
  const counting = findings.filter(({ reversed }) => !reversed);
  const ofRecord = counting.filter(({ standing }) => standing === 'of-record');
  const byGravity = ofRecord.findLast(({ readings }) => readings.some(({ use }) => use === 'final'));
  return byGravity ?? ofRecordOf(findings) ?? counting.findLast(({ standing }) => standing === 'provisional');
};

function planComparison(input: LotRecordInput, operations: readonly LotOperation[]): PlanComparison[] {
  const { version, readings, findings } = input;
  const expected = version?.expected;
  const finding = findingOfOperation(findings);
  const used = (use: string): ReadingRow | undefined => {
    const id = finding?.readings.find((each) => each.use === use)?.readingId;
    return readings.find((each) => each.id === id);
  };
  const gravity = (reading: ReadingRow | undefined): number | undefined =>
    reading === undefined ? undefined : specificGravity(reading);
  const planned = (value: { value: number; scale: GravityScale } | undefined): number | undefined =>
    value === undefined ? undefined : toExtract(value).specificGravity20;
  const charged = sumOf(
    operations
      .filter(({ kind, reversedBy }) => CHARGES.has(kind) && reversedBy === undefined)
      .map(({ litres }) => litresOf(litres)),
  );
  const stated = <T extends object>(values: T) =>
    Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as Partial<T>;
  const rows: PlanComparison[] = [
    {
      measure: 'original-gravity',
      unit: 'sg-20-20',
      ...stated({ planned: planned(expected?.originalGravity), actual: gravity(used('original')) }),
    },
    {
      measure: 'final-gravity',
      unit: 'sg-20-20',
      ...stated({ planned: planned(expected?.finalGravity), actual: gravity(used('final')) }),
    },
    {
      measure: 'strength',
      unit: '%',
      ...stated({
        planned: expected?.strength?.value ?? version?.plan.strength?.value,
        actual: finding?.strengthPercent,
        expandedUncertainty: finding === undefined ? undefined : { value: finding.expandedUncertainty, unit: '%' },
      }),
    },
    {
      measure: 'volume',
      unit: 'L',
      ...stated({
        planned: version === undefined ? undefined : toBase('volume', version.plan.volume),
        actual: charged.isZero() ? undefined : charged.toNumber(),
      }),
    },
  ];
  return rows.filter((row) => row.planned !== undefined || row.actual !== undefined);
}

function packagingParts({ packagedLots, operations, findings }: LotRecordInput): LotPackaging[] {
  const byId = new Map(operations.map((row) => [row.id, row]));
  const findingsOf = grouped(findings, ({ compositionId }) => compositionId);
  return packagedLots.map((row) => {
    const finding = ofRecordOf(findingsOf.get(row.compositionId) ?? []);
    const run = byId.get(row.operationId);
    const document = run?.document ?? {};
    const meanFillLitres = textIn(document, 'meanFillLitres');
    const labelCheck = objectIn(document, 'labelCheck');
    const fillCheck = objectIn(document, 'fillCheck') as FillCheck | undefined;
    return {
      packagedLotId: row.id,
      lotMark: row.lotMark,
      container: row.container,
      nominalVolume: { value: Number(row.nominalLitres), unit: 'L' },
      count: row.count,
      declaredStrength: { value: Number(row.declaredStrengthPercent), unit: '%' },
      ...packedStrengthOf(finding && packedStrength(finding, row.filledWith)),
      packagedOn: row.packagedOn,
      ...(meanFillLitres === undefined ? {} : { meanFill: { value: Number(meanFillLitres), unit: 'L' } }),
      ...(labelCheck === undefined
        ? {}
        : { labelCheck: fromJson(LabelCheck, 'operation.document/labelCheck', toJson(labelCheck)) }),
      ...(fillCheck === undefined ? {} : { fillCheck }),
      flags: [...(textsIn(document, 'flags') ?? [])],
      reversed: (run?.reversedBy ?? null) !== null,
      operation: `/v1/operations/${row.operationId}`,
    };
  });
}

const CALIBRATED = /^calibration\/([^/]+)\//;

/** Instruments of the readings, and those whose calibration stands in a budget. */
function instrumentsOf({ readings, findings, names }: LotRecordInput): LotInstrument[] {
  const budgets = findings.flatMap((row) => toFinding(row).budget);
  const ids = new Set([
    ...readings.flatMap(({ instrumentId }) => instrumentId ?? []),
    ...budgets.flatMap(({ origin }) => CALIBRATED.exec(origin)?.[1] ?? []),
  ]);
  return [...ids].flatMap((id) => {
    const name = names.get(id);
    return name === undefined ? [] : [{ id, name }];
  });
}

function choiceOf({ lot: { createdAt, personId, keyId }, names }: LotRecordInput): CategoryChoice {
  const [person, key] = [names.get(personId ?? ''), names.get(keyId ?? '')];
  return {
    at: createdAt.toISOString(),
    ...(personId === null ? {} : { personId }),
    ...(person === undefined ? {} : { person }),
    ...(keyId === null ? {} : { keyId }),
    ...(key === undefined ? {} : { key }),
  };
}

/** Makes the record of what was read: the same books make the same record. */
export function lotRecordDocument(input: LotRecordInput): LotRecord {
  const { producer, premises, lot, version, plans, readings, findings, movements, head } = input;
  const operations = input.operations.map((row) => operationPart(input, row));
  return {
    format: 'gaugebook-lot-record',
    formatVersion: 1,
    producer,
    premises: { id: premises.id, name: premises.name },
    lot: {
      id: lot.id,
      code: lot.code,
      category: lot.category,
      categoryChosen: choiceOf(input),
      createdAt: lot.createdAt.toISOString(),
      timeZone: premises.timeZone,
    },
    ...(version === undefined
      ? {}
      : {
          plan: {
            recipe: version.recipe.name,
            version: version.number,
            plan: version.plan,
            expected: version.expected,
          },
        }),
    planComparison: planComparison(input, operations),
    plans: plans.map((row) => ({
      id: row.id,
      kind: row.kind,
      recordedAt: row.recordedAt.toISOString(),
      computed: row.computed,
      operations: row.operations,
      plan: `/v1/plans/${row.id}`,
    })),
    readings: readings.map(toReading),
    instruments: instrumentsOf(input),
    operations,
    findings: findings.map(toFinding),
    packagings: packagingParts(input),
    movements: movements.map(({ litres, occurredAt, lotMark, count, counterparty, ...row }) => ({
      ...row,
      occurredAt: occurredAt.toISOString(),
      ...given({ lotMark, count, counterparty }),
      volume: { value: litres, unit: 'L' },
      operation: `/v1/operations/${row.operationId}`,
    })),
    trace: `/v1/lots/${lot.id}/trace?direction=forward`,
    trail: { sequence: Number(head.sequence), hash: head.hash },
    statement: STATEMENT,
  };
}
