import type { RoundingBasis, RoundingGrouping, RoundingMode, RoundingStep } from '../../../metrology/rounding-rules.js';

/** Quantities on which duty can be charged. */
export const DUTY_BASES = [
  'litre-of-alcohol',
  'hectolitre-percent',
  'barrel-31-us-gallons',
  'proof-gallon-60f',
  'plato-hectolitre',
] as const;
export type DutyBasis = (typeof DUTY_BASES)[number];

/** Rules by which one of the strengths counts. `measured` stands for the finding of record, cut or rounded by the steps of the category. */
export const STRENGTH_RULES = [
  'declared',
  'measured',
  'greater-of-declared-and-measured',
  'declared-unless-measured-above',
] as const;
export type StrengthRule = (typeof STRENGTH_RULES)[number];

/** Treatments of the duty on goods that come back: set off against the releases of the day or of the period, or claimed separately. */
export const RETURN_TREATMENTS = ['offset-day', 'offset-period', 'claim'] as const;
export type ReturnTreatment = (typeof RETURN_TREATMENTS)[number];

export const CADENCES = ['month', 'quarter', 'half-year', 'year'] as const;
export type Cadence = (typeof CADENCES)[number];

export const DUTY_UNITS = ['L', 'hL', 'hL.%', 'barrel', 'proof-gallon', 'hL.plato'] as const;
export type DutyUnit = (typeof DUTY_UNITS)[number];

interface BasisFacts {
  readonly units: readonly DutyUnit[];
  readonly referenceTemperature: { readonly value: number; readonly unit: 'Cel' | '[degF]' };
  /** Rounded line by line, before the quantity is calculated from them. */
  readonly measures: readonly RoundingBasis[];
  /** Rounding of the quantity itself, by unit; a unit without one is not rounded. */
  readonly content: Partial<Record<DutyUnit, RoundingBasis>>;
  /** True where part of the strength can be free of duty. */
  readonly byStrength: boolean;
}

const AT_20_C = { value: 20, unit: 'Cel' } as const;

/**
 * Units and rounding steps that each basis takes. Quantities: litres × strength / 100 (L, or hL of pure alcohol); hectolitres × per cent, of which one is one litre of
 * pure alcohol; litres / 117.347765304 (27 CFR 25.11); wine gallons at 60 °F × proof / 100 (27 CFR 30.11); hectolitres × °Plato.
 */
export const BASIS_FACTS: Readonly<Record<DutyBasis, BasisFacts>> = {
  'litre-of-alcohol': {
    units: ['L', 'hL'],
    referenceTemperature: AT_20_C,
    measures: ['litres', 'strength'],
    content: { L: 'litres-of-alcohol', hL: 'hectolitres-of-alcohol' },
    byStrength: true,
  },
  'hectolitre-percent': {
    units: ['hL.%'],
    referenceTemperature: AT_20_C,
    measures: ['litres', 'strength', 'hectolitres'],
    content: { 'hL.%': 'litres-of-alcohol' },
    byStrength: true,
  },
  'barrel-31-us-gallons': {
    units: ['barrel'],
    referenceTemperature: AT_20_C,
    measures: ['litres', 'strength', 'gallons'],
    content: { barrel: 'barrels' },
    byStrength: false,
  },
  'proof-gallon-60f': {
    units: ['proof-gallon'],
    referenceTemperature: { value: 60, unit: '[degF]' },
    measures: ['litres', 'strength', 'proof', 'gallons'],
    content: { 'proof-gallon': 'proof-gallons' },
    byStrength: false,
  },
  'plato-hectolitre': {
    units: ['hL.plato'],
    referenceTemperature: AT_20_C,
    measures: ['litres', 'strength', 'plato', 'hectolitres'],
    content: {},
    byStrength: false,
  },
};

/** A strength in % vol, or a difference of two, as it stands on the wire. */
export interface Percent {
  readonly value: number;
  readonly unit: '%';
}

export const percent = (value: number): Percent => ({ value, unit: '%' });

/** Strengths from one and below another; the last band of a list has no upper edge. */
export interface StrengthBand {
  readonly code: string;
  readonly name?: string;
  readonly fromStrength: Percent;
  readonly belowStrength?: Percent;
  /** No duty is charged on it. */
  readonly untaxed?: boolean;
}

/** Money for one unit, from a day on and before another. */
export interface DutyRate {
  readonly band: string;
  readonly from: string;
  readonly before?: string;
  readonly amount: number;
}

/** Reduction of the rate, an amount per unit or a percentage, rounded at a named step. */
interface DutyRelief {
  readonly name: string;
  readonly kind: 'per-unit' | 'percentage';
  readonly amount: number;
  readonly mode: RoundingMode;
  readonly places: number;
  /** All bands unless said. */
  readonly bands?: readonly string[];
  /** Only in containers of this volume or more. */
  readonly minimumContainer?: { readonly value: number; readonly unit: 'L' };
  /** Only what is packed for a dispense system. */
  readonly forDispense?: boolean;
}

interface DutyStep {
  readonly name: string;
  readonly basis: RoundingBasis;
  readonly mode: RoundingMode;
  readonly places: number;
  readonly grouping?: RoundingGrouping;
}

export interface DutyCategory {
  readonly code: string;
  readonly name: string;
  /** Categories of the books that it takes; without it, all that no other takes. */
  readonly takes?: readonly string[];
  readonly basis: DutyBasis;
  readonly unit: DutyUnit;
  /** Part of the strength on which no duty is charged. */
  readonly freeStrength?: Percent;
  readonly bands: readonly StrengthBand[];
  readonly rates?: readonly DutyRate[];
  readonly relief?: DutyRelief;
  readonly rounding?: readonly DutyStep[];
}

export interface RuleSource {
  readonly citation: string;
  readonly url?: string;
  readonly edition: string;
  readonly note?: string;
}

/** A producer's rules of duty, as they are kept: plain data. */
export interface RuleSet {
  readonly name: string;
  readonly validFrom: string;
  readonly sources?: readonly RuleSource[];
  /** ISO 4217; needed with rates. */
  readonly currency?: string;
  readonly cadence: Cadence;
  /** Largest difference between measured and declared strength that is not flagged. */
  readonly labelTolerance?: Percent;
  readonly strengthForDuty: { readonly rule: StrengthRule; readonly tolerance?: Percent };
  /** Duty on goods that come back; claimed if left out. */
  readonly returns?: ReturnTreatment;
  readonly categories: readonly DutyCategory[];
}

/** A rule set with what names it in a report. */
export interface NamedRuleSet {
  readonly id: string;
  readonly version: string;
  readonly document: RuleSet;
  /** Moment and author of its entry; nothing for the plain set, which is the program's. */
  readonly entered?: { readonly at: Date; readonly personId: string | null; readonly keyId: string | null };
}

/** Rounding basis of the quantity of a category; none where its unit has no such step. */
export const contentBasisOf = ({ basis, unit }: DutyCategory): RoundingBasis | undefined =>
  BASIS_FACTS[basis].content[unit];

export const groupingOf = (step: RoundingStep): RoundingGrouping => step.grouping ?? 'line';

/** Notice that is shown with every rule set and every result of one. */
export const NOT_ADVICE = 'An example to start from, not advice: local law and licensed practice decide.';
