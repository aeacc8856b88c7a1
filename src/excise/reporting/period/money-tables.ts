import type { Content } from 'pdfmake/interfaces.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { ReturnedDuty } from '../documents/returned-duty.dto.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { moneyText } from '../render/figures-text.js';
import { h2, quiet, table } from '../render/page.js';
import type { ReportTable } from '../render/report-table.js';
import { code, decimal, litres, money, operations, tableOf, text } from '../render/report-table.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';

/** Indicated duty by currency, with what it is made of. */
export const moneyTable = ({ money: parts }: Pick<PeriodReport, 'money'>): ReportTable =>
  tableOf(
    'indicated-duty',
    {
      currency: text('Currency'),
      releases: money('Releases'),
      deficiency: money('Deficiency'),
      earlier_periods: money('Earlier periods'),
      returns: money('Goods returned'),
      total: money('In all'),
      claims: money('To be claimed'),
    },
    parts.map(({ currency, releases, deficiency, earlierPeriods, returns, total, claims }) => ({
      currency,
      releases,
      deficiency,
      earlier_periods: earlierPeriods,
      returns,
      total,
      claims,
    })),
  );

/** The box of the first page; nothing where no money is indicated. */
export const moneyBox = ({ money: parts }: Pick<PeriodReport, 'money'>): Content[] =>
  parts.length === 0
    ? []
    : [
        { text: 'Indicated duty', style: 'h2' },
        table(
          [
            { head: 'Currency', width: '*' },
            ...['Releases', 'Deficiency', 'Earlier periods', 'Goods returned', 'In all', 'To be claimed'].map(
              (head) => ({
                head,
                width: 66,
                right: true,
              }),
            ),
          ],
          parts.map((each) => [
            each.currency,
            ...[each.releases, each.deficiency, each.earlierPeriods, each.returns].map((amount) =>
              moneyText({ ...each, amount }),
            ),
            { bold: moneyText({ ...each, amount: each.total }) },
            moneyText({ ...each, amount: each.claims }),
          ]),
        ),
        quiet('No assessment: local law and licensed practice decide what is owed.'),
      ];

/** Goods that came back under suspension, each with the movement by which they had gone out. */
export const returnedTable = ({ returned }: ReportDuty): ReportTable =>
  tableOf(
    'duty-on-returns',
    {
      day: text('Day'),
      lot_mark: text('Lot mark'),
      litres: litres('Litres', 2),
      litres_of_pure_alcohol_for_duty: litres('L pure, for duty', 4),
      duty_date: text('Went out'),
      matched_by: code('Matched'),
      rate: decimal('Rate'),
      operations: operations('Op. No.'),
    },
    returned.goods.map((each) => ({
      day: each.day,
      lot_mark: each.lotMark,
      litres: each.litres,
      litres_of_pure_alcohol_for_duty: each.litresOfPureAlcoholForDuty,
      duty_date: each.dutyDate,
      matched_by: each.matchedBy,
      rate: each.rate?.amount,
      operations: { link: each.operations, operationId: each.operationId },
    })),
  );

const TREATMENTS: Readonly<Record<ReturnedDuty['treatment'], string>> = {
  'offset-day': 'The rules set it off against the releases of the same day.',
  'offset-period': 'The rules set it off against the releases of the period.',
  claim: 'The rules have it claimed separately: it is not taken off here.',
};

/** Duty on goods returned; nothing where no goods came back under suspension. */
export const returnedPages = (duty: ReportDuty, context: PageContext): Content[] =>
  duty.returned.goods.length === 0
    ? []
    : [
        tablePage(
          returnedTable(duty),
          {
            heading: [
              h2('Duty on goods returned'),
              quiet(
                `At the rate of the day on which duty was charged: ${duty.returned.money
                  .map((each) => `${moneyText(each)} ${each.currency}`)
                  .join(', ')}. ${TREATMENTS[duty.returned.treatment]}`,
              ),
            ],
            shown: [
              ['day', 54],
              ['lot_mark', '*'],
              ['litres', 56],
              ['litres_of_pure_alcohol_for_duty', 60],
              ['duty_date', 54],
              ['matched_by', 64],
              ['rate', 44],
              ['operations', 36],
            ],
          },
          context,
        ),
      ];
