import type { DutyQuantity, Money, RoundedStep } from '../documents/duty.dto.js';
import type { PeriodReport } from '../documents/report.dto.js';
import type { Cells } from './report-csv-cells.js';
import { decimal, plain } from './report-csv-cells.js';

const quantityCells = (part: DutyQuantity | undefined): Cells =>
  part === undefined ? {} : { raw: part.raw, value: part.result, unit: part.unit };

const moneyRow = (section: string, what: string, part: Money | undefined): Cells[] =>
  part === undefined ? [] : [{ section, line: 'money', what, value: part.amount, unit: part.currency }];

const stepRows = (what: string, steps: readonly RoundedStep[]): Cells[] =>
  steps.map((step) => ({
    section: 'duty-rounding',
    line: step.name,
    what,
    reason: `${step.basis} ${step.mode} ${step.places} ${step.grouping}`,
    raw: step.raw,
    value: step.result,
  }));

function releaseRows({ duty }: PeriodReport): Cells[] {
  return duty.releases.flatMap((each): Cells[] => {
    const { measuredStrength: measured, operations } = each;
    const what = each.lotMark;
    return [
      {
        section: 'duty',
        line: each.kind,
        category: each.category,
        what,
        at: each.dutyDate,
        reason: each.band ?? '',
        operations,
        litres: decimal(each.litres),
        litres_of_pure_alcohol: decimal(each.litresOfPureAlcoholInBooks),
        count: plain(each.count),
        strength_percent: plain(each.strengthForDuty.value),
        litres_of_pure_alcohol_for_duty: decimal(each.litresOfPureAlcoholForDuty),
        ...quantityCells(each.quantity),
      },
      {
        section: 'declared-measured',
        line: 'declared',
        what,
        operations,
        strength_percent: plain(each.declaredStrength.value),
      },
      ...(measured === undefined
        ? []
        : [
            {
              section: 'declared-measured',
              line: 'measured',
              what,
              operations,
              strength_percent: plain(measured.strength.value),
            },
            {
              section: 'declared-measured',
              line: 'expanded-uncertainty',
              what,
              operations,
              strength_percent: plain(measured.expandedUncertainty.value),
            },
          ]),
      ...moneyRow('duty', what, each.money),
      ...each.flags.map(({ code, detail }) => ({ section: 'duty-flag', line: code, what, reason: detail, operations })),
      ...stepRows(`${each.dutyDate} ${what}`, each.steps),
    ];
  });
}

function groupRows({ duty }: PeriodReport): Cells[] {
  return duty.groups.flatMap((each): Cells[] => {
    const what = [each.category, each.band ?? ''].join(' ').trim();
    return [
      {
        section: 'duty-group',
        line: what,
        what: `${each.ruleSet.id} ${each.ruleSet.version}`,
        reason: [each.untaxed ? 'untaxed' : '', each.relieved ? 'relieved' : ''].join(' ').trim(),
        litres: decimal(each.litres),
        litres_of_pure_alcohol: decimal(each.litresOfPureAlcoholInBooks),
        count: plain(each.releases),
        litres_of_pure_alcohol_for_duty: decimal(each.litresOfPureAlcoholForDuty),
        ...quantityCells(each.quantity),
      },
      ...(each.rate === undefined
        ? []
        : [{ section: 'duty-group', line: 'rate', what, value: each.rate.amount, unit: each.rate.currency }]),
      ...moneyRow('duty-group', what, each.money),
      ...each.days.flatMap(({ day, quantity, money, steps }) => [
        { section: 'duty-day', line: what, at: day, ...quantityCells(quantity) },
        ...moneyRow('duty-day', `${what}, ${day}`, money),
        ...stepRows(`${what}, ${day}`, steps),
      ]),
      ...stepRows(`${what}, period`, each.steps),
    ];
  });
}

function deficiencyRows({ deficiency }: PeriodReport): Cells[] {
  return [
    ...deficiency.lines.map((each) => ({
      section: 'deficiency',
      line: each.line,
      category: each.category,
      what: `allowance ${decimal(each.allowance)} L of ${decimal(each.handled)} L, lost ${decimal(each.lost)} L`,
      litres: decimal(each.litres),
      litres_of_pure_alcohol: decimal(each.litresOfPureAlcohol),
      litres_of_pure_alcohol_for_duty: decimal(each.litresOfPureAlcoholForDuty),
    })),
    ...deficiency.entries.flatMap((each) => [
      {
        section: 'deficiency-entry',
        line: each.line,
        category: each.category,
        at: each.day,
        operations: each.operations,
        litres: decimal(each.litres),
        litres_of_pure_alcohol: decimal(each.litresOfPureAlcohol),
        strength_percent: plain(each.strengthForDuty.value),
        litres_of_pure_alcohol_for_duty: decimal(each.litresOfPureAlcoholForDuty),
        ...quantityCells(each.quantity),
      },
      ...stepRows(`${each.day} ${each.line}`, each.steps),
    ]),
    {
      section: 'deficiency',
      line: 'total',
      litres: decimal(deficiency.litres),
      litres_of_pure_alcohol: decimal(deficiency.litresOfPureAlcohol),
      litres_of_pure_alcohol_for_duty: decimal(deficiency.litresOfPureAlcoholForDuty),
    },
    ...deficiency.money.flatMap((each) => moneyRow('deficiency', 'indicated duty', each)),
  ];
}

/** What was released with what it comes to for duty, and what may be chargeable beside it. */
export function dutyRows(report: PeriodReport): Cells[] {
  const { duty } = report;
  return [
    ...releaseRows(report),
    {
      section: 'duty',
      line: 'total',
      what: duty.rule.words,
      litres: decimal(duty.litres),
      litres_of_pure_alcohol: decimal(duty.litresOfPureAlcoholInBooks),
      litres_of_pure_alcohol_for_duty: decimal(duty.litresOfPureAlcoholForDuty),
    },
    ...groupRows(report),
    {
      section: 'duty',
      line: 'paid-before',
      count: plain(duty.paidBefore.releases),
      litres: decimal(duty.paidBefore.litres),
      litres_of_pure_alcohol: decimal(duty.paidBefore.litresOfPureAlcohol),
    },
    {
      section: 'duty',
      line: 'tie',
      what: duty.tie.balances ? 'meets' : 'does not meet',
      litres: decimal(duty.tie.litres),
      litres_of_pure_alcohol: decimal(duty.tie.litresOfPureAlcohol),
    },
    ...duty.ruleSets.map((each) => ({
      section: 'duty-rule-set',
      line: `${each.id} ${each.version}`,
      what: each.words,
      at: each.validFrom,
      reason: each.sources.map(({ citation }) => citation).join('; '),
    })),
    ...duty.money.flatMap((each) =>
      moneyRow('duty', duty.complete ? 'indicated duty' : 'indicated duty, not complete', each),
    ),
    ...deficiencyRows(report),
  ];
}
