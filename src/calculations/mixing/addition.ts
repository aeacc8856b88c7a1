import type { Dose } from '../../alcoholometry/mixing/dose.js';
import { dose as doseInto } from '../../alcoholometry/mixing/dose.js';
import type { Liquid } from '../../alcoholometry/liquids/liquid.js';
import { addSolids } from '../../alcoholometry/mixing/solids.js';
import { bringToStrength } from '../../alcoholometry/mixing/to-strength.js';
import { figure, quantityOf } from '../shared/answer.js';
import { baseOf } from '../shared/inputs.js';
import type { StatedLiquidAtTemperature } from '../shared/liquid.dto.js';
import { specOf, toLiquidResult } from '../shared/liquid.dto.js';
import { given, requireExactlyOne, requireInputs } from '../shared/refusal.js';
import type { AdditionResult, AdditionRequest } from './addition.dto.js';

const INPUTS: Readonly<Record<AdditionRequest['kind'], { needed: readonly string[]; taken: readonly string[] }>> = {
  dose: { needed: ['addition', 'dose'], taken: ['volume'] },
  solids: { needed: ['solid', 'mass', 'volume'], taken: [] },
  'to-strength': { needed: ['addition', 'targetStrength'], taken: ['volume', 'finalVolume'] },
};

const ALL_INPUTS = ['addition', 'dose', 'solid', 'mass', 'targetStrength', 'volume', 'finalVolume'];

const METHOD = {
  id: 'addition-mass-balance',
  version: '1.0.0',
  source: 'OIML R 22 (1975); extract by Tabarié with ICUMSA SPS-4 (1998)',
};

interface Added {
  readonly base: Liquid;
  readonly addition?: Liquid;
  readonly additionVolumeAtTemperatureL?: number;
  readonly result: Liquid;
  readonly volumeChangeL: number;
  readonly warnings: readonly string[];
}

/** Names of the two liquids in the pure functions, and in the request. */
const NAMES: readonly (readonly [RegExp, string])[] = [
  [/^(start|liquid)\b/, 'base'],
  [/^flavouring\b/, 'addition'],
  [/^bottle$/, 'dose.bottle'],
  [/^dose$/, 'dose.volume'],
];

export function additionName(name: string): string {
  const renamed = NAMES.find(([pattern]) => pattern.test(name));
  const own = renamed === undefined ? name : name.replace(renamed[0], renamed[1]);
  return own === 'base.volume' ? 'volume' : own;
}

const withoutTemperature = (input: AdditionRequest): void => {
  const why = `An addition of kind ${input.kind}`;
  requireInputs(input.base, ['temperature'], [], [], why, 'base');
  if (input.addition !== undefined) requireInputs(input.addition, ['temperature'], [], [], why, 'addition');
};

function doseOf(input: AdditionRequest): Dose {
  const { volume, per, bottle } = given(input.dose);
  const doseMl = 1000 * baseOf('volume', volume);
  const needed = per === 'bottle' ? ['bottle'] : [];
  requireInputs(given(input.dose), ['bottle'], needed, [], `A dose per ${per}`, 'dose');
  return per === 'bottle' ? { per, doseMl, bottleMl: 1000 * baseOf('volume', given(bottle)) } : { per, doseMl };
}

function dosed(input: AdditionRequest): Added {
  withoutTemperature(input);
  const { flavouring, ...found } = doseInto({
    base: specOf(input.base),
    flavouring: specOf(given(input.addition)),
    dose: doseOf(input),
    volumeL: baseOf('volume', input.volume),
  });
  return { ...found, addition: flavouring };
}

function withSolids(input: AdditionRequest): Added {
  withoutTemperature(input);
  const { start, result, volumeAddedL, warnings } = addSolids({
    ...specOf(input.base),
    volumeL: baseOf('volume', given(input.volume)),
    solid: given(input.solid),
    massKg: baseOf('mass', given(input.mass)),
  });
  return { base: start, result, volumeChangeL: volumeAddedL, warnings };
}

const streamOf = (liquid: StatedLiquidAtTemperature) => ({
  ...specOf(liquid),
  temperatureC: baseOf('temperature', liquid.temperature),
});

function toStrength(input: AdditionRequest): Added {
  requireExactlyOne(input, ['volume', 'finalVolume']);
  const { start, ...found } = bringToStrength({
    start: streamOf(input.base),
    addition: streamOf(given(input.addition)),
    targetStrengthPercent: baseOf('fraction', given(input.targetStrength)),
    volumeL: baseOf('volume', input.volume),
    finalVolumeL: baseOf('volume', input.finalVolume),
  });
  return { ...found, base: start };
}

const COMPUTE = { dose: dosed, solids: withSolids, 'to-strength': toStrength } as const;

const LABEL_WARNING =
  'A label needs a measured strength. The difference does not include the tolerance that the law allows.';

function labelOf(input: AdditionRequest, result: Liquid): Pick<AdditionResult, 'label'> {
  if (input.declaredStrength === undefined) return {};
  const declared = baseOf('fraction', input.declaredStrength);
  return {
    label: {
      declaredStrength: quantityOf(declared, '%'),
      difference: quantityOf(result.strengthPercent - declared, '%'),
    },
  };
}

function liquidAdded({ addition, additionVolumeAtTemperatureL: atTemperature }: Added): Partial<AdditionResult> {
  return {
    ...(addition === undefined ? {} : { addition: toLiquidResult(addition) }),
    ...(atTemperature === undefined ? {} : { additionVolumeAtTemperature: quantityOf(atTemperature, 'L') }),
  };
}

/** Computes the result of an addition, of one of three kinds. */
export function addition(input: AdditionRequest): AdditionResult {
  const { needed, taken } = INPUTS[input.kind];
  requireInputs(input, ALL_INPUTS, needed, taken, `An addition of kind ${input.kind}`);
  const added = COMPUTE[input.kind](input);
  const { base, result } = added;
  const brought = added.addition?.pureAlcoholL ?? 0;
  return {
    base: toLiquidResult(base),
    ...liquidAdded(added),
    result: toLiquidResult(result),
    strengthChange: quantityOf(result.strengthPercent - base.strengthPercent, '%'),
    extractChange: figure(result.extractPlato - base.extractPlato),
    volumeChange: quantityOf(added.volumeChangeL, 'L'),
    alcoholShareAdded: result.pureAlcoholL === 0 ? 0 : figure(brought / result.pureAlcoholL),
    ...labelOf(input, result),
    method: METHOD,
    warnings: [...added.warnings, ...(input.declaredStrength === undefined ? [] : [LABEL_WARNING])],
  };
}
