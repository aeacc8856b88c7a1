import type { Content } from 'pdfmake/interfaces.js';
import { dayBefore } from '../../../production/shared/local-day.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { DutyAmount, GoodsForDuty } from '../documents/duty-amount.dto.js';
import type { EarlierPeriodDuty } from '../documents/earlier-periods.dto.js';
import { moneyText } from '../render/figures-text.js';
import { h2, quiet } from '../render/page.js';
import type { ReportTable } from '../render/report-table.js';
import {
  code,
  decimal,
  instant,
  litres,
  money,
  operationPart,
  operations,
  tableOf,
  text,
} from '../render/report-table.js';
import type { PageContext } from '../render/table-page.js';
import { tablePage } from '../render/table-page.js';

const periodName = ({ startsOn, endsBefore }: EarlierPeriodDuty): string => `${startsOn} to ${dayBefore(endsBefore)}`;

interface Three<T> {
  readonly declared: T;
  readonly corrected: T;
  readonly change: T;
}

const goodsCells = ({ declared, corrected, change }: Three<GoodsForDuty>) => ({
  litres_declared: declared.litres,
  litres_corrected: corrected.litres,
  litres_change: change.litres,
  litres_of_pure_alcohol_change: change.litresOfPureAlcoholForDuty,
});

const moneyCells = ({ declared, corrected, change }: Three<DutyAmount>) => ({
  money_declared: declared.money?.amount,
  money_corrected: corrected.money?.amount,
  money_change: change.money?.amount,
  currency: (change.money ?? corrected.money ?? declared.money)?.currency,
});

/** Duty of earlier periods, group by group, each with the products that changed. */
export const earlierPeriodsTable = ({ earlierPeriods }: ReportDuty): ReportTable =>
  tableOf(
    'earlier-period-duty',
    {
      period: text('Period'),
      duty_category: code('Category'),
      band: text('Band'),
      rate: decimal('Rate'),
      product: text('Product'),
      litres_declared: litres('Litres declared', 2),
      litres_corrected: litres('Corrected', 2),
      litres_change: litres('Change', 2),
      litres_of_pure_alcohol_change: litres('L pure, change', 4),
      money_declared: money('Duty declared'),
      money_corrected: money('Corrected'),
      money_change: money('Change'),
      currency: text('Currency'),
    },
    earlierPeriods.flatMap((each) =>
      each.groups.flatMap((group) => [
        {
          period: periodName(each),
          duty_category: group.category,
          band: group.band,
          rate: group.rate?.amount,
          ...goodsCells(group),
          ...moneyCells(group),
          emphasised: true,
        },
        ...group.products.map((product) => ({ product: product.lotMark, ...goodsCells(product) })),
      ]),
    ),
  );

/** Entries behind the changes: what, when, why. */
export const correctingEntriesTable = ({ earlierPeriods }: ReportDuty): ReportTable =>
  tableOf(
    'earlier-period-entries',
    {
      period: text('Period'),
      recorded_at: instant('Entered'),
      kind: code('Entry'),
      reason_code: code('Reason'),
      person_id: text('Person'),
      operations: operations('Op. No.'),
      name: operationPart('Entry', 'name'),
      goods: operationPart('Goods', 'goods'),
      count: operationPart('Count', 'count'),
    },
    earlierPeriods.flatMap((each) =>
      each.entries.map(({ operationId, recordedAt, kind, reasonCode, personId, operation }) => ({
        period: periodName(each),
        recorded_at: recordedAt,
        kind,
        reason_code: reasonCode,
        person_id: personId,
        operations: { link: operation, operationId },
        name: { link: operation, operationId },
        goods: { link: operation, operationId },
        count: { link: operation, operationId },
      })),
    ),
  );

const CAUSES: Readonly<Record<EarlierPeriodDuty['causes'][number], string>> = {
  entries: 'entries that correct it',
  strengths: 'a strength found anew of goods that were released in it',
  rules: 'duty rules that were entered later',
};

const because = (each: EarlierPeriodDuty): string => {
  const changed = each.money.map(({ amount, currency }) => `${moneyText({ amount, currency })} ${currency}`).join(', ');
  const causes = each.causes.map((cause) => CAUSES[cause]).join('; ');
  return `${periodName(each)}: ${causes}. Change of the indicated duty: ${changed === '' ? 'none' : changed}.`;
};

/** Corrections of the duty of closed periods; nothing where there are none. */
export const earlierPeriodPages = (duty: ReportDuty, context: PageContext): Content[] =>
  duty.earlierPeriods.length === 0
    ? []
    : [
        tablePage(
          earlierPeriodsTable(duty),
          {
            heading: [
              h2('Duty of earlier periods, corrected'),
              quiet('At the rate of the original duty date. Local law decides how and when a correction is declared.'),
              ...duty.earlierPeriods.map((each) => quiet(because(each))),
            ],
            groupBy: ['period'],
            shown: [
              ['duty_category', '*'],
              ['band', 44],
              ['rate', 32],
              ['product', 60],
              ['litres_declared', 44],
              ['litres_corrected', 44],
              ['litres_change', 36],
              ['money_declared', 42],
              ['money_corrected', 44],
              ['money_change', 36],
              ['currency', 24, ''],
            ],
          },
          context,
        ),
        ...(duty.earlierPeriods.every(({ entries }) => entries.length === 0)
          ? []
          : [
              tablePage(
                correctingEntriesTable(duty),
                {
                  heading: [h2('Entries that correct earlier periods')],
                  groupBy: ['period'],
                  shown: [
                    ['recorded_at', 80],
                    ['name', 80],
                    ['goods', '*'],
                    ['count', 30],
                    ['reason_code', 90],
                    ['operations', 30],
                  ],
                },
                context,
              ),
            ]),
      ];
