import type { Quantity } from '../../../metrology/units.js';
import { toBase } from '../../../metrology/units.js';
import type { PlannedStep, StepFacts, StepKind } from './planned-step.dto.js';

const MINUTE_MS = 60_000;

/** A planned step with its number in the plan, from 1, and the moment when it is due. */
export interface DueStep {
  readonly number: number;
  readonly step: PlannedStep;
  readonly dueAt: Date | undefined;
}

/** The planned steps with their due times, in the order of the plan. */
export const dueSteps = (planned: readonly PlannedStep[], startedAt: Date): DueStep[] =>
  planned.map((step, index) => ({
    number: index + 1,
    step,
    dueAt:
      step.after === undefined ? undefined : new Date(startedAt.getTime() + toBase('time', step.after) * MINUTE_MS),
  }));

const byTime = (a: DueStep, b: DueStep): number =>
  (a.dueAt?.getTime() ?? Number.MAX_SAFE_INTEGER) - (b.dueAt?.getTime() ?? Number.MAX_SAFE_INTEGER) ||
  a.number - b.number;

/** Planned steps that were neither done nor left out; the one that is due first comes first. */
export const openSteps = (planned: readonly PlannedStep[], done: readonly number[], startedAt: Date): DueStep[] =>
  dueSteps(planned, startedAt)
    .filter(({ number }) => !done.includes(number))
    .sort(byTime);

const WORDS: Readonly<Record<StepKind, string>> = {
  heat: 'Heat',
  cool: 'Cool',
  'pitch-yeast': 'Pitch the yeast',
  'add-nutrient': 'Add the nutrient',
  rack: 'Rack',
  'cold-store': 'Store cold',
  carbonate: 'Carbonate',
  condition: 'Condition',
  filter: 'Filter',
  other: 'Carry out the step',
};

const UNIT_WORDS: Readonly<Record<string, string>> = { Cel: '°C', '[degF]': '°F', d: 'days' };
const spoken = ({ value, unit }: Quantity): string => `${value} ${UNIT_WORDS[unit] ?? unit}`;

/** A step in words: `Heat to 80 °C for 15 min`. */
export function stepWords({ kind, name, temperature, duration }: StepFacts & { readonly name?: string }): string {
  const at =
    temperature === undefined ? '' : ` ${kind === 'heat' || kind === 'cool' ? 'to' : 'at'} ${spoken(temperature)}`;
  const held = duration === undefined ? '' : ` for ${spoken(duration)}`;
  return `${name ?? WORDS[kind]}${at}${held}`;
}

const HOT_C = 45;
const LOCAL = 'Local codes and licensed practice come first.';
const HOT =
  'Hot liquid scalds: keep the lid open to the air while it heats and cools, wear gloves and eye protection, and never heat or cool a closed vessel that is not made for it.';
const CO2 =
  'Fermentation gives off carbon dioxide, which is heavier than air and suffocates without warning: air the room before and while you work, and never enter a vessel or a pit alone or untested.';
const PRESSURE =
  'A vessel under pressure can burst: use one that is made for the pressure, with a relief valve that works, and let the pressure off before it is opened.';
const GLASS =
  'Glass breaks when its temperature changes suddenly and under pressure: warm and cool it slowly, fill no glass that is not made for it, and wear eye protection.';

/** The usual cautions for a step: hot liquid, carbon dioxide, pressure and glass. They do not replace local codes and licensed practice. */
export function cautionsOf({ kind, temperature }: StepFacts): string[] {
  const hot = kind === 'heat' || (temperature !== undefined && toBase('temperature', temperature) >= HOT_C);
  const gas = ['pitch-yeast', 'add-nutrient', 'rack', 'condition'].includes(kind);
  const pressure = kind === 'carbonate' || kind === 'condition';
  const glass = hot || ['cool', 'cold-store', 'condition', 'carbonate'].includes(kind);
  const cautions = [
    ...(hot ? [HOT] : []),
    ...(gas || pressure ? [CO2] : []),
    ...(pressure ? [PRESSURE] : []),
    ...(glass ? [GLASS] : []),
  ];
  return cautions.length === 0 ? [] : [...cautions, LOCAL];
}
