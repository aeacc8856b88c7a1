import { OWN } from '../../../ledger/books/account.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { decimalOf, Exact, sumOf, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase } from '../../../metrology/units.js';
import type { GroupProduction, ProductionThreshold } from '../../../tenancy/producers/production-year.dto.js';
import { PRODUCTION_PARTS } from '../../../tenancy/producers/production-year.dto.js';
import { STATEMENT } from '../period/report-document.js';
import type {
  ProductionAmount,
  ProductionCategory,
  ProductionEstimate,
  ProductionMonth,
  ProductionParts,
  ProductionTotals,
  ProductionYear,
  ThresholdState,
} from './production-year.dto.js';
import type { ProductionInput, ProductionRow } from './production-year.reader.js';
import { basisOf } from './production-year.reader.js';
import { monthsOf, yearDays } from './year-days.js';

/** Share of a threshold from which it is announced: common practice, no source. */
const USUAL_ALERT = { value: 80, unit: '%' };
const LITRES_A_HECTOLITRE = 100;
const MONTHS = 12;

/** Litres of drinks and of pure alcohol, exact. */
interface Made {
  readonly litres: Decimal;
  readonly lpa: Decimal;
}

interface Parts {
  readonly own: Made;
  readonly licensed: Made;
}

const madeOf = (rows: readonly Pick<ProductionRow, 'litres' | 'lpa'>[]): Made => ({
  litres: sumOf(rows.map(({ litres }) => new Exact(litres))),
  lpa: sumOf(rows.map(({ lpa }) => new Exact(lpa))),
});

const addUp = (all: readonly Made[]): Made => ({
  litres: sumOf(all.map(({ litres }) => litres)),
  lpa: sumOf(all.map(({ lpa }) => lpa)),
});

const partsOf = (rows: readonly ProductionRow[]): Parts => ({
  own: madeOf(rows.filter(({ owner }) => owner === OWN)),
  licensed: madeOf(rows.filter(({ owner }) => owner !== OWN)),
});

const hectolitres = (litres: Decimal): Quantity => ({
  value: litres.dividedBy(LITRES_A_HECTOLITRE).toNumber(),
  unit: 'hL',
});

const amountOf = ({ litres, lpa }: Made): ProductionAmount => ({
  volume: hectolitres(litres),
  pureAlcohol: hectolitres(lpa),
});

const toParts = ({ own, licensed }: Parts): ProductionParts => ({ own: amountOf(own), licensed: amountOf(licensed) });

/** A quantity of the settings in litres, six places. */
const litresOf = (quantity: Quantity | undefined): Decimal =>
  quantity === undefined ? new Exact(0) : toPlaces6HalfEven(decimalOf(toBase('volume', quantity)));

const stated = ({ volume, pureAlcohol }: GroupProduction): Made => ({
  litres: litresOf(volume),
  lpa: litresOf(pureAlcohol),
});

const monthOf = (day: string): string => day.slice(0, 7);

const monthParts = (rows: readonly ProductionRow[], first: string): ProductionMonth => ({
  month: monthOf(first),
  ...toParts(partsOf(rows.filter(({ month }) => month === first))),
});

const categoriesOf = ({ rows, year }: ProductionInput): ProductionCategory[] =>
  [...new Set(rows.map(({ category }) => category))].sort().map((category) => {
    const own = rows.filter((row) => row.category === category);
    const months = monthsOf(year).filter((first) => own.some(({ month }) => month === first));
    return { category, ...toParts(partsOf(own)), months: months.map((first) => monthParts(own, first)) };
  });

function totalsOf(parts: Parts, group: Made): ProductionTotals {
  const { own, licensed } = parts;
  const made = own.lpa.plus(licensed.lpa);
  return {
    ...toParts(parts),
    group: amountOf(group),
    all: amountOf(addUp([own, licensed, group])),
    ...(made.isZero() ? {} : { licensedShare: Number(licensed.lpa.dividedBy(made).toFixed(4)) }),
  };
}

/** Production of the last whole months that the books cover, taken for a whole year; no trend and no season is put into it. */
function estimateOf(
  { last, settings }: ProductionInput,
  now: Date,
): { parts: Parts; document: ProductionEstimate } | undefined {
  const { days, booksFrom } = last;
  const covered = monthsOf(days).filter((first) => booksFrom !== null && first >= booksFrom);
  const [from] = covered;
  if (covered.length === 0) {
    return undefined;
  }
  const { own, licensed } = partsOf(last.rows.filter(({ month }) => month >= from));
  const aYear = ({ litres, lpa }: Made): Made => ({
    litres: toPlaces6HalfEven(litres.times(MONTHS).dividedBy(covered.length)),
    lpa: toPlaces6HalfEven(lpa.times(MONTHS).dividedBy(covered.length)),
  });
  const parts = { own: aYear(own), licensed: aYear(licensed) };
  const year = yearDays(undefined, settings.productionYear?.firstMonth, now).year + 1;
  const group = latestOfGroup(settings.productionYear?.group ?? [], year);
  const scaled = covered.length === MONTHS ? '' : `, times 12 and divided by ${covered.length}`;
  return {
    parts,
    document: {
      year,
      method: `Production of the last ${covered.length} whole months that the books cover${scaled}; of each member of the group the latest year that is stated. No trend and no season is put into it.`,
      from,
      before: days.endsBefore,
      months: covered.length,
      ...totalsOf(parts, addUp(group.map(stated))),
    },
  };
}

function latestOfGroup(group: readonly GroupProduction[], until: number): GroupProduction[] {
  const before = group.filter(({ year }) => year <= until);
  return before.filter(({ member, year }) => !before.some((other) => other.member === member && other.year > year));
}

const HUNDRED = 100;

function thresholdState(
  { name, measure, limit, alertAt = USUAL_ALERT, counts = [...PRODUCTION_PARTS] }: ProductionThreshold,
  made: Parts & { readonly group: Made },
  expected: (Parts & { readonly group: Made }) | undefined,
): ThresholdState {
  const of = (from: Parts & { readonly group: Made }): Decimal => {
    const sum = addUp(counts.map((part) => from[part]));
    return measure === 'volume' ? sum.litres : sum.lpa;
  };
  const most = litresOf(limit);
  const counted = of(made);
  const share = most.isZero() ? undefined : counted.dividedBy(most).times(HUNDRED);
  const isNear = share === undefined ? counted.isZero() === false : share.greaterThanOrEqualTo(alertAt.value);
  return {
    name,
    measure,
    limit: hectolitres(most),
    counted: hectolitres(counted),
    ...(share === undefined ? {} : { share: { value: Number(share.toFixed(2)), unit: '%' } }),
    ...(expected === undefined ? {} : { estimated: hectolitres(of(expected)) }),
    state: counted.greaterThan(most) ? 'above' : isNear ? 'near' : 'below',
  };
}

/** Makes the document of what was read. */
export function productionYearDocument(input: ProductionInput, now: Date): ProductionYear {
  const { producer, settings, year, rows, uncertainty, head } = input;
  const { categories, group = [], thresholds = [] } = settings.productionYear ?? {};
  const parts = partsOf(rows);
  const members = group.filter((member) => member.year === year.year);
  const groupMade = addUp(members.map(stated));
  const estimate = estimateOf(input, now);
  const expected =
    estimate === undefined
      ? undefined
      : { ...estimate.parts, group: addUp(latestOfGroup(group, estimate.document.year).map(stated)) };
  const owners = [...new Set(rows.map(({ owner }) => owner).filter((owner) => owner !== OWN))].sort();
  return {
    format: 'gaugebook-production-year',
    formatVersion: 1,
    producer,
    ...year,
    basis: basisOf(settings),
    ...(categories === undefined ? {} : { counted: categories }),
    months: monthsOf(year).map((first) => monthParts(rows, first)),
    categories: categoriesOf(input),
    licensedFor: owners.map((owner) => ({ owner, ...amountOf(madeOf(rows.filter((row) => row.owner === owner))) })),
    group: members.map((member) => ({ member: member.member, document: member.document, ...amountOf(stated(member)) })),
    total: { ...totalsOf(parts, groupMade), expandedUncertainty: amountOf(madeOf([uncertainty])) },
    thresholds: thresholds.map((each) => thresholdState(each, { ...parts, group: groupMade }, expected)),
    ...(estimate === undefined ? {} : { estimate: estimate.document }),
    trail: { sequence: Number(head.sequence), hash: head.hash },
    statement: [
      ...STATEMENT,
      'An entry counts in the month of its event; a correction of a closed period in the month in which it was entered, as in the reports.',
    ],
  };
}
