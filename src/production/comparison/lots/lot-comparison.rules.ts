import { differenceOf } from '../../../metrology/difference.js';
import type { BudgetLine, Uncertain } from '../../../metrology/uncertainty.js';
import { propagate } from '../../../metrology/uncertainty.js';
import type { ComparedFigure, LotDifference, LotFigure } from './lot-comparison.dto.js';

const UNITS: Readonly<Record<ComparedFigure, LotFigure['unit']>> = {
  strength: '%',
  'real-extract': '°P',
  'apparent-attenuation': '%',
  'time-to-terminal': 'h',
};

/** Words for a second lot whose figure is higher, and for one whose is lower. */
const WORDS: Readonly<Record<ComparedFigure, readonly [higher: string, lower: string, unit: string]>> = {
  strength: ['is stronger by', 'is weaker by', '% vol'],
  'real-extract': ['is fuller by', 'is drier by', '°P'],
  'apparent-attenuation': ['is attenuated further, by', 'is attenuated less, by', '%'],
  'time-to-terminal': ['reached terminal gravity later by', 'reached terminal gravity sooner by', 'h'],
};

/** Known figures of one lot, with their budgets. */
export type Figures = Partial<Readonly<Record<ComparedFigure, Pick<Uncertain, 'value' | 'expanded' | 'budget'>>>>;

/**
 * Origins whose names say nothing of the lot (a numbered addition) get the lot's id: alike in two lots, they are not one cause.
 */
export const ownOrigins = (budget: readonly BudgetLine[], lotId: string): BudgetLine[] =>
  budget.map((line) => (line.origin.startsWith('addition/') ? { ...line, origin: `${lotId}/${line.origin}` } : line));

/**
 * Hours from the zero of the clock to the terminal gravity. It was reached between the reading before and the first that stood still:
 * the middle of that gap, rectangular.
 */
export function timeToTerminal(stillSinceHours: number, hoursBefore: number, lotId: string): Uncertain {
  const halfGap = (stillSinceHours - hoursBefore) / 2;
  const value = stillSinceHours - halfGap;
  const standardUncertainty = halfGap / Math.sqrt(3);
  const input = {
    name: 'gap between two readings',
    value,
    standardUncertainty,
    distribution: 'rectangular' as const,
    origin: `lot/${lotId}/gap-of-readings`,
    unit: 'h',
  };
  return propagate(value, [input], [1]);
}

const shown = (value: number): number => Number(value.toPrecision(6));

export const figuresOf = (figures: Figures): LotFigure[] =>
  (Object.keys(UNITS) as ComparedFigure[]).flatMap((kind) => {
    const known = figures[kind];
    return known === undefined
      ? []
      : [{ kind, value: shown(known.value), unit: UNITS[kind], expandedUncertainty: shown(known.expanded) }];
  });

/** One digit more than the first of the uncertainty, at least one and at most three places. */
const placesFor = (expanded: number): number =>
  expanded <= 0 ? 2 : Math.min(3, Math.max(1, 1 - Math.floor(Math.log10(expanded))));

function difference(kind: ComparedFigure, first: Figures, second: Figures, codeOfSecond: string): LotDifference[] {
  const [a, b] = [first[kind], second[kind]];
  if (a === undefined || b === undefined) {
    return [];
  }
  const { value, expanded } = differenceOf(a, b);
  const isLarger = Math.abs(value) > expanded;
  const [higher, lower, unit] = WORDS[kind];
  const places = kind === 'time-to-terminal' ? 0 : placesFor(expanded);
  const size = `${Math.abs(value).toFixed(places)} ± ${expanded.toFixed(places)} ${unit}`;
  const statement = isLarger
    ? `${codeOfSecond} ${value > 0 ? higher : lower} ${size}.`
    : `${codeOfSecond} ${value > 0 ? higher : lower} ${size}: not more than the uncertainty, so no difference is shown.`;
  return [{ kind, value: shown(value), unit: UNITS[kind], expandedUncertainty: shown(expanded), isLarger, statement }];
}

/** Second less first of every figure that both have. */
export const differencesOf = (first: Figures, second: Figures, codeOfSecond: string): LotDifference[] =>
  (Object.keys(UNITS) as ComparedFigure[]).flatMap((kind) => difference(kind, first, second, codeOfSecond));
