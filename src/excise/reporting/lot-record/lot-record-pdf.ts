import type { Content } from 'pdfmake/interfaces.js';
import type { Finding } from '../../../production/measuring/findings/findings.dto.js';
import { fixed, localTime, plain, to3, words } from '../render/figures-text.js';
import { digits, withU } from '../render/figure-columns.js';
import type { Cell } from '../render/page.js';
import { boxed, factList, h1, h2, onPages, quiet, SIMULATED, table, together, titled } from '../render/page.js';
import type { PdfDefinition } from '../render/pdf-maker.js';
import { operationNoun } from '../../../platform/words.js';
import type { LotPackaging, LotRecord } from './lot-record.dto.js';
import { inputWords } from './budget-words.js';
import { planRows } from './plan-words.js';
import { curve, readingsPart } from './readings-pages.js';

/** The category with who chose it: the class for duty rests on it. */
function categoryWords({ category, categoryChosen, timeZone }: LotRecord['lot']): string {
  const { at, person, key } = categoryChosen;
  const by = [...(person === undefined ? [] : [person]), ...(key === undefined ? [] : [`key ${key}`])].join(', ');
  return `${words(category)}, chosen on ${localTime(at, timeZone)}${by === '' ? '' : ` by ${by}`}`;
}

export interface LotRecordPdfInput {
  readonly record: LotRecord;
  /** SHA-256 of the record's bytes, hexadecimal. */
  readonly hash: string;
  readonly at: Date;
}

const MEASURES = {
  'original-gravity': 'Original gravity',
  'final-gravity': 'Final gravity',
  strength: 'Strength',
  volume: 'Volume charged',
  'pure-alcohol': 'Pure alcohol',
} as const;
const PLACES: Readonly<Record<string, number>> = { 'sg-20-20': 4, '%': 3, L: 3 };
const UNITS: Readonly<Record<string, string>> = { 'sg-20-20': 'SG 20/20', '%': '% vol' };

function operationsPart({ operations, lot }: LotRecord): Content[] {
  const number = new Map(operations.map(({ id, sequence }) => [id, String(sequence)]));
  const noteOf = (label: string, id: string | undefined): string[] =>
    id === undefined ? [] : [`${label} No. ${number.get(id) ?? 'of another lot'}`];
  return [
    titled(
      [
        h1('Operations'),
        quiet(
          'Litres and litres of pure alcohol are the net effect on the stock of this lot; numbers are the producer’s own.',
        ),
      ],
      table(
        [
          { head: 'No.', width: 22, right: true },
          { head: 'When (local)', width: 74 },
          { head: 'Operation', width: 64 },
          { head: 'Facts', width: '*' },
          { head: 'Litres', width: 58, right: true },
          { head: 'L pure', width: 52, right: true },
        ],
        operations.map((each): Cell[] => [
          String(each.sequence),
          localTime(each.occurredAt, lot.timeZone),
          operationNoun(each.movementKind ?? each.kind),
          [
            each.description,
            ...(each.reasonCode === undefined ? [] : [`reason: ${words(each.reasonCode)}`]),
            ...noteOf('reverses', each.reverses),
            ...noteOf('reversed by', each.reversedBy),
            ...(each.corrects === undefined || each.corrects === each.reverses
              ? []
              : noteOf('puts right', each.corrects)),
            ...(each.earlierPeriodId === undefined ? [] : ['of an earlier period']),
            ...(each.note === undefined ? [] : [each.note]),
          ]
            .filter((part) => part !== '')
            .join('; '),
          to3(each.litres),
          to3(each.litresOfPureAlcohol),
        ]),
        { none: 'No operation was entered.' },
      ),
    ),
  ];
}

function findingPart(record: LotRecord, finding: Finding, index: number): Content {
  const { timeZone } = record.lot;
  const { strength, uncertainty, standing, method } = finding;
  const degrees = uncertainty.degreesOfFreedom;
  return together([
    ...(index === 0 ? [h1('Findings, with their budgets')] : []),
    h2(
      `F${index + 1}  ${withU(strength.value, uncertainty.expanded.value)} % vol, ${words(standing)}${finding.reversed === true ? ', reversed' : ''}`,
    ),
    quiet(
      `${words(method.id)} ${method.version}, sampled ${localTime(finding.sampledAt, timeZone)}; u = ${digits(uncertainty.standard.value, 2)} % vol, k = ${fixed(uncertainty.coverageFactor, 2)}, about 95 %${degrees === null ? '' : `, ${fixed(degrees, 0)} degrees of freedom`}.`,
    ),
    table(
      [
        { head: 'Input', width: '*' },
        { head: 'Value', width: 66, right: true },
        { head: 'u', width: 56, right: true },
        { head: 'Distribution', width: 58 },
        { head: 'Sensitivity', width: 60, right: true },
        { head: 'Contribution, % vol', width: 62, right: true },
        { head: 'Share', width: 36, right: true },
      ],
      finding.budget.map((line): Cell[] => [
        inputWords(line, record),
        plain(line.value, 5),
        plain(Number(line.standardUncertainty.toPrecision(3)), 8),
        line.distribution,
        plain(Number(line.sensitivity.toPrecision(4)), 6),
        fixed(line.contribution, 4),
        `${fixed(line.share * 100, 1)} %`,
      ]),
      { none: 'Its uncertainty is stated as a whole.' },
    ),
    ...(finding.warnings.length === 0 ? [] : [quiet(finding.warnings.join(' '))]),
  ]);
}

/** Mean of the run, and of how many measured fills, with what the check of them says. */
function fillWords({ meanFill, fillCheck }: LotPackaging): string {
  if (meanFill === undefined) return 'not measured';
  const mean = `${fixed(meanFill.value, 4)} L`;
  return fillCheck === undefined ? mean : `${mean}, ${fillCheck.count} fills: ${fillCheck.verdict}`;
}

function packingPart({ packagings }: LotRecord): Content[] {
  return [
    titled(
      [h1('Packed')],
      table(
        [
          { head: 'Day', width: 48 },
          { head: 'Lot mark', width: '*' },
          { head: 'Containers', width: 84 },
          { head: 'Mean fill', width: 58, right: true },
          { head: 'Declared, % vol', width: 38, right: true },
          { head: 'Of record, % vol', width: 40, right: true },
          { head: 'Label', width: 62 },
          { head: 'Probability', width: 44, right: true },
        ],
        packagings.map((each): Cell[] => [
          each.packagedOn,
          each.reversed ? `${each.lotMark} (reversed)` : each.lotMark,
          `${each.count} × ${plain(each.nominalVolume.value)} L, ${words(each.container)}`,
          fillWords(each),
          plain(each.declaredStrength.value, 3),
          each.strength === undefined ? '' : fixed(each.strength.value, 3),
          [
            each.labelCheck === undefined ? 'not checked' : words(each.labelCheck.decision),
            ...each.flags.map(words),
          ].join('; '),
          each.labelCheck === undefined ? '' : `${fixed(each.labelCheck.probability * 100, 1)} %`,
        ]),
        {
          none: 'Nothing was packed from it.',
          note: 'Probability: that the true strength lies within the producer’s tolerance of the label.',
        },
      ),
    ),
  ];
}

function movedPart({ movements, lot }: LotRecord): Content[] {
  return [
    titled(
      [h1('Movements')],
      table(
        [
          { head: 'When (local)', width: 78 },
          { head: 'What', width: 90 },
          { head: 'Lot mark', width: 80 },
          { head: 'Count', width: 36, right: true },
          { head: 'Litres', width: 56, right: true },
          { head: 'To whom', width: '*' },
        ],
        movements.map((each): Cell[] => [
          localTime(each.occurredAt, lot.timeZone),
          each.reversed ? `${words(each.kind)} (reversed)` : words(each.kind),
          each.lotMark ?? 'bulk',
          each.count === undefined ? '' : plain(each.count),
          fixed(each.volume.value, 3),
          each.counterparty ?? '',
        ]),
        {
          none: 'No goods of this lot have gone out.',
          note: 'What went into other lots and was packed from those is in the trace of the lot, which the program gives.',
        },
      ),
    ),
  ];
}

/** Address of this module, for the printing thread. */
export const LOT_RECORD_PAGES = import.meta.url;

/** Pages of a lot record, made of the record alone. */
export function definition({ record, hash, at }: LotRecordPdfInput): PdfDefinition {
  const { producer, premises, lot, plan, planComparison, findings, statement, trail } = record;
  const name = `Lot record ${lot.code}`;
  return onPages(
    {
      title: name,
      createdAt: at,
      runningHead: `${producer.name} · ${name}`,
      runningFoot: `SHA-256 of the JSON record ${hash.slice(0, 12)}… · U: k = 1.96 unless stated · Local law and licensed practice decide.`,
      simulated: producer.simulated,
    },
    [
      { text: name, style: 'title' },
      { text: `${words(lot.category)}, ${premises.name}`, style: 'subtitle' },
      ...(producer.simulated ? [boxed(SIMULATED)] : []),
      factList([
        ['Producer', producer.name],
        ['Premises', `${premises.name} (${lot.timeZone})`],
        ['Begun', localTime(lot.createdAt, lot.timeZone)],
        ['Category', categoryWords(lot)],
        ['Recipe', plan === undefined ? 'none' : `${plan.recipe}, version ${plan.version}`],
        ['Books as of', `entry ${trail.sequence} of the audit trail, ${localTime(at.toISOString(), lot.timeZone)}`],
        ['SHA-256 of the JSON record', hash],
      ]),
      titled(
        [h2('Plan compared with what was done')],
        table(
          [
            { head: 'Measure', width: '*' },
            { head: 'Unit', width: 70 },
            { head: 'Planned', width: 80, right: true },
            { head: 'Found', width: 80, right: true },
            { head: 'U', width: 60, right: true },
            { head: 'Found less planned', width: 90, right: true },
          ],
          planComparison.map(({ measure, unit, planned, actual, expandedUncertainty }): Cell[] => {
            const places = PLACES[unit] ?? 3;
            const shown = (value: number | undefined): string => (value === undefined ? '' : fixed(value, places));
            const difference = planned === undefined || actual === undefined ? undefined : actual - planned;
            return [
              MEASURES[measure],
              UNITS[unit] ?? unit,
              shown(planned),
              shown(actual),
              shown(expandedUncertainty?.value),
              shown(difference),
            ];
          }),
          { none: 'Neither plan nor finding.' },
        ),
      ),
      ...curve(record),
      ...statement.map((text): Content => ({ text, style: 'small', margin: [0, 3, 0, 0] })),
      ...readingsPart(record),
      ...operationsPart(record),
      ...(findings.length === 0
        ? [h1('Findings, with their budgets'), quiet('No strength was found.')]
        : findings.map((finding, index) => findingPart(record, finding, index))),
      ...packingPart(record),
      ...movedPart(record),
      ...planRows(record),
    ],
  );
}
