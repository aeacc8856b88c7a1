import { operationNoun } from '../../../platform/words.js';
import { readingKind, unitWords, words } from '../render/figures-text.js';
import type { ReportTable } from '../render/report-table.js';
import {
  bearing,
  code,
  expanded,
  instant,
  instantPart,
  litres,
  number,
  onPageOnly,
  references,
  tableOf,
  text,
} from '../render/report-table.js';
import type { PeriodEvidence } from './evidence.dto.js';
import type { EvidenceOperation } from './evidence-operation.dto.js';

const listOf = (...ids: readonly (string | undefined)[]): string[] => ids.filter((id) => id !== undefined);

const figuresTable = (evidence: PeriodEvidence): ReportTable =>
  tableOf(
    'evidence-figures',
    {
      figure: code('Figure'),
      line: code('Line'),
      category: code('Category'),
      account: text('Account'),
      operation_number: number('Operation No.'),
    },
    evidence.figures.flatMap(({ figure, line, category, accountId, operations }) =>
      operations.map((each) => ({ figure, line, category, account: accountId, operation_number: each })),
    ),
  );

const remarksOf = ({ recipient, supplier, document, reverses, reasonCode }: EvidenceOperation): string =>
  [
    ...(supplier === undefined ? [] : [`from ${supplier}`]),
    ...(document === undefined ? [] : [document]),
    ...(recipient === undefined ? [] : [recipient]),
    ...(reverses === undefined ? [] : [`reverses No. ${reverses}`]),
    ...(reasonCode === undefined ? [] : [words(reasonCode)]),
  ].join('; ');

export const operationsTable = (evidence: PeriodEvidence): ReportTable =>
  tableOf(
    'evidence-operations',
    {
      number: number('No.'),
      id: text('Id'),
      kind: code('Kind'),
      operation: text('Operation'),
      product: text('Product or lot'),
      count: number('Count'),
      recipient: text('Recipient'),
      occurred_at: instant('When (local)'),
      day: instantPart('Day', 'day'),
      time: instantPart('Time (local)', 'time'),
      lot: text('Lot'),
      reverses_number: number('Rev. of'),
      reason: code('Reason'),
      supplier: text('Supplier'),
      document: text('Document'),
      litres: litres('Litres', 3),
      litres_of_pure_alcohol: litres('L pure alcohol', 3),
      findings: references('Find.'),
      instrument: references('Instr.'),
      calibration: references('Cal.'),
      person: references('Person'),
      trail_entry: number('Entry'),
      rests_on: onPageOnly(references('Rests on')),
      remarks: onPageOnly(text('Remarks')),
    },
    evidence.operations.map((each) => ({
      number: each.sequence,
      id: each.id,
      kind: each.kind,
      operation: operationNoun(each.movementKind ?? each.kind),
      product: each.product ?? each.lotCode,
      count: each.count,
      recipient: each.recipient,
      occurred_at: each.occurredAt,
      day: each.occurredAt,
      time: each.occurredAt,
      lot: each.lotCode,
      reverses_number: each.reverses,
      reason: each.reasonCode,
      supplier: each.supplier,
      document: each.document,
      litres: each.litres,
      litres_of_pure_alcohol: each.litresOfPureAlcohol,
      findings: each.findings,
      instrument: listOf(each.measuredBy?.instrumentId),
      calibration: listOf(each.measuredBy?.calibrationId),
      person: listOf(each.personId),
      trail_entry: each.trailSequence,
      rests_on: [...each.findings, ...listOf(each.measuredBy?.instrumentId, each.measuredBy?.calibrationId)],
      remarks: remarksOf(each),
    })),
  );

export const findingsTable = (evidence: PeriodEvidence): ReportTable =>
  tableOf(
    'evidence-findings',
    {
      id: references('No.'),
      lot: text('Lot'),
      standing: code('Standing'),
      method: code('Method'),
      version: text('Version'),
      strength_percent: bearing('expanded_uncertainty_percent', number('% vol')),
      expanded_uncertainty_percent: expanded(number('U, % vol')),
      sampled_at: instant('Sampled (local)'),
      readings: references('Readings'),
      based_on: references('Based on'),
      certificate: text('Certificate'),
    },
    evidence.findings.map((each) => ({
      id: [each.id],
      lot: each.lotCode,
      standing: each.standing,
      method: each.methodId,
      version: each.methodVersion,
      strength_percent: each.strength.value,
      expanded_uncertainty_percent: each.expandedUncertainty.value,
      sampled_at: each.sampledAt,
      readings: each.readings.map(({ readingId }) => readingId),
      based_on: each.basedOn,
      certificate: each.certificate,
    })),
  );

/** Each reading once for every finding that rests on it, with the use that the finding makes of it. */
export function readingsTable(evidence: PeriodEvidence): ReportTable {
  const readings = new Map(evidence.readings.map((each) => [each.id, each]));
  return tableOf(
    'evidence-readings',
    {
      finding: references('Find.'),
      use: code('Use'),
      id: references('No.'),
      lot: text('Lot'),
      kind: code('Kind'),
      value: number('As read'),
      unit: text('Unit'),
      what: onPageOnly(text('Kind')),
      scale: onPageOnly(text('Unit')),
      temperature_c: number('At °C'),
      source: code('By'),
      taken_at: instant('Taken (local)'),
      instrument: references('Instr.'),
      calibration: references('Cal.'),
      person: references('Person'),
    },
    evidence.findings.flatMap((finding) =>
      finding.readings.flatMap(({ readingId, use, measuredBy }) => {
        const each = readings.get(readingId);
        return each === undefined
          ? []
          : [
              {
                finding: [finding.id],
                use,
                id: [each.id],
                lot: each.lotCode,
                kind: each.kind,
                value: each.value,
                unit: each.unit,
                what: readingKind(each.kind),
                scale: each.unit === undefined ? undefined : unitWords(each.unit),
                temperature_c: each.sampleTemperature?.value,
                source: each.source,
                taken_at: each.takenAt,
                instrument: listOf(each.instrumentId),
                calibration: listOf(measuredBy?.calibrationId),
                person: listOf(each.personId),
              },
            ];
      }),
    ),
  );
}

export const instrumentsTable = (evidence: PeriodEvidence): ReportTable =>
  tableOf(
    'evidence-instruments',
    { id: references('No.'), kind: code('Kind'), name: text('Instrument'), serial_number: text('Serial number') },
    evidence.instruments.map(({ id, kind, name, serialNumber }) => ({
      id: [id],
      kind,
      name,
      serial_number: serialNumber,
    })),
  );

export const calibrationsTable = (evidence: PeriodEvidence): ReportTable =>
  tableOf(
    'evidence-calibrations',
    {
      id: references('No.'),
      instrument: references('Instrument'),
      performed_on: text('Performed'),
      valid_until: text('Valid until'),
      certificate: text('Certificate'),
    },
    evidence.calibrations.map(({ id, instrumentId, performedOn, validUntil, certificate }) => ({
      id: [id],
      instrument: [instrumentId],
      performed_on: performedOn,
      valid_until: validUntil,
      certificate,
    })),
  );

/** The evidence of the figures as tables: ZIP and the annex of the PDF render these. */
export const evidenceTables = (evidence: PeriodEvidence): ReportTable[] => [
  figuresTable(evidence),
  operationsTable(evidence),
  findingsTable(evidence),
  readingsTable(evidence),
  instrumentsTable(evidence),
  calibrationsTable(evidence),
];
