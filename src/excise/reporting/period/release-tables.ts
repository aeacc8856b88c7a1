import { grouped } from '../../../platform/grouped.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { Release } from '../documents/release.dto.js';
import type { ReportTable } from '../render/report-table.js';
import {
  bearing,
  code,
  decimal,
  expanded,
  instant,
  money,
  number,
  onPageOnly,
  operationPart,
  operations,
  tableOf,
  text,
} from '../render/report-table.js';
import { FOR_DUTY, forDutyCells, MONEY, moneyCells, QUANTITY, quantityCells, versionOf } from './duty-tables.js';

const operationCells = (each: Pick<Release, 'operations' | 'operationId' | 'lotMark'>) => {
  const operations = { link: each.operations, operationId: each.operationId, goods: each.lotMark };
  return { operations, goods: operations, recipient: operations };
};

const STRENGTHS = {
  declared_percent: number('Declared, % vol'),
  measured_percent: bearing('measured_expanded_uncertainty_percent', number('Measured, % vol')),
  measured_expanded_uncertainty_percent: expanded(number('U, % vol')),
  strength_from: code('For duty, from'),
  strength_for_duty_percent: number('% vol for duty'),
};
const strengthCells = (each: Release) => ({
  declared_percent: each.declaredStrength.value,
  measured_percent: each.measuredStrength?.strength.value,
  measured_expanded_uncertainty_percent: each.measuredStrength?.expandedUncertainty.value,
  strength_from: each.strengthFrom,
  strength_for_duty_percent: each.strengthForDuty.value,
});

export const releasesTable = (duty: ReportDuty): ReportTable =>
  tableOf(
    'releases',
    {
      kind: code('Kind'),
      duty_status: code('Duty status'),
      duty_date: text('Duty date'),
      occurred_at: instant('Occurred (local)'),
      lot_mark: text('Lot mark'),
      category: code('Category'),
      count: number('Count'),
      ...STRENGTHS,
      ...FOR_DUTY,
      rule_set: text('Rule set'),
      duty_category: text('Duty category'),
      band: text('Band'),
      ...QUANTITY,
      rate: decimal('Rate'),
      ...MONEY,
      money_before_rounding: decimal('Duty, unrounded'),
      duty: onPageOnly(money('Duty')),
      flags: text('Flags'),
      operations: operations('Op. No.'),
      goods: operationPart('Product', 'goods'),
      recipient: operationPart('Recipient', 'recipient'),
    },
    [
      ...duty.releases.map((each) => ({
        kind: each.kind,
        duty_status: 'suspended',
        duty_date: each.dutyDate,
        occurred_at: each.occurredAt,
        lot_mark: each.lotMark,
        category: each.category,
        count: each.count,
        ...strengthCells(each),
        ...forDutyCells(each),
        rule_set: versionOf(each.ruleSet),
        duty_category: each.dutyCategory,
        band: each.band,
        ...quantityCells(each.quantity),
        rate: each.rate?.amount,
        ...moneyCells(each.money ?? each.moneyBeforeRounding),
        money: each.money?.amount,
        money_before_rounding: each.moneyBeforeRounding?.amount,
        duty: (each.money ?? each.moneyBeforeRounding)?.amount,
        flags: each.flags.map(({ code: name }) => name).join(' '),
        ...operationCells(each),
      })),
      // Not charged again; listed, so that the table adds up to the books.
      ...duty.previouslyDutyPaid.goods.map((each) => ({
        kind: each.kind,
        duty_status: 'paid',
        occurred_at: each.occurredAt,
        lot_mark: each.lotMark,
        category: each.category,
        count: each.count,
        litres: each.litres,
        litres_of_pure_alcohol_in_books: each.litresOfPureAlcoholInBooks,
        ...operationCells(each),
      })),
    ],
  );

/** Releases of each packed lot, by its strengths: one row for all of its releases. */
export function declaredTable(duty: ReportDuty): ReportTable {
  const rows = grouped(
    duty.releases,
    ({ packagedLotId, lotMark, declaredStrength, measuredStrength, strengthForDuty }) =>
      [packagedLotId ?? lotMark, declaredStrength.value, measuredStrength?.findingId, strengthForDuty.value].join('\n'),
  );
  return tableOf(
    'declared-and-measured',
    {
      lot_mark: text('Lot mark'),
      goods: operationPart('Product', 'goods'),
      releases: number('Releases'),
      ...STRENGTHS,
    },
    [...rows.values()].map((releases) => ({
      lot_mark: releases[0].lotMark,
      goods: operationCells(releases[0]).goods,
      releases: releases.length,
      ...strengthCells(releases[0]),
    })),
  );
}
