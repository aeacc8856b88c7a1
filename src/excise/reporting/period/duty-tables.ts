import type { Deficiency } from '../documents/deficiency.dto.js';
import type { ReportDuty, DutyQuantity, Money, RoundedStep } from '../documents/duty.dto.js';
import type { CsvCell, NamedTable } from '../render/csv-table.js';
import { decimalCell, litres, number } from '../render/csv-table.js';

const QUANTITY = ['quantity_raw', 'quantity', 'unit'];
const quantity = (part: DutyQuantity | undefined): CsvCell[] =>
  part === undefined ? ['', '', ''] : [decimalCell(part.raw), decimalCell(part.result), part.unit];

const MONEY = ['money', 'currency'];
const money = (part: Money | undefined): CsvCell[] =>
  part === undefined ? ['', ''] : [decimalCell(part.amount), part.currency];

const releases = (duty: ReportDuty): NamedTable => ({
  name: 'releases',
  columns: [
    'kind',
    'duty_date',
    'occurred_at',
    'lot_mark',
    'category',
    'count',
    'litres',
    'declared_percent',
    'measured_percent',
    'measured_expanded_uncertainty_percent',
    'strength_from',
    'strength_for_duty_percent',
    'litres_of_pure_alcohol_for_duty',
    'litres_of_pure_alcohol_in_books',
    'rule_set',
    'duty_category',
    'band',
    ...QUANTITY,
    ...MONEY,
    'flags',
    'operations',
  ],
  rows: duty.releases.map((each) => [
    each.kind,
    each.dutyDate,
    each.occurredAt,
    each.lotMark,
    each.category,
    number(each.count),
    litres(each.litres),
    number(each.declaredStrength.value),
    number(each.measuredStrength?.strength.value),
    number(each.measuredStrength?.expandedUncertainty.value),
    each.strengthFrom,
    number(each.strengthForDuty.value),
    litres(each.litresOfPureAlcoholForDuty),
    litres(each.litresOfPureAlcoholInBooks),
    `${each.ruleSet.id} ${each.ruleSet.version}`,
    each.dutyCategory ?? '',
    each.band ?? '',
    ...quantity(each.quantity),
    ...money(each.money),
    each.flags.map(({ code }) => code).join(' '),
    each.operations,
  ]),
});

const groups = (duty: ReportDuty): NamedTable => ({
  name: 'duty-groups',
  columns: [
    'rule_set',
    'duty_category',
    'band',
    'untaxed',
    'relieved',
    'releases',
    'litres',
    'litres_of_pure_alcohol_for_duty',
    'litres_of_pure_alcohol_in_books',
    ...QUANTITY,
    'rate',
    ...MONEY,
  ],
  rows: duty.groups.map((each) => [
    `${each.ruleSet.id} ${each.ruleSet.version}`,
    each.category,
    each.band ?? '',
    String(each.untaxed),
    String(each.relieved),
    number(each.releases),
    litres(each.litres),
    litres(each.litresOfPureAlcoholForDuty),
    litres(each.litresOfPureAlcoholInBooks),
    ...quantity(each.quantity),
    each.rate === undefined ? '' : decimalCell(each.rate.amount),
    ...money(each.money),
  ]),
});

/** Every rounding of the document with what it rounded: of a release, a day, a group, or a chargeable loss. */
export function roundings(duty: ReportDuty, deficiency: Deficiency): { of: string; step: RoundedStep }[] {
  const all = (of: string, steps: readonly RoundedStep[]) => steps.map((step) => ({ of, step }));
  return [
    ...duty.releases.flatMap((each) => all(`${each.dutyDate} ${each.lotMark} ${each.operationId}`, each.steps)),
    ...duty.groups.flatMap((each) => {
      const name = [each.category, each.band ?? ''].join(' ').trim();
      return [
        ...each.days.flatMap(({ day, steps }) => all(`${name}, ${day}`, steps)),
        ...all(`${name}, period`, each.steps),
      ];
    }),
    ...deficiency.entries.flatMap((each) => all(`${each.day} ${each.line} ${each.operationId}`, each.steps)),
  ];
}

const steps = (duty: ReportDuty, deficiency: Deficiency): NamedTable => ({
  name: 'duty-rounding',
  columns: ['of', 'step', 'basis', 'mode', 'places', 'grouping', 'raw', 'result'],
  rows: roundings(duty, deficiency).map(({ of, step }) => [
    of,
    step.name,
    step.basis,
    step.mode,
    number(step.places),
    step.grouping,
    decimalCell(step.raw),
    decimalCell(step.result),
  ]),
});

const flags = (duty: ReportDuty, deficiency: Deficiency): NamedTable => ({
  name: 'duty-flags',
  columns: ['day', 'of', 'code', 'detail', 'operations'],
  rows: [
    ...duty.releases.flatMap((each) =>
      each.flags.map(({ code, detail }) => [each.dutyDate, each.lotMark, code, detail, each.operations]),
    ),
    ...deficiency.entries.flatMap((each) =>
      each.flags.map(({ code, detail }) => [each.day, each.line, code, detail, each.operations]),
    ),
  ],
});

const ruleSets = (duty: ReportDuty): NamedTable => ({
  name: 'duty-rule-sets',
  columns: ['id', 'version', 'name', 'valid_from', 'strength_rule', 'sources', 'advice'],
  rows: duty.ruleSets.map((each) => [
    each.id,
    each.version,
    each.words,
    each.validFrom,
    each.strengthRule,
    each.sources.map(({ citation, edition }) => `${citation} (${edition})`).join('; '),
    each.advice,
  ]),
});

const sums = (duty: ReportDuty): NamedTable => ({
  name: 'duty-sums',
  columns: ['what', 'litres', 'litres_of_pure_alcohol_for_duty', 'litres_of_pure_alcohol_in_books', ...MONEY],
  rows: [
    [
      'released',
      litres(duty.litres),
      litres(duty.litresOfPureAlcoholForDuty),
      litres(duty.litresOfPureAlcoholInBooks),
      '',
      '',
    ],
    ['duty paid before', litres(duty.paidBefore.litres), '', litres(duty.paidBefore.litresOfPureAlcohol), '', ''],
    ['tie to the books', litres(duty.tie.litres), litres(duty.tie.litresOfPureAlcohol), '', '', ''],
    ...duty.money.map((each) => [
      duty.complete ? 'indicated duty' : 'indicated duty, not complete',
      '',
      '',
      '',
      ...money(each),
    ]),
  ],
});

const CHARGEABLE = ['litres', 'litres_of_pure_alcohol', 'litres_of_pure_alcohol_for_duty'];

const deficiencyLines = (deficiency: Deficiency): NamedTable => ({
  name: 'deficiency',
  columns: ['line', 'category', 'lost', 'handled', 'allowance_percent', 'allowance', ...CHARGEABLE, ...MONEY],
  rows: [
    ...deficiency.lines.map((each) => [
      each.line,
      each.category,
      litres(each.lost),
      litres(each.handled),
      number(each.allowancePercent),
      litres(each.allowance),
      litres(each.litres),
      litres(each.litresOfPureAlcohol),
      litres(each.litresOfPureAlcoholForDuty),
      '',
      '',
    ]),
    [
      'total',
      '',
      '',
      '',
      '',
      '',
      litres(deficiency.litres),
      litres(deficiency.litresOfPureAlcohol),
      litres(deficiency.litresOfPureAlcoholForDuty),
      '',
      '',
    ],
    ...deficiency.money.map((each) => ['indicated duty', '', '', '', '', '', '', '', '', ...money(each)]),
  ],
});

const deficiencyEntries = (deficiency: Deficiency): NamedTable => ({
  name: 'deficiency-entries',
  columns: [
    'line',
    'category',
    'day',
    'lost',
    ...CHARGEABLE,
    'strength_for_duty_percent',
    'band',
    ...QUANTITY,
    'operations',
  ],
  rows: deficiency.entries.map((each) => [
    each.line,
    each.category,
    each.day,
    litres(each.lost),
    litres(each.litres),
    litres(each.litresOfPureAlcohol),
    litres(each.litresOfPureAlcoholForDuty),
    number(each.strengthForDuty.value),
    each.band ?? '',
    ...quantity(each.quantity),
    each.operations,
  ]),
});

/** Duty as tables, one subject each. */
export const dutyTables = (duty: ReportDuty, deficiency: Deficiency): NamedTable[] => [
  releases(duty),
  groups(duty),
  steps(duty, deficiency),
  flags(duty, deficiency),
  ruleSets(duty),
  sums(duty),
  deficiencyLines(deficiency),
  deficiencyEntries(deficiency),
];
