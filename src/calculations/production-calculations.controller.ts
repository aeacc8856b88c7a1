import { Body, Controller } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { Access } from '../platform/access.js';
import { AdditionResult, AdditionRequest } from './mixing/addition.dto.js';
import { addition, additionName } from './mixing/addition.js';
import { Calculation } from './shared/calculation.decorator.js';
import { ConditioningResult, ConditioningRequest, conditioning, conditioningName } from './carbonation/conditioning.js';
import { EnergyResult, EnergyRequest, energy } from './liquids/energy.js';
import { additionExamples } from './examples/addition.js';
import { brewingWaterExamples } from './examples/brewing-water.js';
import { conditioningExamples } from './examples/conditioning.js';
import { energyExamples } from './examples/energy.js';
import { mixtureExamples } from './examples/mixture.js';
import { originalExtractExamples } from './examples/original-extract.js';
import { planExamples } from './examples/plan.js';
import { proofExamples } from './examples/proof.js';
import { volumeExamples } from './examples/volume.js';
import { MixtureResult, MixtureRequest, mixture, mixtureName } from './mixing/mixture.js';
import { OriginalExtractResult, OriginalExtractRequest, originalExtract } from './strength/original-extract.js';
import { PlanResult, PlanRequest } from './plan/plan.dto.js';
import { plan, planName } from './plan/plan.js';
import { ProofResult, ProofRequest, proof, proofName } from './liquids/proof.js';
import { BrewingWaterRequest, BrewingWaterResult, brewingWaterIons } from './water/brewing-water.js';
import { answering } from './shared/refusal.js';
import { VolumeResult, VolumeRequest, volume, volumeName } from './liquids/volume.js';

@ApiTags('Calculations')
@Access('calculations')
@Controller('v1/calculations')
export class ProductionCalculationsController {
  @Calculation({
    path: 'plan',
    summary: 'Plan a ferment from its fermentables, or backwards',
    description:
      'Expected gravities, strength and yield; with `wanted` in place of `volume` the masses to weigh out; with `measured` the effect ' +
      'of an original gravity that differs from the plan, and its correction.',
    body: PlanRequest,
    answer: PlanResult,
    examples: planExamples,
  })
  computePlan(@Body() body: PlanRequest): Promise<PlanResult> {
    return answering(body, () => plan(body), { rename: planName });
  }

  @Calculation({
    path: 'original-extract',
    summary: 'Find the effective original extract after recorded additions',
    description:
      'Mass-weighted mean over the contents of the vessel at each addition, with its budget. It is the original gravity for a mass balance.',
    body: OriginalExtractRequest,
    answer: OriginalExtractResult,
    examples: originalExtractExamples,
  })
  computeOriginalExtract(@Body() body: OriginalExtractRequest): Promise<OriginalExtractResult> {
    return answering(body, () => originalExtract(body));
  }

  @Calculation({
    path: 'mixture',
    summary: 'Find the mixture of known volumes',
    description:
      'Volume, strength and extract of one to fifty liquids, and the uncertainty of the strength from those of the components.',
    body: MixtureRequest,
    answer: MixtureResult,
    examples: mixtureExamples,
  })
  computeMixture(@Body() body: MixtureRequest): Promise<MixtureResult> {
    return answering(body, () => mixture(body), { rename: mixtureName });
  }

  @Calculation({
    path: 'addition',
    summary: 'Find the effect of an addition on strength, extract and volume',
    description:
      'A dose of flavouring with its own alcohol and sugar, dissolved solids, or one liquid that brings another to a strength: ' +
      'fortification, or dilution with a liquid that is not water.',
    body: AdditionRequest,
    answer: AdditionResult,
    examples: additionExamples,
  })
  computeAddition(@Body() body: AdditionRequest): Promise<AdditionResult> {
    return answering(body, () => addition(body), { rename: additionName });
  }

  @Calculation({
    path: 'conditioning',
    summary: 'Find the sugar that conditions a drink in its container',
    description:
      'Less the CO₂ that is still dissolved; with the increase of strength. Read the cautions in `warnings`: containers can burst.',
    body: ConditioningRequest,
    answer: ConditioningResult,
    examples: conditioningExamples,
  })
  computeConditioning(@Body() body: ConditioningRequest): Promise<ConditioningResult> {
    return answering(body, () => conditioning(body), { rename: conditioningName });
  }

  @Calculation({
    path: 'brewing-water',
    summary: 'Find the ions of brewing water from the salts in it',
    description:
      'Calcium, magnesium, sodium, sulfate, chloride and bicarbonate in mg/L, from masses of named salts and hydrates and the volume.',
    body: BrewingWaterRequest,
    answer: BrewingWaterResult,
    examples: brewingWaterExamples,
  })
  computeBrewingWater(@Body() body: BrewingWaterRequest): Promise<BrewingWaterResult> {
    return answering(body, () => brewingWaterIons(body));
  }

  @Calculation({
    path: 'volume',
    summary: 'Convert between volume, volume at 20 °C and mass',
    description:
      'For alcohol and water, a drink, or a wort to 100 °C. Give exactly one of volume, volumeAt20, mass and weighedMass.',
    body: VolumeRequest,
    answer: VolumeResult,
    examples: volumeExamples,
  })
  computeVolume(@Body() body: VolumeRequest): Promise<VolumeResult> {
    return answering(body, () => volume(body), { rename: volumeName });
  }

  @Calculation({
    path: 'proof',
    summary: 'Convert strength at 60 °F, US proof and proof gallons',
    description:
      'For laws that use 60 °F. Give exactly one of strength, strengthAt60F, massFraction, proof and hydrometerReading, and at ' +
      'most one of volume and weight.',
    body: ProofRequest,
    answer: ProofResult,
    examples: proofExamples,
  })
  computeProof(@Body() body: ProofRequest): Promise<ProofResult> {
    return answering(body, () => proof(body), { rename: proofName });
  }

  @Calculation({
    path: 'energy',
    summary: 'Find the energy in 100 mL of a drink',
    description: 'By the factors of Regulation (EU) 1169/2011 from alcohol and carbohydrate, unrounded.',
    body: EnergyRequest,
    answer: EnergyResult,
    examples: energyExamples,
  })
  computeEnergy(@Body() body: EnergyRequest): Promise<EnergyResult> {
    return answering(body, () => energy(body));
  }
}
