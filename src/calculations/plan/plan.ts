import { toExtract } from '../../alcoholometry/liquids/gravity-scales.js';
import type { Expectation } from '../../alcoholometry/plans/plan-ferment.js';
import { originalGravityShortfall, planForStrength } from '../../alcoholometry/plans/plan-backwards.js';
import type { Fermentable, Plan } from '../../alcoholometry/plans/plan.js';
import { PLAN_METHOD, plan as planForwards } from '../../alcoholometry/plans/plan.js';
import { figure, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';
import { given, pointingAt, requireExactlyOne } from '../shared/refusal.js';
import type { PlanResult, PlanRequest } from './plan.dto.js';

interface Planned {
  readonly plan: Plan;
  readonly volumeL: number;
  readonly fermentables: readonly Fermentable[];
}

const NAMES: Readonly<Record<string, string>> = {
  strength: 'wanted.strength',
  finalVolume: 'wanted.finalVolume',
  extractPerVolume: 'volume',
  apparentAttenuation: 'expectation.apparentAttenuation',
  apparentExtract: 'expectation.apparentAttenuation',
  realAttenuation: 'expectation.realAttenuation',
  finalGravity: 'expectation.finalGravity',
  value: 'expectation.finalGravity',
};

/** The pure functions know the inputs without the objects around them. */
export const planName = (name: string): string => NAMES[name] ?? name;

function expectationOf(input: PlanRequest): Expectation {
  const { expectation } = input;
  requireExactlyOne(expectation, ['apparentAttenuation', 'realAttenuation', 'finalGravity'], ['expectation']);
  return {
    apparentAttenuationPercent: baseOf('fraction', expectation.apparentAttenuation),
    realAttenuationPercent: baseOf('fraction', expectation.realAttenuation),
    finalGravity: expectation.finalGravity,
  };
}

function plannedOf(input: PlanRequest, expectation: Expectation): Planned {
  const fermentables = input.fermentables.map(({ kind, mass, extractYield }): Fermentable => ({
    kind,
    massKg: baseOf('mass', mass),
    extractYield: extractYield === undefined ? undefined : baseOf('fraction', extractYield) / 100,
  }));
  if (requireExactlyOne(input, ['volume', 'wanted']) === 'volume') {
    const volumeL = baseOf('volume', given(input.volume));
    return { plan: planForwards({ fermentables, volumeL, expectation }), volumeL, fermentables };
  }
  const { strength, finalVolume } = given(input.wanted);
  const found = planForStrength({
    fermentables,
    strengthPercent: baseOf('fraction', strength),
    finalVolumeL: baseOf('volume', finalVolume),
    expectation,
  });
  return { plan: found, volumeL: found.washVolumeL, fermentables: found.fermentables };
}

function shortfallOf(input: PlanRequest, planned: Planned, expectation: Expectation): Pick<PlanResult, 'shortfall'> {
  const { measured } = input;
  if (measured === undefined) return {};
  const { extractPlato } = pointingAt('measured.originalGravity', () => toExtract(measured.originalGravity));
  const found = pointingAt('measured.originalGravity', () =>
    originalGravityShortfall({
      planned: { value: planned.plan.original.plato, scale: 'plato' },
      measured: { value: extractPlato, scale: 'plato' },
      volumeL: baseOf('volume', measured.volume) ?? planned.volumeL,
      expectation,
      sugar: measured.correctWith,
    }),
  );
  return {
    shortfall: {
      extract: figure(found.measuredPlato),
      plannedStrength: quantityOf(found.plannedStrengthPercent, '%'),
      expectedStrength: quantityOf(found.expectedStrengthPercent, '%'),
      strengthChange: quantityOf(found.strengthChangePercent, '%'),
      sugarMass: quantityOf(found.sugarKg, 'kg'),
      waterMass: quantityOf(found.waterKg, 'kg'),
      volumeAfter: quantityOf(found.volumeAfterL, 'L'),
    },
  };
}

/**
 * Computes a plan from its fermentables, or backwards from the wanted drink, and the effect of a measured original gravity.
 */
export function plan(input: PlanRequest): PlanResult {
  const expectation = expectationOf(input);
  const planned = plannedOf(input, expectation);
  const { plan: found } = planned;
  return {
    fermentables: planned.fermentables.map(({ kind, massKg }) => ({ kind, mass: quantityOf(massKg, 'kg') })),
    waterMass: quantityOf(found.waterKg, 'kg'),
    volume: quantityOf(planned.volumeL, 'L'),
    original: {
      specificGravity20: figure(found.original.specificGravity20),
      extract: figure(found.original.plato),
    },
    final: { specificGravity20: figure(found.final.specificGravity20), extract: figure(found.final.plato) },
    realExtract: figure(found.realExtractPlato),
    apparentAttenuation: quantityOf(found.apparentAttenuationPercent, '%'),
    strength: quantityOf(found.strengthPercent, '%'),
    alcoholByMass: quantityOf(found.alcoholMassPercent, '%'),
    finalVolume: quantityOf(found.finalVolumeL, 'L'),
    volumeChange: quantityOf(found.fermentationVolumeChangeL, 'L'),
    pureAlcohol: quantityOf(found.pureAlcoholL, 'L'),
    carbonDioxide: quantityOf(found.co2Kg, 'kg'),
    yeastDryMatter: quantityOf(found.yeastDryMatterKg, 'kg'),
    ...shortfallOf(input, planned, expectation),
    method: PLAN_METHOD,
    warnings: [...found.warnings],
  };
}
