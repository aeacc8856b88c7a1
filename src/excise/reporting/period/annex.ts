import type { Content } from 'pdfmake/interfaces.js';
import type { EvidenceMeasure, PeriodEvidence } from '../evidence/evidence.dto.js';
import { exact6, fixed, localTime, plain, runs, words } from '../render/figures-text.js';
import type { Cell } from '../render/page.js';
import { h1, h2, quiet, table, titled } from '../render/page.js';

/** Which figure a reference number stands for. */
export type FigureKey =
  | { readonly figure: 'line'; readonly line: string }
  | { readonly figure: 'category-line'; readonly line: string; readonly category: string }
  | { readonly figure: 'stock'; readonly accountId: string };

interface Reference {
  readonly label: string;
  readonly operations: readonly number[];
}

const keyOf = (key: { figure: string; line?: string; category?: string; accountId?: string }): string =>
  JSON.stringify([key.figure, key.line ?? '', key.category ?? '', key.accountId ?? '']);

/** Gives the figures of a document their numbers, in the order in which they are printed. */
export class References {
  readonly #operations: ReadonlyMap<string, readonly number[]>;
  readonly #given: Reference[] = [];

  constructor(evidence: PeriodEvidence) {
    this.#operations = new Map(evidence.figures.map((each) => [keyOf(each), each.operations]));
  }

  /** The number of a figure; nothing where no operation of the period stands behind it. */
  of(key: FigureKey, label: string): string {
    const operations = this.#operations.get(keyOf(key.figure === 'line' ? { ...key, category: undefined } : key));
    if (operations === undefined) {
      return '';
    }
    this.#given.push({ label, operations });
    return String(this.#given.length);
  }

  get given(): readonly Reference[] {
    return this.#given;
  }
}

/** Numbers for the things of one kind, in their order. */
const numbered = (prefix: string, things: readonly { id: string }[]): ReadonlyMap<string, string> =>
  new Map(things.map(({ id }, index) => [id, `${prefix}${index + 1}`]));

const SHORT_ID = 8;

/** The annex: from the reference numbers to operations, findings, readings, instruments and calibrations. */
export function annex(evidence: PeriodEvidence, references: References, timeZone: string): Content[] {
  const findingNo = numbered('F', evidence.findings);
  const readingNo = numbered('R', evidence.readings);
  const instrumentNo = numbered('I', evidence.instruments);
  const calibrationNo = numbered('C', evidence.calibrations);
  const numberOf = (map: ReadonlyMap<string, string>, id: string): string => map.get(id) ?? '';
  const measured = (by: EvidenceMeasure | undefined): string =>
    by === undefined
      ? ''
      : [
          numberOf(instrumentNo, by.instrumentId),
          by.calibrationId === undefined ? '' : numberOf(calibrationNo, by.calibrationId),
        ]
          .filter((each) => each !== '')
          .join(' ');
  const byReading = new Map(
    evidence.findings.flatMap(({ readings }) => readings.map((each) => [each.readingId, measured(each.measuredBy)])),
  );
  return [
    { ...(h1('Annex: what the figures rest on') as object), pageBreak: 'before' } as Content,
    quiet(
      'A reference number beside a figure leads to the operations of the period behind it (by the producer’s own numbers), those to findings (F), those to readings (R), instruments (I) and calibrations (C). Each has its address under the interface of the program; people are named there, not here, so that a person can be forgotten.',
    ),
    titled(
      [h2('A  Figures and their operations')],
      table(
        [
          { head: 'Ref.', width: 30, right: true },
          { head: 'Figure', width: 210 },
          { head: 'Operations, No.', width: '*' },
        ],
        references.given.map(({ label, operations }, index): Cell[] => [String(index + 1), label, runs(operations)]),
        { none: 'No operation stands behind a figure of this period.' },
      ),
    ),
    titled(
      [h2('B  Operations'), quiet('Litres are the net effect on stock. The entry is that of the audit trail.')],
      table(
        [
          { head: 'No.', width: 24, right: true },
          { head: 'When (local)', width: 72 },
          { head: 'What', width: '*' },
          { head: 'Lot', width: 56 },
          { head: 'Litres', width: 56, right: true },
          { head: 'L pure alcohol', width: 56, right: true },
          { head: 'Rests on', width: 46 },
          { head: 'Entry', width: 24, right: true },
        ],
        evidence.operations.map((each): Cell[] => [
          String(each.sequence),
          localTime(each.occurredAt, timeZone),
          [
            words(each.kind),
            each.reverses === undefined ? '' : `of No. ${each.reverses}`,
            each.reasonCode === undefined ? '' : `(${words(each.reasonCode)})`,
          ]
            .filter((word) => word !== '')
            .join(' '),
          each.lotCode ?? '',
          exact6(each.litres),
          exact6(each.litresOfPureAlcohol),
          [...each.findings.map((id) => numberOf(findingNo, id)), measured(each.measuredBy)]
            .filter((word) => word !== '')
            .join(' '),
          String(each.trailSequence),
        ]),
        { none: 'None in this period.' },
      ),
    ),
    titled(
      [h2('C  Findings')],
      table(
        [
          { head: '', width: 24 },
          { head: 'Lot', width: 56 },
          { head: 'Sampled (local)', width: 72 },
          { head: 'Method', width: '*' },
          { head: '% vol', width: 34, right: true },
          { head: 'U (95 %)', width: 36, right: true },
          { head: 'Standing', width: 46 },
          { head: 'Rests on', width: 80 },
        ],
        evidence.findings.map((each): Cell[] => [
          numberOf(findingNo, each.id),
          each.lotCode,
          localTime(each.sampledAt, timeZone),
          `${words(each.methodId)} ${each.methodVersion}`,
          fixed(each.strength.value, 3),
          fixed(each.expandedUncertainty.value, 3),
          words(each.standing),
          [
            ...each.readings.map(({ readingId, use }) => `${numberOf(readingNo, readingId)} ${use}`),
            ...each.basedOn.map((id) => numberOf(findingNo, id)),
            ...(each.certificate === undefined ? [] : [`certificate ${each.certificate}`]),
          ].join(', '),
        ]),
        { none: 'None.' },
      ),
    ),
    titled(
      [h2('D  Readings')],
      table(
        [
          { head: '', width: 24 },
          { head: 'Lot', width: 56 },
          { head: 'Taken (local)', width: 72 },
          { head: 'What', width: 44 },
          { head: 'As read', width: '*' },
          { head: 'At °C', width: 32, right: true },
          { head: 'By', width: 30 },
          { head: 'Instrument', width: 42 },
          { head: 'Person', width: 40 },
        ],
        evidence.readings.map((each): Cell[] => [
          numberOf(readingNo, each.id),
          each.lotCode,
          localTime(each.takenAt, timeZone),
          words(each.kind),
          `${each.value === undefined ? '' : plain(each.value)} ${each.unit ?? ''}`.trim(),
          each.sampleTemperature === undefined ? 'not read' : plain(each.sampleTemperature.value, 2),
          each.source,
          byReading.get(each.id) ?? '',
          (each.personId ?? '').slice(-SHORT_ID),
        ]),
        { none: 'No finding of this period rests on a reading.' },
      ),
    ),
    titled(
      [h2('E  Instruments and calibrations')],
      table(
        [
          { head: '', width: 24 },
          { head: 'Instrument', width: '*' },
          { head: 'Kind', width: 56 },
          { head: 'Serial number', width: 56 },
          { head: 'Calibration', width: 44 },
          { head: 'Performed', width: 46 },
          { head: 'Valid until', width: 46 },
          { head: 'Certificate', width: 84 },
        ],
        evidence.instruments.flatMap((each): Cell[][] => {
          const own = evidence.calibrations.filter(({ instrumentId }) => instrumentId === each.id);
          const head = [numberOf(instrumentNo, each.id), each.name, words(each.kind), each.serialNumber ?? ''];
          return own.length === 0
            ? [[...head, 'none', '', '', '']]
            : own.map((calibration, index) => [
                ...(index === 0 ? head : ['', '', '', '']),
                numberOf(calibrationNo, calibration.id),
                calibration.performedOn,
                calibration.validUntil,
                calibration.certificate ?? '',
              ]);
        }),
        { none: 'No instrument is named by what this rests on: stated defaults were taken.' },
      ),
    ),
  ];
}
