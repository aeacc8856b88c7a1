import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { Head } from '../../../ledger/books/head.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import { grouped } from '../../../platform/grouped.js';
import type { FigureSource } from '../../../production/shared/sources.js';
import type { OperationEvidence, EvidenceFinding, EvidenceReading, FigureEvidence } from './evidence.dto.js';
import type {
  EvidenceMaterialLot,
  EvidenceMeasure,
  EvidenceOperation,
  EvidenceSource,
} from './evidence-operation.dto.js';
import type {
  CalibrationFactRow,
  FigureFact,
  FindingFact,
  InstrumentFact,
  MaterialLotFact,
  OperationFact,
  ReadingFact,
} from './evidence.reader.js';

export interface EvidenceFacts {
  readonly head: Head;
  readonly operations: readonly OperationFact[];
  readonly findings: readonly FindingFact[];
  readonly readings: readonly ReadingFact[];
  readonly instruments: readonly InstrumentFact[];
  readonly calibrations: readonly CalibrationFactRow[];
  readonly materialLots: readonly MaterialLotFact[];
}

const measure = (instrumentId: string | null, calibrationId: string | null): { measuredBy?: EvidenceMeasure } =>
  instrumentId === null
    ? {}
    : {
        measuredBy: {
          instrumentId,
          instrument: `/v1/instruments/${instrumentId}`,
          ...(calibrationId === null
            ? {}
            : { calibrationId, calibration: `/v1/instruments/${instrumentId}/calibrations` }),
        },
      };

const sourcePart = (source: FigureSource): EvidenceSource => {
  const { kind, number, date, strengthPercent, expandedUncertaintyPercent, coverageFactor, instrumentId } = source;
  return {
    kind,
    ...(number === undefined ? {} : { number }),
    ...(date === undefined ? {} : { date }),
    ...(strengthPercent === undefined ? {} : { strength: { value: strengthPercent, unit: '%' } }),
    ...(expandedUncertaintyPercent === undefined
      ? {}
      : { expandedUncertainty: { value: expandedUncertaintyPercent, unit: '%' } }),
    ...(coverageFactor === undefined ? {} : { coverageFactor }),
    ...(instrumentId === undefined ? {} : { instrumentId, instrument: `/v1/instruments/${instrumentId}` }),
  };
};

const sourcesPart = (sources: readonly FigureSource[]): { sources?: EvidenceSource[] } =>
  sources.length === 0 ? {} : { sources: sources.map(sourcePart) };

const materialLotPart = (row: MaterialLotFact): EvidenceMaterialLot => ({
  id: row.id,
  code: row.code,
  material: row.material,
  ...given({ supplier: row.supplier }),
  strength: { value: row.strengthPercent, unit: '%' },
  sources: row.sources.map(sourcePart),
  receipt: `/v1/operations/${row.operationId}`,
});

const person = (personId: string | null): { personId?: string; person?: string } =>
  personId === null ? {} : { personId, person: `/v1/people/${personId}` };

/**
 * The findings that an operation's strengths rest on: the one that it posted; else, of each composition in it, the last of record that was
 * known when it was entered, or the last provisional one.
 */
function findingsOf(operation: OperationFact, findings: readonly FindingFact[]): FindingFact[] {
  const posted = findings.filter(({ operationId }) => operationId === operation.id);
  const covered = new Set(posted.map(({ compositionId }) => compositionId));
  const known = findings.filter(({ trailSequence }) => trailSequence <= operation.trailSequence);
  const relied = operation.compositions
    .filter((id) => !covered.has(id))
    .flatMap((id) => {
      const own = known.filter(({ compositionId }) => compositionId === id);
      const last =
        own.findLast(({ standing }) => standing === 'of-record') ??
        own.findLast(({ standing }) => standing === 'provisional');
      return last === undefined ? [] : [last];
    });
  return [...posted, ...relied];
}

const operationPart = (row: OperationFact, findings: readonly FindingFact[]): EvidenceOperation => ({
  id: row.id,
  sequence: row.sequence,
  kind: row.kind,
  occurredAt: row.occurredAt.toISOString(),
  ...given({
    movementKind: row.movementKind,
    product: row.product,
    count: row.count,
    recipient: row.recipient,
    lotCode: row.lotCode,
    reverses: row.reverses,
    reasonCode: row.reasonCode,
    supplier: row.supplier,
    document: row.document,
  }),
  litres: toLitres(row.litres),
  litresOfPureAlcohol: toLitres(row.lpa),
  findings: findingsOf(row, findings).map(({ id }) => id),
  ...sourcesPart(row.sources),
  ...measure(row.instrumentId, row.calibrationId),
  ...person(row.personId),
  operation: `/v1/operations/${row.id}`,
  trailSequence: row.trailSequence,
});

const basisOf = ({ restates, named }: FindingFact, ids: ReadonlySet<string>): string[] =>
  [...new Set([...(restates === null ? [] : [restates]), ...named])].filter((id) => ids.has(id));

const findingPart = (
  row: FindingFact,
  readings: readonly ReadingFact[],
  ids: ReadonlySet<string>,
): EvidenceFinding => ({
  id: row.id,
  lotCode: row.lotCode,
  standing: row.standing,
  methodId: row.methodId,
  methodVersion: row.methodVersion,
  strength: { value: row.strengthPercent, unit: '%' },
  expandedUncertainty: { value: row.expandedUncertainty, unit: '%' },
  sampledAt: row.sampledAt.toISOString(),
  basedOn: basisOf(row, ids).filter((id) => id !== row.id),
  readings: readings.map((each) => ({
    readingId: each.id,
    use: each.use,
    reading: `/v1/readings/${each.id}`,
    ...measure(each.instrumentId, each.calibrationId),
  })),
  ...given({ certificate: row.certificate }),
  ...sourcesPart(row.sources),
  finding: `/v1/findings/${row.id}`,
});

const readingPart = (row: ReadingFact): EvidenceReading => ({
  id: row.id,
  lotCode: row.lotCode,
  kind: row.kind,
  ...given({ value: row.value, unit: row.unit, instrumentId: row.instrumentId }),
  ...(row.temperatureC === null ? {} : { sampleTemperature: { value: row.temperatureC, unit: 'Cel' } }),
  source: row.source,
  takenAt: row.takenAt.toISOString(),
  ...person(row.personId),
  reading: `/v1/readings/${row.id}`,
});

/** Findings of the operations, and the findings from which those are computed. */
function reachedFrom(start: readonly string[], findings: readonly FindingFact[]): FindingFact[] {
  const byId = new Map(findings.map((each) => [each.id, each]));
  const ids = new Set(byId.keys());
  const reached = new Set<string>();
  const waiting = [...start];
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    const row = byId.get(id);
    if (row !== undefined && !reached.has(id)) {
      reached.add(id);
      waiting.push(...basisOf(row, ids));
    }
  }
  return findings.filter(({ id }) => reached.has(id));
}

/** Operations and all that they rest on, each thing once. */
export function evidenceDocument({
  head,
  operations,
  findings,
  readings,
  instruments,
  calibrations,
  materialLots,
}: EvidenceFacts): OperationEvidence {
  const parts = operations.map((row) => operationPart(row, findings));
  const used = reachedFrom(
    parts.flatMap((part) => part.findings),
    findings,
  );
  const ids = new Set(used.map(({ id }) => id));
  const byFinding = grouped(readings, ({ findingId }) => findingId);
  const findingParts = used.map((row) => findingPart(row, byFinding.get(row.id) ?? [], ids));
  const readingParts = [
    ...new Map(
      readings.filter(({ findingId }) => ids.has(findingId)).map((row) => [row.id, readingPart(row)]),
    ).values(),
  ];
  const measures = [
    ...parts.flatMap(({ measuredBy }) => measuredBy ?? []),
    ...findingParts.flatMap((part) => part.readings.flatMap(({ measuredBy }) => measuredBy ?? [])),
  ];
  const instrumentIds = new Set(measures.map(({ instrumentId }) => instrumentId));
  const calibrationIds = new Set(measures.map(({ calibrationId }) => calibrationId));
  return {
    head: { sequence: Number(head.sequence), hash: head.hash },
    operations: parts,
    findings: findingParts,
    readings: readingParts,
    materialLots: materialLots.map(materialLotPart),
    instruments: instruments
      .filter(({ id }) => instrumentIds.has(id))
      .map(({ id, kind, name, serialNumber }) => ({
        id,
        kind,
        name,
        ...given({ serialNumber }),
        instrument: `/v1/instruments/${id}`,
      })),
    calibrations: calibrations
      .filter(({ id }) => calibrationIds.has(id))
      .map(({ id, instrumentId, performedOn, validUntil, certificate }) => ({
        id,
        instrumentId,
        performedOn,
        validUntil,
        ...given({ certificate }),
        calibrations: `/v1/instruments/${instrumentId}/calibrations`,
      })),
  };
}

/** Numbers of the operations behind lines, lines by category, and stock accounts. */
export function figureParts(facts: readonly FigureFact[]): FigureEvidence[] {
  const nominal = facts.filter(({ side }) => side === 'nominal');
  const numbers = (rows: readonly FigureFact[]): number[] =>
    [...new Set(rows.flatMap(({ operations }) => operations))].sort((a, b) => a - b);
  const stock = facts.filter(({ side }) => side === 'stock');
  return [
    ...[...grouped(nominal, ({ kind }) => kind)].map(([line, rows]) => ({
      figure: 'line' as const,
      line,
      operations: numbers(rows),
    })),
    ...[...grouped(nominal, ({ kind, category }) => `${kind}\n${category}`).values()].map((rows) => ({
      figure: 'category-line' as const,
      line: rows[0].kind,
      category: rows[0].category,
      operations: numbers(rows),
    })),
    ...[...grouped(stock, ({ accountId }) => accountId)].map(([accountId, rows]) => ({
      figure: 'stock' as const,
      accountId,
      operations: numbers(rows),
    })),
  ];
}
