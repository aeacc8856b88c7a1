import type { MonteCarloResult } from '../../metrology/monte-carlo.js';
import { monteCarlo } from '../../metrology/monte-carlo.js';
import type { InputQuantity, Uncertain } from '../../metrology/uncertainty.js';
import type { MonteCarloRequest } from '../shared/uncertainty.js';
import type { ExtractFree } from '../../alcoholometry/strength/extract-free.js';
import { alcoholDensity } from '../../alcoholometry/strength/alcohol-density.js';
import { alcoholometer } from '../../alcoholometry/strength/alcoholometer.js';
import { certificate } from '../../alcoholometry/strength/certificate.js';
import type { Measured, StrengthFinding } from '../../alcoholometry/strength/finding.js';
import { gravityDropTable } from '../../alcoholometry/strength/gravity-drop-table.js';
import { massBalanceMonteCarlo } from '../../alcoholometry/strength/mass-balance-draws.js';
import type { MassBalanceInput, MeasuredGravity } from '../../alcoholometry/strength/mass-balance-point.js';
import { massBalance } from '../../alcoholometry/strength/mass-balance.js';
import type { Property } from '../../metrology/units.js';
import { letRequestsRun } from '../shared/let-requests-run.js';
import { baseDifferenceOf, baseOf } from '../shared/inputs.js';
import type { MeasuredQuantity } from '../shared/inputs.js';
import { given, requireInputs } from '../shared/refusal.js';
import type { SampledGravity, StrengthResult, StrengthRequest, StrengthMethod } from './strength.dto.js';
import { toStrengthResult } from './strength.mapper.js';

const GRAVITIES = ['originalGravity', 'finalGravity'];
const EXTRACT_FREE = ['basis', 'residue', 'residueStandardUncertainty'];
const OF_CERTIFICATE = ['strength', 'expandedUncertainty', 'coverageFactor'];

const INPUTS: Readonly<Record<StrengthMethod, { needed: readonly string[]; taken: readonly string[] }>> = {
  'mass-balance': { needed: GRAVITIES, taken: ['wash', 'monteCarlo'] },
  'gravity-drop-table': { needed: GRAVITIES, taken: ['wash', 'monteCarlo'] },
  'alcohol-density': { needed: ['density', 'temperature'], taken: [...EXTRACT_FREE, 'monteCarlo'] },
  alcoholometer: { needed: ['reading', 'temperature'], taken: [...EXTRACT_FREE, 'monteCarlo'] },
  certificate: { needed: OF_CERTIFICATE, taken: [] },
};

const ALL_INPUTS = [...new Set(Object.values(INPUTS).flatMap(({ needed, taken }) => [...needed, ...taken]))];

function gravityOf(name: string, gravity: SampledGravity): MeasuredGravity {
  const { value, scale, sampleTemperature, standardUncertainty } = gravity;
  return {
    value,
    scale,
    sampleTemperatureC: baseOf('temperature', sampleTemperature),
    ...(standardUncertainty === undefined
      ? {}
      : { components: [{ name, standardUncertainty, origin: `given/${name}` }] }),
  };
}

function gravitiesOf(input: StrengthRequest): MassBalanceInput {
  return {
    original: gravityOf('original gravity', given(input.originalGravity)),
    final: gravityOf('final gravity', given(input.finalGravity)),
    ...(input.wash === undefined ? {} : { model: { kind: input.wash === 'malt' ? 'malt' : 'sugar' } }),
    ...(input.wash === 'sucrose' ? { shares: { sucrose: 1, dextrose: 0 } } : {}),
    ...(input.wash === 'dextrose' ? { shares: { sucrose: 0, dextrose: 1 } } : {}),
  };
}

function measuredOf(property: Property, name: string, quantity: MeasuredQuantity): Measured {
  const { standardUncertainty, unit } = quantity;
  const value = baseOf(property, quantity);
  if (standardUncertainty === undefined) {
    return { value };
  }
  const inBaseUnit = baseDifferenceOf(property, standardUncertainty, unit);
  return { value, components: [{ name, standardUncertainty: inBaseUnit, origin: `given/${name}` }] };
}

const NO_BASIS =
  'No basis was given, so the liquid is assumed to be free of extract. 1 g/L of dissolved solids lowers the result by 0.2 to 0.3 % vol. Distil the sample, or state the residue.';

function extractFreeOf(input: StrengthRequest): { basis: ExtractFree; warnings: string[] } {
  const residues = ['residue', 'residueStandardUncertainty'];
  const isStated = input.basis === 'no-solids-added';
  requireInputs(
    input,
    residues,
    isStated ? residues : [],
    [],
    isStated ? 'no-solids-added' : 'A liquid free of extract',
  );
  if (isStated) {
    return {
      basis: {
        kind: 'no-solids-added',
        residueGPerL: given(input.residue).value,
        residueStandardUncertaintyGPerL: given(input.residueStandardUncertainty).value,
      },
      warnings: [],
    };
  }
  return { basis: { kind: 'distilled' }, warnings: input.basis === undefined ? [NO_BASIS] : [] };
}

function ofExtractFree(input: StrengthRequest): StrengthFinding {
  const { basis, warnings } = extractFreeOf(input);
  const temperature = measuredOf('temperature', 'temperature', given(input.temperature));
  const finding =
    input.method === 'alcoholometer'
      ? alcoholometer({ reading: measuredOf('fraction', 'reading', given(input.reading)), temperature, basis })
      : alcoholDensity({ density: measuredOf('density', 'density', given(input.density)), temperature, basis });
  return { ...finding, warnings: [...warnings, ...finding.warnings] };
}

function findingOf(input: StrengthRequest): StrengthFinding {
  switch (input.method) {
    case 'mass-balance':
      return massBalance(gravitiesOf(input));
    case 'gravity-drop-table':
      return gravityDropTable(gravitiesOf(input));
    case 'alcohol-density':
    case 'alcoholometer':
      return ofExtractFree(input);
    case 'certificate':
      return certificate({
        strengthPercent: baseOf('fraction', given(input.strength)),
        expandedUncertainty: baseOf('fraction', given(input.expandedUncertainty)),
        coverageFactor: given(input.coverageFactor),
      });
  }
}

/** Propagation of the distributions of a budget through its own sensitivities (JCGM 101, clause 7). */
function linearMonteCarlo(found: Uncertain, options: MonteCarloRequest): MonteCarloResult {
  const inputs = found.budget.map(
    ({ name, value, standardUncertainty, distribution, degreesOfFreedom, origin }): InputQuantity => ({
      name,
      value,
      standardUncertainty,
      distribution,
      degreesOfFreedom: degreesOfFreedom ?? undefined,
      origin,
    }),
  );
  const evaluate = (draw: Float64Array): number =>
    found.budget.reduce((sum, line, i) => sum + line.sensitivity * (draw[i] - line.value), found.value);
  return monteCarlo({ ...options, inputs, evaluate });
}

/** Strength by one method, and the propagation of distributions where it was asked for. */
export async function strength(input: StrengthRequest): Promise<StrengthResult> {
  const { needed, taken } = INPUTS[input.method];
  requireInputs(input, ALL_INPUTS, needed, taken, input.method);
  const finding = findingOf(input);
  if (input.monteCarlo === undefined) {
    return toStrengthResult(finding);
  }
  await letRequestsRun();
  return toStrengthResult(
    finding,
    input.method === 'mass-balance'
      ? massBalanceMonteCarlo(gravitiesOf(input), input.monteCarlo)
      : linearMonteCarlo(finding.strengthPercent, input.monteCarlo),
  );
}
