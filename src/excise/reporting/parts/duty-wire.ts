import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Rounded } from '../../../metrology/rounding-rules.js';
import type { PackagedLotRow } from '../../../production/measuring/packed/packaged-lot.reader.js';
import type { MovementRow } from '../../movements/movement.reader.js';
import type { GroupDuty, LineMoney } from '../../duty/rules/duty.js';
import type { LineDuty } from '../../duty/rules/line.js';
import type { DutyUnit, NamedRuleSet } from '../../duty/rules/rule-set.js';
import { groupingOf, NOT_ADVICE } from '../../duty/rules/rule-set.js';
import type { DutyGroup } from '../documents/duty.dto.js';
import type { DutyRule, Release, RuleSetInForce } from '../documents/release.dto.js';
import type { DutyQuantity, Money, RoundedStep } from '../documents/duty-values.dto.js';
import type { Measured } from './duty-lines.js';
import { oneOperation } from './links.js';
import type { NamedVersion } from '../documents/report-head.dto.js';

export const rulePart = ({ id, version, document }: NamedRuleSet): DutyRule => ({
  id,
  version,
  description: document.name,
});

export const nameOf = ({ id, version }: NamedRuleSet): NamedVersion => ({ id, version });

const enteredPart = ({ entered }: NamedRuleSet): Pick<RuleSetInForce, 'enteredAt' | 'personId' | 'keyId'> =>
  entered === undefined
    ? {}
    : {
        enteredAt: entered.at.toISOString(),
        ...(entered.personId === null ? {} : { personId: entered.personId }),
        ...(entered.keyId === null ? {} : { keyId: entered.keyId }),
      };

export const ruleSetPart = (set: NamedRuleSet): RuleSetInForce => ({
  ...rulePart(set),
  validFrom: set.document.validFrom,
  strengthRule: set.document.strengthForDuty.rule,
  sources: (set.document.sources ?? []).map((each) => ({ ...each })),
  ...enteredPart(set),
  advice: NOT_ADVICE,
});

export const stepPart = ({ raw, step, rounded }: Rounded): RoundedStep => ({
  name: step.name,
  basis: step.basis,
  mode: step.mode,
  places: step.places,
  grouping: groupingOf(step),
  raw: canonicalText(raw),
  result: canonicalText(rounded),
});

export const quantityPart = (unit: DutyUnit, raw: Decimal, result: Decimal): DutyQuantity => ({
  unit,
  raw: canonicalText(raw),
  result: canonicalText(result),
});

export const moneyPart = (currency: string, amount: Decimal): Money => ({
  currency,
  amount: canonicalText(amount),
});

const money = ({ document }: NamedRuleSet, amount: Decimal | undefined): { money?: Money } =>
  amount === undefined || document.currency === undefined ? {} : { money: moneyPart(document.currency, amount) };

export interface ReleaseFacts {
  readonly duty: LineDuty;
  readonly litresOfPureAlcohol: Decimal;
  readonly measured: Measured | undefined;
  readonly money: LineMoney | undefined;
  /** None where its category or quantity is not known. */
  readonly group: GroupDuty | undefined;
}

/** The containers of a release. */
const containersOf = (
  packed: PackagedLotRow | undefined,
): Pick<Release, 'lotMark' | 'container' | 'nominalVolume' | 'dispense'> =>
  packed === undefined
    ? { lotMark: '' }
    : {
        lotMark: packed.lotMark,
        container: packed.container,
        nominalVolume: toLitres(packed.nominalLitres),
        ...(packed.dispense === null ? {} : { dispense: packed.dispense }),
      };

export function releasePart(row: MovementRow, packed: PackagedLotRow | undefined, facts: ReleaseFacts): Release {
  const { duty, litresOfPureAlcohol, measured, group } = facts;
  const { set, category, band, raw, quantity } = duty;
  return {
    operationId: row.id,
    kind: row.kind,
    occurredAt: row.occurredAt.toISOString(),
    dutyDate: row.dutyDate ?? '',
    ...(row.packagedLotId === null ? {} : { packagedLotId: row.packagedLotId }),
    ...containersOf(packed),
    category: row.category,
    count: row.count ?? 0,
    litres: toLitres(row.litres),
    declaredStrength: { value: duty.line.declaredPercent.toNumber(), unit: '%' },
    ...(measured === undefined
      ? {}
      : {
          measuredStrength: {
            findingId: measured.finding.id,
            strength: { value: measured.strengthPercent, unit: '%' },
            expandedUncertainty: { value: measured.expandedUncertainty, unit: '%' },
          },
        }),
    strengthFrom: duty.strengthFrom,
    strengthForDuty: { value: duty.strengthPercent.toNumber(), unit: '%' },
    litresOfPureAlcoholForDuty: toLitres(litresOfPureAlcohol),
    litresOfPureAlcoholInBooks: toLitres(row.bookLpa),
    ruleSet: nameOf(set),
    ...(category === undefined ? {} : { dutyCategory: category.code }),
    ...(band === undefined ? {} : { band: band.code }),
    ...(category === undefined || raw === undefined || quantity === undefined
      ? {}
      : { quantity: quantityPart(category.unit, raw, quantity) }),
    ...(group === undefined ? {} : groupFacts(group)),
    ...money(set, facts.money?.money),
    ...(facts.money === undefined ? beforeRounding(group, quantity) : {}),
    steps: [...duty.steps, ...(facts.money?.steps ?? [])].map(stepPart),
    flags: duty.flags.map((each) => ({ ...each })),
    operations: oneOperation(row.id),
  };
}

/** Money of a release whose rules calculate it for a day or the period. */
function beforeRounding(
  group: GroupDuty | undefined,
  quantity: Decimal | undefined,
): Pick<Release, 'moneyBeforeRounding'> {
  const amount = group?.rate === undefined || quantity === undefined ? undefined : quantity.times(group.rate);
  const { money: moneyBeforeRounding } = group === undefined ? {} : money(group.set, amount);
  return moneyBeforeRounding === undefined ? {} : { moneyBeforeRounding };
}

/** Facts of a group that each of its releases has. */
const groupFacts = ({ set, relieved, degree, rate }: GroupDuty): Pick<DutyGroup, 'relieved' | 'degree' | 'rate'> => ({
  relieved,
  ...(degree === undefined ? {} : { degree: degree.toNumber() }),
  ...(rate === undefined || set.document.currency === undefined
    ? {}
    : { rate: moneyPart(set.document.currency, rate) }),
});

export interface GroupFacts {
  readonly litres: Decimal;
  readonly forDuty: Decimal;
  readonly inBooks: Decimal;
}

export function groupPart(group: GroupDuty, { litres, forDuty, inBooks }: GroupFacts): DutyGroup {
  const { set, category, band, days } = group;
  const { unit } = category;
  return {
    ruleSet: nameOf(set),
    category: category.code,
    ...(band === undefined ? {} : { band }),
    untaxed: group.untaxed,
    ...groupFacts(group),
    litres: toLitres(litres),
    litresOfPureAlcoholForDuty: toLitres(forDuty),
    litresOfPureAlcoholInBooks: toLitres(inBooks),
    quantity: quantityPart(unit, group.quantityRaw, group.quantity),
    ...money(set, group.money),
    steps: [...group.rateSteps, ...group.steps].map(stepPart),
    days: days.map(({ day, quantityRaw, quantity, money: amount, steps }) => ({
      day,
      quantity: quantityPart(unit, quantityRaw, quantity),
      ...money(set, amount),
      steps: steps.map(stepPart),
    })),
    releases: group.lines.length,
  };
}
