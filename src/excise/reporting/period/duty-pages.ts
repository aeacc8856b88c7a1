import type { Content } from 'pdfmake/interfaces.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { LOSS_REASONS } from '../../../tenancy/reasons/reason-codes.js';
import { moneyText, plain, words } from '../render/figures-text.js';
import { h1, h2, quiet } from '../render/page.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';
import { JUDGED } from './judgement-cells.js';
import { returnedPages } from './money-tables.js';
import { earlierPeriodPages } from './earlier-period-tables.js';
import {
  daysTable,
  deficiencyEntriesTable,
  deficiencyTable,
  flagsTable,
  groupsTable,
  roundingTable,
  ruleSetsTable,
  sumsTable,
} from './duty-tables.js';
import { declaredTable, releasesTable } from './release-tables.js';

function indicated({ money, complete, earlierPeriods }: ReportDuty): string {
  if (money.length === 0) {
    return 'No money is indicated, as the rules have no rate for it.';
  }
  const sums = money.map(({ currency, amount }) => `${moneyText({ amount, currency })} ${currency}`).join(', ');
  const corrected = earlierPeriods.some((each) => each.money.length > 0)
    ? ' Corrections of earlier periods are beside it, below.'
    : '';
  return complete
    ? `Indicated in all: ${sums}; every release on which duty may fall has its money. It is no assessment.${corrected}`
    : `Indicated in all: ${sums}; NOT COMPLETE, as a release lacks a rate, a band or a category. It is no assessment.${corrected}`;
}

/** Title of a rule set; its id is in the other formats. */
const ruleName = ({ description, version }: ReportDuty['rule']): string => `${description}, version ${version}`;

const UNROUNDED =
  'The rules round the duty of days or of the period, not of each release: beside a release stands its share before that rounding, with the decimals of the currency.';

function releasePages({ duty }: PeriodReport, context: PageContext): Content[] {
  const releases = releasesTable(duty);
  return [
    tablePage(
      releases,
      {
        heading: [
          h1('Released: litres and litres of pure alcohol for duty'),
          quiet(`By the rules in force on the last day of the period: ${ruleName(duty.rule)}.`),
        ],
        groupBy: ['category'],
        shown: [
          ['duty_date', 48],
          ['goods', '*'],
          ...(duty.previouslyDutyPaid.goods.length === 0 ? [] : [['duty_status', 48] as const]),
          ['count', 26],
          ['litres', 44],
          ['strength_for_duty_percent', 34],
          ['litres_of_pure_alcohol_for_duty', 48],
          ['rate', 32],
          ['duty', 46],
          ['recipient', 66],
          ['operations', 22],
        ],
        none: 'Nothing was released.',
        note: duty.releases.some(({ moneyBeforeRounding }) => moneyBeforeRounding !== undefined)
          ? UNROUNDED
          : undefined,
      },
      context,
    ),
    tablePage(
      sumsTable(duty),
      {
        heading: [h2('Sums, and the releases against the books')],
        none: 'Nothing was released.',
        shown: [
          ['sum', '*'],
          ['releases', 44],
          ['litres', 62],
          ['litres_of_pure_alcohol_for_duty', 62],
          ['litres_of_pure_alcohol_in_books', 62],
          ['money', 56],
          ['currency', 40],
          ['balances', 38],
        ],
      },
      context,
    ),
    tablePage(
      declaredTable(duty),
      {
        heading: [h2('Declared against measured')],
        shown: [
          ['goods', '*'],
          ['releases', 44],
          ['declared_percent', 60],
          ['measured_percent', 60],
          ['measured_expanded_uncertainty_percent', 50],
          ['strength_from', 60],
          ['strength_for_duty_percent', 56],
        ],
        none: 'Nothing was released.',
      },
      context,
    ),
  ];
}

/** Releases and the duty that is indicated for them, with the flags to be looked at. */
export const dutyPages = (report: PeriodReport, context: PageContext): Content[] => [
  ...releasePages(report, context),
  tablePage(
    groupsTable(report.duty),
    {
      heading: [h2('Indicated duty by category, band and rate')],
      groupBy: report.duty.ruleSets.length > 1 ? ['rule_name'] : [],
      shown: [
        ['duty_category', '*'],
        ['band', 50],
        ...(report.duty.groups.some(({ degree }) => degree !== undefined) ? [['degree', 32] as const] : []),
        ['untaxed', 38],
        ['relieved', 38],
        ['quantity', 56],
        ['unit', 32],
        ['rate', 38],
        ['money', 48],
        ['currency', 28, ''],
      ],
      none: 'No category of duty had anything.',
      note: indicated(report.duty),
    },
    context,
  ),
  ...(report.duty.groups.every(({ days }) => days.length === 0)
    ? []
    : [
        tablePage(
          daysTable(report.duty),
          {
            heading: [h2('Sums of days')],
            shown: [
              ['duty_category', '*'],
              ['band', 70],
              ['day', 56],
              ['quantity_raw', 74],
              ['quantity', 62],
              ['unit', 40],
              ['money', 56],
            ],
          },
          context,
        ),
      ]),
  tablePage(
    flagsTable(report.duty, report.deficiency),
    {
      heading: [h2('Flags')],
      shown: [
        ['of', 92],
        ['code', 110],
        ['detail', '*'],
        ['operations', 26],
      ],
      none: 'No flag was raised.',
    },
    context,
  ),
  ...returnedPages(report.duty, context),
  ...earlierPeriodPages(report.duty, context),
];

/** Reasons that a rule charges, in words; nothing where it charges all. */
function chargedReasons(free: readonly string[] = []): string {
  const charged = LOSS_REASONS.filter((code) => !free.includes(code)).map(words);
  if (free.length === 0) {
    return '';
  }
  return charged.length === 0 ? ' without a reason' : ` without a reason or with the reason ${charged.join(', ')}`;
}

/** Losses and shortages beyond what the producer's rules allow. */
export function deficiencyPages({ deficiency }: PeriodReport, context: PageContext): Content[] {
  const rules = deficiency.rules.map(
    ({ line, freeReasons, allowance }) =>
      `${words(line)}${chargedReasons(freeReasons)}${allowance === undefined ? '' : ` beyond ${plain(allowance.value)} %`}`,
  );
  return [
    tablePage(
      deficiencyTable(deficiency),
      {
        heading: [
          h1('Chargeable deficiency'),
          quiet(
            rules.length === 0
              ? 'By the producer’s setting no loss is chargeable.'
              : `Chargeable by the producer’s setting: ${rules.join('; ')}. The allowance is a percentage of the category's opening stock and receipts.`,
          ),
          ...(deficiency.lines.length === 0 ? [] : [quiet(JUDGED)]),
        ],
        shown: [
          ['line', 66],
          ['category', '*'],
          ['lost', 48],
          ['judged_uncertainty', 40],
          ['probability', 30],
          ['allowance', 48],
          ['litres', 50],
          ['litres_of_pure_alcohol_for_duty', 54],
          ['money', 34],
          ['currency', 24, ''],
        ],
        none: 'Nothing is chargeable.',
        note: `Reckoned separately from the duty of releases. Stock-take differences without a reason: ${plain(deficiency.unexplainedDifferences)}.`,
      },
      context,
    ),
    ...(deficiency.entries.length === 0
      ? []
      : [
          tablePage(
            deficiencyEntriesTable(deficiency),
            {
              heading: [h2('Entries with anything chargeable')],
              shown: [
                ['day', 54],
                ['line', 86],
                ['category', '*'],
                ['litres', 62],
                ['strength_for_duty_percent', 50],
                ['litres_of_pure_alcohol_for_duty', 66],
                ['operations', 26],
              ],
            },
            context,
          ),
        ]),
  ];
}

/** The roundings that changed a value, and the rule sets that ordered them. */
export const roundingPages = ({ duty, deficiency }: PeriodReport, context: PageContext): Content[] => [
  tablePage(
    roundingTable(duty, deficiency),
    {
      heading: [
        h1('Roundings for duty'),
        quiet(
          'Each value that a step of the rules changed, before and after it; the CSV lists the steps that changed nothing, too. Nothing else is rounded.',
        ),
      ],
      groupBy: ['step'],
      shown: [
        ['of', '*'],
        ['basis', 56],
        ['mode', 62],
        ['places', 32],
        ['grouping', 40],
        ['raw', 84],
        ['result', 60],
      ],
      none: 'No step changed a value.',
    },
    context,
  ),
  tablePage(
    ruleSetsTable(duty),
    {
      heading: [h2('Rule sets')],
      shown: [
        ['name', 84],
        ['version', 36],
        ['since', 50],
        ['strength_rule', 70],
        ['sources', '*'],
        ['advice', 100],
      ],
      none: 'No duty was calculated.',
    },
    context,
  ),
];
