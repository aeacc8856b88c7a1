import type { Content } from 'pdfmake/interfaces.js';
import type { ListedEntry, PeriodReport } from '../documents/report.dto.js';
import type { TieAmount, ReportTie } from '../documents/report-ties.dto.js';
import { exact6, figureCells, fixed, isNothing, localTime, plain, to3, words } from '../render/figures-text.js';
import type { Cell } from '../render/page.js';
import { bolded, FIGURE_COLUMNS, h1, h2, quiet, table, titled } from '../render/page.js';

/** Alcohol that fermentation made and alcohol that was added, line by line. */
export function originsPart({ opening, lines, closing }: PeriodReport): Content[] {
  const row = (name: string, each: TieAmount): string[] => [
    name,
    exact6(each.fermented),
    exact6(each.added),
    exact6(each.litresOfPureAlcohol),
  ];
  return [
    titled(
      [h1('Alcohol by origin'), quiet('Litres of pure alcohol; effect on stock.')],
      table(
        [
          { head: 'Line', width: '*' },
          { head: 'Fermented', width: 90, right: true },
          { head: 'Added', width: 90, right: true },
          { head: 'Together', width: 90, right: true },
        ],
        [
          bolded(row('Opening', opening)),
          ...lines.filter((line) => !isNothing(line)).map((line) => row(words(line.line), line)),
          bolded(row('Closing', closing)),
        ],
      ),
    ),
  ];
}

/** Each stage of stock from opening to closing. */
export function stagesPart({ stages }: PeriodReport): Content[] {
  const filled = stages.filter((each) =>
    [each.opening, each.in, each.out, each.closing].some((figures) => !isNothing(figures)),
  );
  return [
    titled(
      [h1('By stage'), quiet('In and out are the net effects of events on the stage.')],
      table(
        [{ head: 'Stage', width: 60 }, { head: '', width: '*' }, ...FIGURE_COLUMNS],
        filled.flatMap((each): Cell[][] => [
          ...(['opening', 'in', 'out'] as const).map((line) => [words(each.stage), line, ...figureCells(each[line])]),
          bolded([
            words(each.stage),
            each.balances ? 'closing: meets' : 'closing: DOES NOT MEET',
            ...figureCells(each.closing),
          ]),
        ]),
        { none: 'No stage held anything.' },
      ),
    ),
  ];
}

const tieRow = (side: string, name: string, amount: TieAmount, u = ''): string[] => [
  side,
  words(name),
  exact6(amount.litres),
  exact6(amount.litresOfPureAlcohol),
  u,
];

/** Each tie with both sides and the difference. */
export function tieTables(ties: readonly ReportTie[]): Content[] {
  return [
    titled(
      [
        h1('Ties: what was given against what came of it'),
        quiet(
          'By the kind of work, each with its reversals. A line stands with what it took; the difference must be nothing.',
        ),
      ],
      table(
        [
          { head: 'Work', width: 76 },
          { head: 'Side', width: 48 },
          { head: 'What', width: '*' },
          { head: 'Litres', width: 76, right: true },
          { head: 'L pure alcohol', width: 76, right: true },
          { head: 'U, L pure', width: 46, right: true },
        ],
        ties.flatMap((tie): Cell[][] => {
          const items = (side: 'given' | 'taken'): Cell[][] =>
            tie[side].map((each) => [
              words(tie.name),
              ...tieRow(
                side,
                each.name,
                each,
                each.expandedUncertainty === undefined ? '' : to3(each.expandedUncertainty.litresOfPureAlcohol),
              ),
            ]);
          return [
            ...items('given'),
            ...items('taken'),
            bolded([
              words(tie.name),
              ...tieRow('difference', tie.balances ? 'meets' : 'DOES NOT MEET', tie.difference),
            ]),
          ];
        }),
        { none: 'Nothing passed from one stock account to another.' },
      ),
    ),
  ];
}

/** Lots that were declared finished, each with its finding. */
export function producedPart({ lotsProduced, period }: PeriodReport, numbers: ReadonlyMap<string, string>): Content[] {
  return [
    titled(
      [h1('Lots produced')],
      table(
        [
          { head: 'Lot', width: '*' },
          { head: 'Found by', width: 74 },
          { head: '% vol', width: 36, right: true },
          { head: 'U (95 %)', width: 36, right: true },
          { head: 'Sampled (local)', width: 78 },
          { head: 'Litres', width: 62, right: true },
          { head: 'L pure alcohol', width: 62, right: true },
          { head: 'Op. No.', width: 26, right: true },
        ],
        lotsProduced.map((each): Cell[] => [
          each.lotCode ?? words(each.category),
          each.finding === undefined ? 'none' : words(each.finding.methodId),
          each.finding === undefined ? '' : fixed(each.finding.strength.value, 3),
          each.finding === undefined ? '' : fixed(each.finding.expandedUncertainty.value, 3),
          each.finding === undefined ? '' : localTime(each.finding.sampledAt, period.timeZone),
          exact6(each.litres),
          exact6(each.litresOfPureAlcohol),
          numbers.get(each.operationId) ?? '',
        ]),
        { none: 'No lot was declared finished.' },
      ),
    ),
  ];
}

const listed = (entries: readonly ListedEntry[], numbers: ReadonlyMap<string, string>, none: string): Content =>
  table(
    [
      { head: 'Day', width: 54 },
      { head: 'Line', width: 80 },
      { head: 'Reason', width: '*' },
      { head: 'Category', width: 74 },
      { head: 'Litres', width: 68, right: true },
      { head: 'L pure alcohol', width: 64, right: true },
      { head: 'Op. No.', width: 36, right: true },
    ],
    entries.map((each): Cell[] => [
      each.day,
      words(each.line),
      each.reasonCode === undefined ? '' : words(each.reasonCode),
      words(each.category),
      exact6(each.litres),
      exact6(each.litresOfPureAlcohol),
      numbers.get(each.operationId) ?? '',
    ]),
    { none },
  );

const differencesTable = ({ stockDifferences, period }: PeriodReport, numbers: ReadonlyMap<string, string>): Content =>
  titled(
    [h1('Differences of stock-takes')],
    table(
      [
        { head: 'Counted (local)', width: 80 },
        { head: 'What', width: '*' },
        { head: 'Category', width: 70 },
        { head: 'Reason', width: 84 },
        { head: 'Litres', width: 64, right: true },
        { head: 'L pure alcohol', width: 60, right: true },
        { head: 'Op. No.', width: 28, right: true },
      ],
      stockDifferences.map((each): Cell[] => [
        localTime(each.occurredAt, period.timeZone),
        each.what,
        words(each.category),
        each.explained ? words(each.reasonCode ?? '') : { bold: 'UNEXPLAINED' },
        exact6(each.litres),
        exact6(each.litresOfPureAlcohol),
        numbers.get(each.operationId) ?? '',
      ]),
      { none: 'No stock-take differed from the books.' },
    ),
  );

const countsTable = ({ stock, period }: PeriodReport): Content =>
  titled(
    [h2('Last physical count of each product')],
    table(
      [
        { head: 'What', width: '*' },
        { head: 'Category', width: 120 },
        { head: 'Counted or gauged (local)', width: 130 },
      ],
      stock.items.map((each): Cell[] => [
        each.what,
        words(each.category),
        each.lastCountedAt === undefined ? 'never' : localTime(each.lastCountedAt, period.timeZone),
      ]),
      { none: 'Nothing was in stock.' },
    ),
  );

const lateTable = ({ lateEntries, period }: PeriodReport, numbers: ReadonlyMap<string, string>): Content =>
  titled(
    [
      h1('Late entries'),
      quiet(
        `Entered more than ${lateEntries.afterDays === 1 ? 'a day' : `${plain(lateEntries.afterDays)} days`} after the event: ${plain(lateEntries.entries.length)}.`,
      ),
    ],
    table(
      [
        { head: 'What', width: '*' },
        { head: 'Event (local)', width: 110 },
        { head: 'Entered (local)', width: 110 },
        { head: 'Days', width: 40, right: true },
        { head: 'Op. No.', width: 36, right: true },
      ],
      lateEntries.entries.map((each): Cell[] => [
        words(each.kind),
        localTime(each.occurredAt, period.timeZone),
        localTime(each.recordedAt, period.timeZone),
        plain(each.daysLate),
        numbers.get(each.operationId) ?? '',
      ]),
      { none: 'Nothing was entered late.' },
    ),
  );

/** What was lost, missed and put right, when products were last counted, and what was entered late. */
export const lossSections = (report: PeriodReport, numbers: ReadonlyMap<string, string>): Content[] => [
  titled([h1('Losses, each with its day and reason')], listed(report.losses, numbers, 'No loss was entered.')),
  differencesTable(report, numbers),
  countsTable(report),
  titled(
    [h1('Corrections of earlier periods')],
    listed(report.corrections, numbers, 'Nothing of an earlier period was put right.'),
  ),
  lateTable(report, numbers),
];
