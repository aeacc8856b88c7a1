import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { canonicalText, Exact, sumOf } from '../../../metrology/decimals.js';
import { grouped } from '../../../platform/grouped.js';
import type { DutyGroup, ReportDuty } from '../documents/duty.dto.js';
import type { Release } from '../documents/release.dto.js';
import type { Money } from '../documents/duty-values.dto.js';
import type { DutyAmount, GoodsForDuty } from '../documents/duty-amount.dto.js';
import type {
  DutyChanges,
  DutyGroupCorrection,
  EarlierPeriodDuty,
  ProductCorrection,
} from '../documents/earlier-periods.dto.js';
import type { CorrectedPeriod, ReportInput } from '../sources/report-input.js';
import { oneOperation } from './links.js';
import { releasesPart } from './releases-part.js';

type GroupFacts = Pick<DutyGroupCorrection, 'category' | 'band' | 'degree' | 'relieved' | 'unit' | 'rate'>;

/** Duty of one group at one time. */
interface GroupState extends GroupFacts {
  readonly amount: DutyAmount;
  readonly products: ReadonlyMap<string, GoodsForDuty>;
}

/** Duty of a period at one time, by the facts of each group but the version of its rule set: the same figures by a new version are no change. */
type DutyState = Map<string, GroupState>;

const keyOf = ({ category, band, degree, relieved, unit, rate }: GroupFacts): string =>
  JSON.stringify([category, band, degree, relieved, unit, rate?.amount, rate?.currency]);

const NO_GOODS: GoodsForDuty = { litres: toLitres(0), litresOfPureAlcoholForDuty: toLitres(0) };
const NO_DUTY: DutyAmount = { ...NO_GOODS, quantity: '0' };

const headOf = ({ category, band, degree, relieved, unit, rate }: GroupFacts): GroupFacts => ({
  category,
  ...(band === undefined ? {} : { band }),
  ...(degree === undefined ? {} : { degree }),
  relieved,
  unit,
  ...(rate === undefined ? {} : { rate }),
});

const factsOf = (group: DutyGroup): GroupFacts => headOf({ ...group, unit: group.quantity.unit });

const goodsOf = (releases: readonly Release[]): GoodsForDuty => ({
  litres: toLitres(sumOf(releases.map(({ litres }) => litresOf(litres)))),
  litresOfPureAlcoholForDuty: toLitres(
    sumOf(releases.map(({ litresOfPureAlcoholForDuty }) => litresOf(litresOfPureAlcoholForDuty))),
  ),
});

/** Duty as a report states it, by its releases and groups. */
function stateOf({ releases, groups }: Pick<ReportDuty, 'releases' | 'groups'>): DutyState {
  const byGroup = grouped(
    releases.filter(({ dutyCategory, quantity }) => dutyCategory !== undefined && quantity !== undefined),
    ({ dutyCategory = '', band, degree, relieved = false, quantity, rate }) =>
      keyOf({ category: dutyCategory, band, degree, relieved, unit: quantity?.unit ?? '', rate }),
  );
  const state: DutyState = new Map();
  for (const group of groups) {
    const facts = factsOf(group);
    const key = keyOf(facts);
    const before = state.get(key);
    const { litres, litresOfPureAlcoholForDuty, quantity, money } = group;
    const amount = {
      litres,
      litresOfPureAlcoholForDuty,
      quantity: quantity.result,
      ...(money === undefined ? {} : { money }),
    };
    const products = new Map(
      [...grouped(byGroup.get(key) ?? [], ({ lotMark }) => lotMark)].map(([mark, own]) => [mark, goodsOf(own)]),
    );
    state.set(key, { ...facts, amount: before === undefined ? amount : added(before.amount, amount, 1), products });
  }
  return state;
}

/** The state with what a later report declared in place of what was declared before. */
function overlaid(state: DutyState, { groups }: Pick<EarlierPeriodDuty, 'groups'>): DutyState {
  const all = new Map(state);
  for (const { corrected, products, ...group } of groups) {
    const facts = headOf(group);
    const key = keyOf(facts);
    const before = all.get(key)?.products ?? new Map<string, GoodsForDuty>();
    const changed = products.map((each) => [each.lotMark, each.corrected] as const);
    all.set(key, { ...facts, amount: corrected, products: new Map([...before, ...changed]) });
  }
  return all;
}

const decimalOf = (value: string | undefined): Decimal => new Exact(value ?? 0);

const addedGoods = (a: GoodsForDuty, b: GoodsForDuty, sign: 1 | -1): GoodsForDuty => ({
  litres: toLitres(litresOf(a.litres).plus(litresOf(b.litres).times(sign))),
  litresOfPureAlcoholForDuty: toLitres(
    litresOf(a.litresOfPureAlcoholForDuty).plus(litresOf(b.litresOfPureAlcoholForDuty).times(sign)),
  ),
});

function added(a: DutyAmount, b: DutyAmount, sign: 1 | -1): DutyAmount {
  const currency = a.money?.currency ?? b.money?.currency;
  const money = decimalOf(a.money?.amount).plus(decimalOf(b.money?.amount).times(sign));
  return {
    ...addedGoods(a, b, sign),
    quantity: canonicalText(decimalOf(a.quantity).plus(decimalOf(b.quantity).times(sign))),
    ...(currency === undefined ? {} : { money: { currency, amount: canonicalText(money) } }),
  };
}

const isNoGoods = (goods: GoodsForDuty): boolean =>
  litresOf(goods.litres).isZero() && litresOf(goods.litresOfPureAlcoholForDuty).isZero();
const isNothing = (amount: DutyAmount): boolean =>
  isNoGoods(amount) && decimalOf(amount.quantity).isZero() && decimalOf(amount.money?.amount).isZero();

function productChanges(was: GroupState['products'], is: GroupState['products']): ProductCorrection[] {
  return [...new Set([...was.keys(), ...is.keys()])].sort().flatMap((lotMark) => {
    const [declared, corrected] = [was.get(lotMark) ?? NO_GOODS, is.get(lotMark) ?? NO_GOODS];
    const change = addedGoods(corrected, declared, -1);
    return isNoGoods(change) ? [] : [{ lotMark, declared, corrected, change }];
  });
}

function groupChanges(was: DutyState, is: DutyState): DutyGroupCorrection[] {
  return [...new Set([...was.keys(), ...is.keys()])].sort().flatMap((key) => {
    const [before, now] = [was.get(key), is.get(key)];
    const facts = now ?? before;
    const [declared, corrected] = [before?.amount ?? NO_DUTY, now?.amount ?? NO_DUTY];
    const change = added(corrected, declared, -1);
    const products = productChanges(before?.products ?? new Map(), now?.products ?? new Map());
    if (facts === undefined || (isNothing(change) && products.length === 0)) return [];
    return [{ ...headOf(facts), declared, corrected, change, products }];
  });
}

function moneyOf(groups: readonly DutyGroupCorrection[]): Money[] {
  const changes = groups.flatMap(({ change: { money } }) => (money === undefined ? [] : [money]));
  return [...grouped(changes, ({ currency }) => currency)].map(([currency, own]) => ({
    currency,
    amount: canonicalText(sumOf(own.map(({ amount }) => new Exact(amount)))),
  }));
}

type Rules = Pick<ReportInput, 'ruleSets' | 'settings'>;

/** Duty of one closed period as it was declared, as it is now, and the change. */
export function dutyChanges(
  { ruleSets, settings }: Rules,
  { frozen, since, movements, names, findings }: Omit<CorrectedPeriod, 'entries' | 'causes'>,
): DutyChanges {
  const counted = movements.filter(({ reversed, dutyDate }) => !reversed && dutyDate !== null);
  const now = stateOf(releasesPart({ ruleSets, settings, names, findings }, counted));
  const declared = since.reduce(overlaid, stateOf(frozen));
  const groups = groupChanges(declared, now);
  return { groups, money: moneyOf(groups) };
}

function earlierPeriodPart(rules: Rules, corrected: CorrectedPeriod): EarlierPeriodDuty {
  const { period, entries, causes } = corrected;
  return {
    periodId: period.id,
    startsOn: period.startsOn,
    endsBefore: period.endsBefore,
    causes: [...causes],
    ...dutyChanges(rules, corrected),
    entries: entries.map(({ operationId, kind, recordedAt, reasonCode, personId }) => ({
      operationId,
      kind,
      recordedAt: recordedAt.toISOString(),
      ...(reasonCode === null ? {} : { reasonCode }),
      ...(personId === null ? {} : { personId }),
      operation: oneOperation(operationId),
    })),
  };
}

/** Closed periods whose duty is no longer what was declared. */
export const earlierPeriodsPart = (input: ReportInput): EarlierPeriodDuty[] =>
  input.correctedPeriods.map((each) => earlierPeriodPart(input, each)).filter(({ groups }) => groups.length > 0);
