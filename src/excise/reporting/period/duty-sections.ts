import type { Content } from 'pdfmake/interfaces.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { roundings } from './duty-tables.js';
import { decimalText, exact6, fixed, plain, words } from '../render/figures-text.js';
import type { Cell, Column } from '../render/page.js';
import { bolded, factList, h1, h2, quiet, table, titled } from '../render/page.js';

const OPERATION: Column = { head: 'Op. No.', width: 26, right: true };

function releasesTable({ duty }: PeriodReport, numbers: ReadonlyMap<string, string>): Content[] {
  return [
    titled(
      [
        h1('Released: litres and litres of pure alcohol for duty'),
        quiet(`Rule ${duty.rule.id} ${duty.rule.version}: ${duty.rule.words}`),
      ],
      table(
        [
          { head: 'Duty date', width: 48 },
          { head: 'Lot mark', width: '*' },
          { head: 'Category', width: 66 },
          { head: 'Count', width: 28, right: true },
          { head: 'Litres', width: 52, right: true },
          { head: '% vol for duty', width: 34, right: true },
          { head: 'L pure, for duty', width: 46, right: true },
          { head: 'L pure, in books', width: 46, right: true },
          { ...OPERATION, width: 22 },
        ],
        [
          ...duty.releases.map((each): Cell[] => [
            each.dutyDate,
            each.lotMark,
            words(each.category),
            plain(each.count),
            exact6(each.litres),
            plain(each.strengthForDuty.value, 3),
            exact6(each.litresOfPureAlcoholForDuty),
            exact6(each.litresOfPureAlcoholInBooks),
            numbers.get(each.operationId) ?? '',
          ]),
          [
            ...bolded([
              'Total',
              '',
              '',
              '',
              exact6(duty.litres),
              '',
              exact6(duty.litresOfPureAlcoholForDuty),
              exact6(duty.litresOfPureAlcoholInBooks),
            ]),
            '',
          ],
        ],
      ),
    ),
    quiet(
      `Tie to the books: litres differ by ${exact6(duty.tie.litres)}; litres of pure alcohol for duty less those of the books are ${exact6(duty.tie.litresOfPureAlcohol)}. Released again with duty paid before, not in the table: ${plain(duty.paidBefore.releases)} of ${exact6(duty.paidBefore.litres)} L, ${exact6(duty.paidBefore.litresOfPureAlcohol)} L of pure alcohol.`,
    ),
  ];
}

const strengthsTable = ({ duty }: PeriodReport, numbers: ReadonlyMap<string, string>): Content =>
  titled(
    [h2('Declared against measured')],
    table(
      [
        { head: 'Lot mark', width: '*' },
        { head: 'Declared, % vol', width: 62, right: true },
        { head: 'Measured, % vol', width: 64, right: true },
        { head: 'U (95 %)', width: 40, right: true },
        { head: 'Measured less declared', width: 62, right: true },
        { head: 'For duty, from', width: 56 },
        { head: 'For duty, % vol', width: 44, right: true },
        OPERATION,
      ],
      duty.releases.map((each): Cell[] => [
        each.lotMark,
        plain(each.declaredStrength.value),
        each.measuredStrength === undefined ? 'none' : fixed(each.measuredStrength.strength.value, 3),
        each.measuredStrength === undefined ? '' : fixed(each.measuredStrength.expandedUncertainty.value, 3),
        each.measuredStrength === undefined
          ? ''
          : fixed(each.measuredStrength.strength.value - each.declaredStrength.value, 3),
        each.strengthFrom,
        plain(each.strengthForDuty.value, 3),
        numbers.get(each.operationId) ?? '',
      ]),
      { none: 'Nothing was released.' },
    ),
  );

const groupName = ({ category, band }: ReportDuty['groups'][number]): string =>
  [words(category), band ?? ''].filter((word) => word !== '').join(', ');

function indicated({ money, complete }: ReportDuty): string {
  if (money.length === 0) {
    return 'No money is indicated, as the rules have no rate for it.';
  }
  const sums = money.map(({ currency, amount }) => `${decimalText(amount)} ${currency}`).join(', ');
  const whole = complete
    ? 'every release on which duty may fall has its money'
    : 'NOT COMPLETE, as a release lacks a rate, a band or a category';
  return `Indicated in all: ${sums}; ${whole}. It is no assessment.`;
}

function groupsTable({ duty }: PeriodReport): Content[] {
  return [
    titled(
      [h2('Indicated duty by category, band and rate')],
      table(
        [
          { head: 'Category and band', width: '*' },
          { head: 'Rule set', width: 52 },
          { head: 'Quantity, raw', width: 70, right: true },
          { head: 'Quantity', width: 66, right: true },
          { head: 'Unit', width: 40 },
          { head: 'Rate', width: 46, right: true },
          { head: 'Duty', width: 62, right: true },
        ],
        duty.groups.map((each): Cell[] => [
          `${groupName(each)}${each.untaxed ? ' (untaxed)' : ''}${each.relieved ? ' (relieved)' : ''}`,
          `${each.ruleSet.id.slice(0, 8)} v${each.ruleSet.version}`,
          decimalText(each.quantity.raw),
          decimalText(each.quantity.result),
          each.quantity.unit,
          each.rate === undefined ? '' : decimalText(each.rate.amount),
          each.money === undefined ? '' : `${decimalText(each.money.amount)} ${each.money.currency}`,
        ]),
        { none: 'No category of duty had anything.' },
      ),
    ),
    quiet(indicated(duty)),
  ];
}

function flagsTable({ duty, deficiency }: PeriodReport, numbers: ReadonlyMap<string, string>): Content {
  const rows = [
    ...duty.releases.flatMap((each) =>
      each.flags.map((flag) => ({ ...flag, what: each.lotMark, id: each.operationId })),
    ),
    ...deficiency.entries.flatMap((each) =>
      each.flags.map((flag) => ({ ...flag, what: words(each.line), id: each.operationId })),
    ),
  ];
  return titled(
    [h2('To be looked at')],
    table(
      [{ head: 'What', width: 92 }, { head: 'Flag', width: 110 }, { head: 'Detail', width: '*' }, OPERATION],
      rows.map((each): Cell[] => [each.what, words(each.code), each.detail, numbers.get(each.id) ?? '']),
      { none: 'No flag was raised.' },
    ),
  );
}

/** Losses and shortages beyond what the producer's rules allow. */
export function deficiencyPart({ deficiency }: PeriodReport, numbers: ReadonlyMap<string, string>): Content[] {
  const rules = deficiency.rules.map(
    ({ line, onlyWithoutReason, allowance }) =>
      `${words(line)}${onlyWithoutReason === true ? ' without a reason' : ''}${allowance === undefined ? '' : ` beyond ${plain(allowance.value)} %`}`,
  );
  const money = deficiency.money.map(({ currency, amount }) => `${decimalText(amount)} ${currency}`).join(', ');
  return [
    titled(
      [
        h1('Chargeable deficiency'),
        quiet(
          rules.length === 0
            ? 'By the producer’s setting no loss is chargeable.'
            : `Chargeable by the producer’s setting: ${rules.join('; ')}. The allowance is of what the category opened with and what came in.`,
        ),
      ],
      table(
        [
          { head: 'Line', width: 80 },
          { head: 'Category', width: '*' },
          { head: 'Lost, L', width: 56, right: true },
          { head: 'Allowed, L', width: 56, right: true },
          { head: 'Chargeable, L', width: 60, right: true },
          { head: 'L pure alcohol', width: 60, right: true },
          { head: 'L pure, for duty', width: 60, right: true },
        ],
        [
          ...deficiency.lines.map((each): Cell[] => [
            words(each.line),
            words(each.category),
            exact6(each.lost),
            exact6(each.allowance),
            exact6(each.litres),
            exact6(each.litresOfPureAlcohol),
            exact6(each.litresOfPureAlcoholForDuty),
          ]),
          bolded([
            'Total',
            '',
            '',
            '',
            exact6(deficiency.litres),
            exact6(deficiency.litresOfPureAlcohol),
            exact6(deficiency.litresOfPureAlcoholForDuty),
          ]),
        ],
      ),
    ),
    ...(deficiency.entries.length === 0
      ? []
      : [
          h2('Entries with anything chargeable'),
          table(
            [
              { head: 'Day', width: 54 },
              { head: 'Line', width: 86 },
              { head: 'Category', width: '*' },
              { head: 'Chargeable, L', width: 62, right: true },
              { head: '% vol for duty', width: 50, right: true },
              { head: 'L pure, for duty', width: 66, right: true },
              OPERATION,
            ],
            deficiency.entries.map((each): Cell[] => [
              each.day,
              words(each.line),
              words(each.category),
              exact6(each.litres),
              plain(each.strengthForDuty.value, 3),
              exact6(each.litresOfPureAlcoholForDuty),
              numbers.get(each.operationId) ?? '',
            ]),
          ),
        ]),
    quiet(
      `Reckoned by itself, not in the duty of releases${money === '' ? '' : `; indicated: ${money}`}. Differences without a reason: ${plain(deficiency.unexplained)}.`,
    ),
  ];
}

/** What was released and what it comes to for duty, with whatever wants to be looked at. */
export const dutySections = (report: PeriodReport, numbers: ReadonlyMap<string, string>): Content[] => [
  ...releasesTable(report, numbers),
  strengthsTable(report, numbers),
  ...groupsTable(report),
  flagsTable(report, numbers),
];

/** Every rounding, and the rule sets that ordered it. */
export function roundingsPart({ duty, deficiency }: PeriodReport): Content[] {
  return [
    titled(
      [
        h1('Roundings for duty'),
        quiet('Each value before and after the step that rounded it; nothing else is rounded.'),
      ],
      table(
        [
          { head: 'Of', width: '*' },
          { head: 'Step', width: 110 },
          { head: 'Rule', width: 96 },
          { head: 'By', width: 30 },
          { head: 'Raw', width: 84, right: true },
          { head: 'Result', width: 56, right: true },
        ],
        roundings(duty, deficiency).map(({ of, step }): Cell[] => [
          of.replace(/ [0-9a-f-]{36}$/, ''),
          step.name,
          `${words(step.basis)}, ${step.mode} to ${step.places}`,
          step.grouping,
          decimalText(step.raw),
          decimalText(step.result),
        ]),
        { none: 'The rules rounded nothing.' },
      ),
    ),
    ...duty.ruleSets.map((set) =>
      titled(
        [h2(`Rule set ${set.words}`)],
        factList([
          ['Id and version', `${set.id}, version ${set.version}, from ${set.validFrom}`],
          ['Strength for duty', words(set.strengthRule)],
          [
            'Sources',
            set.sources.map(({ citation, edition }) => `${citation} (${edition})`).join('; ') || 'none named',
          ],
          ['Note', set.advice],
        ]),
      ),
    ),
  ];
}
