import type { NamedTable } from '../render/csv-table.js';
import { litres, number } from '../render/csv-table.js';
import type { PeriodEvidence } from './evidence.dto.js';

/** What the figures rest on, as tables. */
export function evidenceTables(evidence: PeriodEvidence): NamedTable[] {
  const readings = new Map(evidence.readings.map((each) => [each.id, each]));
  return [
    {
      name: 'evidence-figures',
      columns: ['figure', 'line', 'category', 'account', 'operation_number'],
      rows: evidence.figures.flatMap(({ figure, line, category, accountId, operations }) =>
        operations.map((each) => [figure, line ?? '', category ?? '', accountId ?? '', number(each)]),
      ),
    },
    {
      name: 'evidence-operations',
      columns: [
        'number',
        'id',
        'kind',
        'occurred_at',
        'lot',
        'reverses_number',
        'reason',
        'litres',
        'litres_of_pure_alcohol',
        'findings',
        'instrument',
        'calibration',
        'person',
        'trail_entry',
      ],
      rows: evidence.operations.map((each) => [
        number(each.sequence),
        each.id,
        each.kind,
        each.occurredAt,
        each.lotCode ?? '',
        number(each.reverses),
        each.reasonCode ?? '',
        litres(each.litres),
        litres(each.litresOfPureAlcohol),
        each.findings.join(' '),
        each.measuredBy?.instrumentId ?? '',
        each.measuredBy?.calibrationId ?? '',
        each.personId ?? '',
        number(each.trailSequence),
      ]),
    },
    {
      name: 'evidence-findings',
      columns: [
        'id',
        'lot',
        'standing',
        'method',
        'version',
        'strength_percent',
        'expanded_uncertainty_percent',
        'sampled_at',
        'based_on',
        'certificate',
      ],
      rows: evidence.findings.map((each) => [
        each.id,
        each.lotCode,
        each.standing,
        each.methodId,
        each.methodVersion,
        number(each.strength.value),
        number(each.expandedUncertainty.value),
        each.sampledAt,
        each.basedOn.join(' '),
        each.certificate ?? '',
      ]),
    },
    {
      name: 'evidence-readings',
      columns: [
        'finding',
        'use',
        'id',
        'lot',
        'kind',
        'value',
        'unit',
        'temperature_c',
        'source',
        'taken_at',
        'instrument',
        'calibration',
        'person',
      ],
      rows: evidence.findings.flatMap((finding) =>
        finding.readings.flatMap(({ readingId, use, measuredBy }) => {
          const each = readings.get(readingId);
          return each === undefined
            ? []
            : [
                [
                  finding.id,
                  use,
                  each.id,
                  each.lotCode,
                  each.kind,
                  number(each.value),
                  each.unit ?? '',
                  number(each.sampleTemperature?.value),
                  each.source,
                  each.takenAt,
                  each.instrumentId ?? '',
                  measuredBy?.calibrationId ?? '',
                  each.personId ?? '',
                ],
              ];
        }),
      ),
    },
    {
      name: 'evidence-instruments',
      columns: ['id', 'kind', 'name', 'serial_number'],
      rows: evidence.instruments.map(({ id, kind, name, serialNumber }) => [id, kind, name, serialNumber ?? '']),
    },
    {
      name: 'evidence-calibrations',
      columns: ['id', 'instrument', 'performed_on', 'valid_until', 'certificate'],
      rows: evidence.calibrations.map(({ id, instrumentId, performedOn, validUntil, certificate }) => [
        id,
        instrumentId,
        performedOn,
        validUntil,
        certificate ?? '',
      ]),
    },
  ];
}
