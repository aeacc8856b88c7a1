import type { Decimal } from '../../../metrology/decimals.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import type { Rounded } from '../../../metrology/rounding-rules.js';
import { lineSteps, quantityOf } from './quantity.js';
import type { DutyCategory, DutyRate, NamedRuleSet, StrengthBand } from './rule-set.js';
import { contentBasisOf } from './rule-set.js';

/** Goods on which duty falls due, all of one kind on one day. */
export interface DutyLine {
  readonly id: string;
  /** Of the books. */
  readonly category: string;
  /** YYYY-MM-DD. */
  readonly dutyDate: string;
  /** At 20 °C. */
  readonly litres: Decimal;
  /** % vol at 20 °C. */
  readonly declaredPercent: Decimal;
  readonly measured?: { readonly percent: Decimal; readonly expandedUncertainty: Decimal };
  readonly originalPlato?: Decimal;
  readonly containerL?: Decimal;
  readonly forDispense?: boolean;
  /** The producer's own tolerance of the label, % vol: it counts where the rule set has none. */
  readonly ownTolerance?: Decimal;
}

export const FLAG_CODES = [
  'no-category',
  'no-measured-strength',
  'no-original-extract',
  'outside-label-tolerance',
  'measured-in-another-band',
  'band-edge-within-uncertainty',
  'band-undecided',
  'no-rate',
] as const;
export type FlagCode = (typeof FLAG_CODES)[number];

interface Flag {
  readonly code: FlagCode;
  readonly detail: string;
}

/** Result of the rules for one line. */
export interface LineDuty {
  readonly line: DutyLine;
  readonly set: NamedRuleSet;
  readonly category: DutyCategory | undefined;
  readonly strengthFrom: 'declared' | 'measured';
  /** Its steps taken. */
  readonly strengthPercent: Decimal;
  /** None where there is no category, or where the strength does not decide it. */
  readonly band: StrengthBand | undefined;
  /** Bands that the strength may stand in. */
  readonly candidates: readonly string[];
  /** Before and after the steps that round it line by line; none where it cannot be known. */
  readonly raw: Decimal | undefined;
  readonly quantity: Decimal | undefined;
  /** Degrees Plato after their steps, where the quantity is calculated from them. */
  readonly degree: Decimal | undefined;
  /** In the order in which they were taken. */
  readonly steps: readonly Rounded[];
  readonly rate: DutyRate | undefined;
  readonly relieved: boolean;
  readonly flags: readonly Flag[];
}

interface Chosen {
  readonly from: LineDuty['strengthFrom'];
  readonly percent: Decimal;
  /** Interval in which the strength that counts may lie. */
  readonly range: readonly [Decimal, Decimal];
}

const ZERO = new Exact(0);
const HUNDRED = new Exact(100);

const clipped = (percent: Decimal): Decimal => Exact.min(HUNDRED, Exact.max(ZERO, percent));

/** The set in force on a day: the one that began last, of those that began on one day the one that was made last. */
export function inForce(sets: readonly NamedRuleSet[], day: string): NamedRuleSet {
  const begun = sets.filter(({ document }) => document.validFrom <= day);
  if (begun.length === 0) throw new Error(`No rule set is in force on ${day}.`);
  return begun.reduce((best, each) => (each.document.validFrom >= best.document.validFrom ? each : best));
}

/** The category that takes goods of a category of the books. */
const categoryOf = ({ document }: NamedRuleSet, name: string): DutyCategory | undefined =>
  document.categories.find(({ takes }) => takes?.includes(name)) ??
  document.categories.find(({ takes }) => takes === undefined);

function chosenOf({ document }: NamedRuleSet, { declaredPercent: declared, measured }: DutyLine): Chosen {
  const byLabel: Chosen = { from: 'declared', percent: declared, range: [declared, declared] };
  if (measured === undefined) return byLabel;
  const { percent, expandedUncertainty: u } = measured;
  const range = [clipped(percent.minus(u)), clipped(percent.plus(u))] as const;
  const byTest: Chosen = { from: 'measured', percent, range };
  const { rule, tolerance } = document.strengthForDuty;
  switch (rule) {
    case 'declared':
      return byLabel;
    case 'measured':
      return byTest;
    case 'greater-of-declared-and-measured': {
      const wider = [Exact.max(declared, range[0]), Exact.max(declared, range[1])] as const;
      return { ...(percent.greaterThan(declared) ? byTest : byLabel), range: wider };
    }
    case 'declared-unless-measured-above':
      return percent.greaterThan(declared.plus(tolerance?.value ?? 0)) ? byTest : byLabel;
  }
}

/** Bands from the lower to the upper end of a range, by the strength as it is rounded for duty. */
function bandsAcross(category: DutyCategory, [low, high]: readonly [Decimal, Decimal]): StrengthBand[] {
  const [from] = lineSteps(category, 'strength', low);
  const [to] = lineSteps(category, 'strength', high);
  return category.bands.filter(
    ({ fromStrength, belowStrength }) =>
      to.greaterThanOrEqualTo(fromStrength.value) &&
      (belowStrength === undefined || from.lessThan(belowStrength.value)),
  );
}

const rateOf = ({ rates = [] }: DutyCategory, band: StrengthBand, day: string): DutyRate | undefined =>
  rates.find((rate) => rate.band === band.code && rate.from <= day && (rate.before === undefined || day < rate.before));

function isRelieved({ relief }: DutyCategory, band: StrengthBand, { containerL, forDispense }: DutyLine): boolean {
  if (relief === undefined) return false;
  const { bands, minimumContainer } = relief;
  return (
    (bands === undefined || bands.includes(band.code)) &&
    (minimumContainer === undefined || containerL?.greaterThanOrEqualTo(minimumContainer.value) === true) &&
    (relief.forDispense !== true || forDispense === true)
  );
}

/** A strength or a difference of two as it is read: to a hundredth. */
const inPoints = (percent: Decimal): string => canonicalText(percent.toDecimalPlaces(2));

const inWords = (bands: readonly StrengthBand[]): string => bands.map(({ code }) => code).join(', ');

function strengthFlags(set: NamedRuleSet, line: DutyLine): Flag[] {
  const { document } = set;
  const { measured, declaredPercent } = line;
  if (measured === undefined) {
    const needed = document.strengthForDuty.rule !== 'declared';
    const detail = 'No strength of record is known: the declared one stands in.';
    return needed ? [{ code: 'no-measured-strength', detail }] : [];
  }
  const own = document.labelTolerance === undefined;
  const tolerance = own ? line.ownTolerance : new Exact(document.labelTolerance.value);
  const apart = measured.percent.minus(declaredPercent).abs();
  if (tolerance === undefined || apart.lessThanOrEqualTo(tolerance)) return [];
  const whose = own ? 'your own tolerance of the label' : 'the tolerance of the rule set';
  const detail = `Measured and declared strength are ${inPoints(apart)} % vol apart; ${whose} is ${canonicalText(tolerance)} % vol.`;
  return [{ code: 'outside-label-tolerance', detail }];
}

/** True where the set calculates money, duty is charged on the band, and there is no rate of it. */
const lacksRate = ({ document }: NamedRuleSet, band: StrengthBand | undefined, rate: DutyRate | undefined): boolean =>
  rate === undefined && band !== undefined && band.untaxed !== true && document.currency !== undefined;

/** Calculates the duty of one line by the set in force on its duty date. */
export function lineDuty(sets: readonly NamedRuleSet[], line: DutyLine): LineDuty {
  const set = inForce(sets, line.dutyDate);
  const category = categoryOf(set, line.category);
  const flags = strengthFlags(set, line);
  const chosen = chosenOf(set, line);
  if (category === undefined) {
    flags.push({ code: 'no-category', detail: `No category of the rule set takes "${line.category}".` });
    return {
      line,
      set,
      category,
      strengthFrom: chosen.from,
      strengthPercent: chosen.percent,
      band: undefined,
      candidates: [],
      raw: undefined,
      quantity: undefined,
      degree: undefined,
      steps: [],
      rate: undefined,
      relieved: false,
      flags,
    };
  }
  const [strengthPercent, strengthSteps] = lineSteps(category, 'strength', chosen.percent);
  const { band, candidates } = bandOf(category, line, chosen, flags);
  const quantity = quantityOf(category, { litres: line.litres, strengthPercent, originalPlato: line.originalPlato });
  if (quantity === undefined) {
    flags.push({ code: 'no-original-extract', detail: 'The basis needs the original °Plato, and it is not known.' });
  }
  const content = contentBasisOf(category);
  const [rounded, contentSteps] =
    quantity === undefined || content === undefined
      ? [quantity?.value, []]
      : lineSteps(category, content, quantity.value);
  const rate = band === undefined ? undefined : rateOf(category, band, line.dutyDate);
  if (lacksRate(set, band, rate)) {
    flags.push({
      code: 'no-rate',
      detail: `The rule set has no rate of the band "${band?.code}" on ${line.dutyDate}.`,
    });
  }
  return {
    line,
    set,
    category,
    strengthFrom: chosen.from,
    strengthPercent,
    band,
    candidates: candidates.map(({ code }) => code),
    raw: quantity?.value,
    quantity: rounded,
    degree: quantity?.degree,
    steps: [...strengthSteps, ...(quantity?.steps ?? []), ...contentSteps],
    rate,
    relieved: rate !== undefined && band !== undefined && isRelieved(category, band, line),
    flags,
  };
}

/** Bands that the measured strength may stand in. */
const measuredBands = (
  category: DutyCategory,
  { percent, expandedUncertainty: u }: NonNullable<DutyLine['measured']>,
): StrengthBand[] => bandsAcross(category, [clipped(percent.minus(u)), clipped(percent.plus(u))]);

/** Flags a label whose band the measured strength cannot stand in, whichever of the two the rule takes. */
function flagOtherBand(category: DutyCategory, { measured, declaredPercent }: DutyLine, flags: Flag[]): void {
  const [labelled] = bandsAcross(category, [declaredPercent, declaredPercent]);
  const across = measured === undefined ? [] : measuredBands(category, measured);
  if (measured === undefined || labelled === undefined || across.length === 0 || across.includes(labelled)) return;
  const { percent, expandedUncertainty: u } = measured;
  const detail = `Declared ${canonicalText(declaredPercent)} % vol lies in the band ${labelled.code}; measured ${inPoints(percent)} ± ${inPoints(u)} % vol lies in ${inWords(across)}. Correct the label, or find the strength again.`;
  flags.push({ code: 'measured-in-another-band', detail });
}

/** The band, if the strength that counts decides it; a measured interval across an edge is flagged in any case. */
function bandOf(
  category: DutyCategory,
  line: DutyLine,
  chosen: Chosen,
  flags: Flag[],
): { band: StrengthBand | undefined; candidates: readonly StrengthBand[] } {
  const deciding = bandsAcross(category, chosen.range);
  flagOtherBand(category, line, flags);
  if (deciding.length > 1) {
    const detail = `The strength for duty lies within its uncertainty on both sides of an edge: ${inWords(deciding)}.`;
    flags.push({ code: 'band-undecided', detail });
    return { band: undefined, candidates: deciding };
  }
  if (line.measured !== undefined) {
    const across = measuredBands(category, line.measured);
    if (across.length > 1) {
      const detail = `The measured strength lies within its uncertainty on both sides of an edge: ${inWords(across)}; the declared one decides by the rule.`;
      flags.push({ code: 'band-edge-within-uncertainty', detail });
    }
  }
  return { band: deciding[0], candidates: deciding };
}
