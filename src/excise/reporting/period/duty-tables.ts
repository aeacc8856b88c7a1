import { Exact } from '../../../metrology/decimals.js';
import type { Deficiency, DeficiencyLine } from '../documents/deficiency.dto.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { DutyRule } from '../documents/release.dto.js';
import type { DutyQuantity, Money, RoundedStep } from '../documents/duty-values.dto.js';
import { words } from '../render/figures-text.js';
import type { ReportTable } from '../render/report-table.js';
import { JUDGEMENT, judgementCells } from './judgement-cells.js';
import {
  code,
  decimal,
  flag,
  litres,
  money,
  number,
  onPageOnly,
  operations,
  tableOf,
  text,
} from '../render/report-table.js';

/** The day from which rules count that hold for all time. */
const ALWAYS = '0001-01-01';

const OPERATION = operations('Op. No.');

export const QUANTITY = { quantity_raw: decimal('Quantity, raw'), quantity: decimal('Quantity'), unit: text('Unit') };
export const quantityCells = (each: DutyQuantity | undefined) => ({
  quantity_raw: each?.raw,
  quantity: each?.result,
  unit: each?.unit,
});

export const MONEY = { money: money('Duty'), currency: text('Currency') };
export const moneyCells = (each: Money | undefined) => ({ money: each?.amount, currency: each?.currency });

export const FOR_DUTY = {
  litres: litres('Litres'),
  litres_of_pure_alcohol_for_duty: litres('L pure, for duty'),
  litres_of_pure_alcohol_in_books: litres('L pure, in books'),
};
type DutyLitres = Pick<ReportDuty, 'litres' | 'litresOfPureAlcoholForDuty' | 'litresOfPureAlcoholInBooks'>;
export const forDutyCells = (each: DutyLitres) => ({
  litres: each.litres,
  litres_of_pure_alcohol_for_duty: each.litresOfPureAlcoholForDuty,
  litres_of_pure_alcohol_in_books: each.litresOfPureAlcoholInBooks,
});

/** Title of a rule set, for a page. */
const nameOf = ({ ruleSets }: ReportDuty, { id, version }: Pick<DutyRule, 'id' | 'version'>): string => {
  const set = ruleSets.find((each) => each.id === id && each.version === version);
  return set === undefined ? '' : `${set.description}, version ${version}`;
};

export const versionOf = ({ id, version }: Pick<DutyRule, 'id' | 'version'>): string => `${id} ${version}`;

const groupName = ({ category, band }: ReportDuty['groups'][number]): string => [category, band ?? ''].join(' ').trim();

export const groupsTable = (duty: ReportDuty): ReportTable =>
  tableOf(
    'duty-groups',
    {
      rule_set: text('Rule set'),
      rule_name: onPageOnly(text('Rule set')),
      duty_category: code('Category'),
      band: text('Band'),
      degree: decimal('Degree Plato'),
      untaxed: flag('Untaxed'),
      relieved: flag('Relieved'),
      releases: number('Releases'),
      ...FOR_DUTY,
      ...QUANTITY,
      rate: decimal('Rate'),
      ...MONEY,
    },
    duty.groups.map((each) => ({
      rule_set: versionOf(each.ruleSet),
      rule_name: nameOf(duty, each.ruleSet),
      duty_category: each.category,
      band: each.band,
      degree: each.degree === undefined ? undefined : String(each.degree),
      untaxed: each.untaxed,
      relieved: each.relieved,
      releases: each.releases,
      ...forDutyCells(each),
      ...quantityCells(each.quantity),
      rate: each.rate?.amount,
      ...moneyCells(each.money),
    })),
  );

/** Sums of days, where the rules round those. */
export const daysTable = (duty: ReportDuty): ReportTable =>
  tableOf(
    'duty-days',
    { duty_category: code('Category'), band: text('Band'), day: text('Day'), ...QUANTITY, ...MONEY },
    duty.groups.flatMap((group) =>
      group.days.map((each) => ({
        duty_category: group.category,
        band: group.band,
        day: each.day,
        ...quantityCells(each.quantity),
        ...moneyCells(each.money),
      })),
    ),
  );

/** Every rounding of the document with what it rounded: of a release, a day, a group, or a chargeable loss. */
export function roundingTable(duty: ReportDuty, deficiency: Deficiency): ReportTable {
  const all = (of: string, steps: readonly RoundedStep[]) =>
    steps.map(({ name, basis, mode, places, grouping, raw, result }) => ({
      of,
      step: name,
      basis,
      mode,
      places,
      grouping,
      raw,
      result,
      csvOnly: new Exact(raw).equals(result),
    }));
  return tableOf(
    'duty-rounding',
    {
      of: text('Of'),
      step: text('Step'),
      basis: code('Basis'),
      mode: code('Mode'),
      places: number('Places'),
      grouping: code('By'),
      raw: decimal('Raw'),
      result: decimal('Result'),
    },
    [
      ...duty.releases.flatMap((each) => all(`${each.dutyDate} ${each.lotMark}`, each.steps)),
      ...duty.groups.flatMap((group) => [
        ...group.days.flatMap(({ day, steps }) => all(`${groupName(group)}, ${day}`, steps)),
        ...all(`${groupName(group)}, period`, group.steps),
      ]),
      ...deficiency.entries.flatMap((each) => all(`${each.day} ${words(each.line)}`, each.steps)),
    ],
  );
}

export function flagsTable(duty: ReportDuty, deficiency: Deficiency): ReportTable {
  const rows = [
    ...duty.releases.map((each) => ({ ...each, day: each.dutyDate, of: each.lotMark })),
    ...deficiency.entries.map((each) => ({ ...each, of: words(each.line) })),
  ];
  return tableOf(
    'duty-flags',
    { day: text('Day'), of: text('Of'), code: code('Flag'), detail: text('Detail'), operations: OPERATION },
    rows.flatMap(({ day, of, flags, operations: link, operationId }) =>
      flags.map((each) => ({ day, of, ...each, operations: { link, operationId } })),
    ),
  );
}

export const ruleSetsTable = (duty: ReportDuty): ReportTable =>
  tableOf(
    'duty-rule-sets',
    {
      id: text('Id'),
      version: text('Version'),
      name: text('Rule set'),
      valid_from: text('Valid from'),
      since: onPageOnly(text('Valid from')),
      strength_rule: code('Strength for duty'),
      sources: text('Sources'),
      advice: text('Note'),
    },
    duty.ruleSets.map((each) => ({
      id: each.id,
      version: each.version,
      name: each.description,
      valid_from: each.validFrom,
      since: each.validFrom === ALWAYS ? 'always' : each.validFrom,
      strength_rule: each.strengthRule,
      sources: each.sources.map(({ citation, edition }) => `${citation} (${edition})`).join('; ') || 'none named',
      advice: each.advice,
    })),
  );

export const sumsTable = (duty: ReportDuty): ReportTable =>
  tableOf(
    'duty-sums',
    { sum: text('Sum'), releases: number('Releases'), ...FOR_DUTY, ...MONEY, balances: flag('Balances') },
    [
      { sum: 'released', releases: duty.releases.length, ...forDutyCells(duty), emphasised: true },
      {
        sum: 'duty paid before, not charged again',
        releases: duty.previouslyDutyPaid.releases,
        litres: duty.previouslyDutyPaid.litres,
        litres_of_pure_alcohol_in_books: duty.previouslyDutyPaid.litresOfPureAlcohol,
      },
      {
        sum: 'releases less books',
        litres: duty.tie.litres,
        litres_of_pure_alcohol_for_duty: duty.tie.litresOfPureAlcohol,
        balances: duty.tie.balances,
      },
      ...duty.money.map((each) => ({
        sum: duty.complete ? 'indicated duty' : 'indicated duty, not complete',
        ...moneyCells(each),
        emphasised: true,
      })),
    ],
  );

const CHARGEABLE = {
  litres: litres('Chargeable, L'),
  litres_of_pure_alcohol: litres('L pure alcohol'),
  litres_of_pure_alcohol_for_duty: litres('L pure, for duty'),
};
const chargeableCells = (each: Pick<Deficiency, 'litres' | 'litresOfPureAlcohol' | 'litresOfPureAlcoholForDuty'>) => ({
  litres: each.litres,
  litres_of_pure_alcohol: each.litresOfPureAlcohol,
  litres_of_pure_alcohol_for_duty: each.litresOfPureAlcoholForDuty,
});

type DeficiencyRow = Omit<DeficiencyLine, 'allowanceBase' | 'allowanceRate' | 'judgement'> &
  Partial<Pick<DeficiencyLine, 'allowanceBase' | 'allowanceRate' | 'judgement'>>;
/** Sums of a period, or of several: of those the allowances are shown without what they are a percentage of. */
type DeficiencySums = Pick<Deficiency, 'litres' | 'litresOfPureAlcohol' | 'litresOfPureAlcoholForDuty' | 'money'> & {
  readonly lines: readonly DeficiencyRow[];
};

export const deficiencyTable = (deficiency: DeficiencySums): ReportTable =>
  tableOf(
    'deficiency',
    {
      line: code('Line'),
      category: code('Category'),
      lost: litres('Lost, L'),
      allowance_base: litres('Opening and receipts, L'),
      allowance_percent: number('Allowance, %'),
      allowance: litres('Allowance, L'),
      ...JUDGEMENT,
      ...CHARGEABLE,
      ...MONEY,
    },
    [
      ...deficiency.lines.map((each) => ({
        line: each.line,
        category: each.category,
        lost: each.lost,
        ...judgementCells(each.judgement),
        allowance_base: each.allowanceBase,
        allowance_percent: each.allowanceRate?.value,
        allowance: each.allowance,
        ...chargeableCells(each),
      })),
      { line: 'total', ...chargeableCells(deficiency), emphasised: true },
      ...deficiency.money.map((each) => ({ line: 'indicated duty', ...moneyCells(each), emphasised: true })),
    ],
  );

/** Entries with anything chargeable. */
export const deficiencyEntriesTable = (deficiency: Deficiency): ReportTable =>
  tableOf(
    'deficiency-entries',
    {
      line: code('Line'),
      category: code('Category'),
      day: text('Day'),
      lost: litres('Lost, L'),
      ...JUDGEMENT,
      ...CHARGEABLE,
      strength_for_duty_percent: number('% vol for duty'),
      band: text('Band'),
      ...QUANTITY,
      operations: OPERATION,
    },
    deficiency.entries.map((each) => ({
      line: each.line,
      category: each.category,
      day: each.day,
      lost: each.lost,
      ...judgementCells(each.judgement),
      ...chargeableCells(each),
      strength_for_duty_percent: each.strengthForDuty.value,
      band: each.band,
      ...quantityCells(each.quantity),
      operations: { link: each.operations, operationId: each.operationId },
    })),
  );
