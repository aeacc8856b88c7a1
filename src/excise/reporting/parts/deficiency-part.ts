import { pureAlcohol } from '../../../ledger/books/amount.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact, sumOf, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import { DEFAULT_SETTINGS } from '../../../tenancy/producers/producers.dto.js';
import type { Judgement } from '../../movements/judgement.js';
import { judged, judgementOfSum } from '../../movements/judgement.js';
import { pureAlcoholForDuty } from '../../movements/strength-for-duty.js';
import { dutyOf } from '../../duty/rules/duty.js';
import type { LineDuty } from '../../duty/rules/line.js';
import type { DeficiencyEntry, Deficiency } from '../documents/deficiency.dto.js';
import { dutyLines } from './duty-lines.js';
import { moneyPart, nameOf, quantityPart, stepPart } from './duty-wire.js';
import { oneOperation } from './links.js';
import type { ChargeableGroup, Loss } from './losses-chargeable.js';
import { alcoholOf, chargeableGroups } from './losses-chargeable.js';
import type { ReportInput } from '../sources/report-input.js';

interface ChargeableEntry {
  readonly group: ChargeableGroup;
  readonly loss: Loss;
  readonly litres: Decimal;
  readonly lpa: Decimal;
}

/** Declared strength of packed goods; of bulk the strength in the books, to six places. */
function strengthOf({ names }: ReportInput, { packagedLotId, lost }: Loss): Decimal {
  const packed = names.packagedLots.get(packagedLotId ?? '');
  return packed === undefined
    ? toPlaces6HalfEven(pureAlcohol(lost).times(100).dividedBy(lost.litres))
    : new Exact(packed.declaredStrengthPercent);
}

const judgedLoss = ({ lost, expandedLitres }: Loss): Judgement => judged('litres', lost.litres, expandedLitres);

const idOf = (index: number): string => String(index);

function entryPart({ group, loss, litres, lpa }: ChargeableEntry, duty: LineDuty, forDuty: Decimal): DeficiencyEntry {
  const { set, category, band, raw, quantity } = duty;
  return {
    operationId: loss.operationId,
    line: group.rule.line,
    category: group.category,
    day: loss.day,
    lost: toLitres(loss.lost.litres),
    judgement: judgedLoss(loss),
    litres: toLitres(litres),
    litresOfPureAlcohol: toLitres(lpa),
    litresOfPureAlcoholForDuty: toLitres(forDuty),
    strengthForDuty: { value: duty.strengthPercent.toNumber(), unit: '%' },
    ruleSet: nameOf(set),
    ...(category === undefined ? {} : { dutyCategory: category.code }),
    ...(band === undefined ? {} : { band: band.code }),
    ...(category === undefined || raw === undefined || quantity === undefined
      ? {}
      : { quantity: quantityPart(category.unit, raw, quantity) }),
    steps: duty.steps.map(stepPart),
    flags: duty.flags.map((each) => ({ ...each })),
    operations: oneOperation(loss.operationId),
  };
}

/** Losses and shortages beyond what the producer's rules allow: litres, pure alcohol, and for duty by the rule sets. */
export function deficiencyPart(input: ReportInput): Deficiency {
  const { settings, ruleSets, differences } = input;
  const rules = settings.chargeableLosses ?? DEFAULT_SETTINGS.chargeableLosses ?? [];
  const groups = chargeableGroups(input, rules);
  const entries = groups.flatMap((group) =>
    group.losses.map((loss, index): ChargeableEntry => {
      const litres = group.shares[index];
      return { group, loss, litres, lpa: alcoholOf(loss, litres) };
    }),
  );
  const counted = entries.filter(({ litres }) => litres.greaterThan(0));
  const { lines } = dutyLines(
    input,
    counted.map(({ loss, litres }, index) => ({
      id: idOf(index),
      category: loss.category,
      dutyDate: loss.day,
      litres,
      declaredPercent: strengthOf(input, loss),
      compositionId:
        loss.compositionId ?? input.names.packagedLots.get(loss.packagedLotId ?? '')?.compositionId ?? null,
      packagedLotId: loss.packagedLotId,
    })),
  );
  const calculation = dutyOf(ruleSets, lines);
  const forDuty = calculation.lines.map(({ line, strengthPercent }) =>
    pureAlcoholForDuty(line.litres, strengthPercent),
  );
  const sumsOf = (of: (entry: ChargeableEntry) => boolean) => ({
    litres: toLitres(sumOf(counted.filter(of).map(({ litres }) => litres))),
    litresOfPureAlcohol: toLitres(sumOf(counted.filter(of).map(({ lpa }) => lpa))),
    litresOfPureAlcoholForDuty: toLitres(sumOf(forDuty.filter((_, index) => of(counted[index])))),
  });
  return {
    rules: rules.map((rule) => ({ ...rule })),
    lines: groups.map((group) => ({
      line: group.rule.line,
      category: group.category,
      lost: toLitres(group.lost),
      judgement: judgementOfSum(group.lost, group.losses.map(judgedLoss)),
      allowanceBase: toLitres(group.allowanceBase),
      allowanceRate: group.rule.allowance ?? { value: 0, unit: '%' },
      allowance: toLitres(group.allowance),
      ...sumsOf((entry) => entry.group === group),
    })),
    entries: counted.map((entry, index) => entryPart(entry, calculation.lines[index], forDuty[index])),
    money: calculation.money.map(({ currency, amount }) => moneyPart(currency, amount)),
    complete: calculation.complete,
    unexplainedDifferences: differences.filter(({ reasonCode }) => reasonCode === null).length,
    ...sumsOf(() => true),
  };
}
