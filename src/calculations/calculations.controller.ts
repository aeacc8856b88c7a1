import { Body, Controller } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { Access } from '../platform/access.js';
import { AlcoholWaterResult, AlcoholWaterRequest, alcoholWater } from './liquids/alcohol-water.js';
import { BlendResult, BlendRequest, blend, withNearest } from './mixing/blend.js';
import { Calculation } from './shared/calculation.decorator.js';
import { CarbonationResult, CarbonationRequest, carbonation, carbonationName } from './carbonation/carbonation.js';
import { ConformityResult, ConformityRequest, conformity } from './measurement/conformity.js';
import { DilutionResult, DilutionRequest, dilution, dilutionName } from './mixing/dilution.js';
import { alcoholWaterExamples } from './examples/alcohol-water.js';
import { blendExamples } from './examples/blend.js';
import { carbonationExamples } from './examples/carbonation.js';
import { conformityExamples } from './examples/conformity.js';
import { dilutionExamples } from './examples/dilution.js';
import { extractExamples } from './examples/extract.js';
import { hydrometerCorrectionExamples } from './examples/hydrometer-correction.js';
import { strengthExamples } from './examples/strength.js';
import { ExtractResult, ExtractRequest, extract } from './liquids/extract.js';
import {
  HydrometerCorrectionResult,
  HydrometerCorrectionRequest,
  hydrometerCorrection,
} from './liquids/hydrometer-correction.js';
import { answering } from './shared/refusal.js';
import { StrengthResult, StrengthRequest } from './strength/strength.dto.js';
import { strength } from './strength/strength.js';

@ApiTags('Calculations')
@Access('calculations')
@Controller('v1/calculations')
export class CalculationsController {
  @Calculation({
    path: 'alcohol-water',
    summary: 'Convert between density, strength and mass fraction of alcohol and water',
    description:
      'For liquids of ethanol and water alone, −20 to 40 °C. Give exactly one of density, volumeFraction and massFraction.',
    body: AlcoholWaterRequest,
    answer: AlcoholWaterResult,
    examples: alcoholWaterExamples,
  })
  computeAlcoholWater(@Body() body: AlcoholWaterRequest): Promise<AlcoholWaterResult> {
    return answering(body, () => alcoholWater(body));
  }

  @Calculation({
    path: 'extract',
    summary: 'Convert a gravity between scales',
    description: 'Specific gravity, °P and density of a sugar solution into each other, −5 to 60 °P.',
    body: ExtractRequest,
    answer: ExtractResult,
    examples: extractExamples,
  })
  computeExtract(@Body() body: ExtractRequest): Promise<ExtractResult> {
    return answering(body, () => extract(body), { rename: (name) => `gravity.${name}` });
  }

  @Calculation({
    path: 'hydrometer-correction',
    summary: 'Bring a hydrometer reading to 20 °C',
    description:
      "Corrects for the glass, the scale's reference temperature and the liquid's own expansion, 0 to 40 °C.",
    body: HydrometerCorrectionRequest,
    answer: HydrometerCorrectionResult,
    examples: hydrometerCorrectionExamples,
  })
  computeHydrometerCorrection(@Body() body: HydrometerCorrectionRequest): Promise<HydrometerCorrectionResult> {
    return answering(body, () => hydrometerCorrection(body), { rename: (name) => name.replace(/^value$/, 'reading') });
  }

  @Calculation({
    path: 'strength',
    summary: 'Find a strength with its uncertainty',
    description: 'By one of five methods, each with its own inputs, a budget by origin, and Monte Carlo on request.',
    body: StrengthRequest,
    answer: StrengthResult,
    examples: strengthExamples,
  })
  computeStrength(@Body() body: StrengthRequest): Promise<StrengthResult> {
    return answering(body, () => strength(body));
  }

  @Calculation({
    path: 'dilution',
    summary: 'Find the water that brings a liquid to a strength',
    description: 'Mass and pure alcohol are conserved, volumes are not. Give exactly one of volume and finalVolume.',
    body: DilutionRequest,
    answer: DilutionResult,
    examples: dilutionExamples,
  })
  computeDilution(@Body() body: DilutionRequest): Promise<DilutionResult> {
    return answering(body, () => dilution(body), { rename: dilutionName });
  }

  @Calculation({
    path: 'blend',
    summary: 'Find which lots to draw for a volume and a strength',
    description:
      'Two to ten components, each within its minimum and its available volume. If no blend is possible, the problem gives the reason and the nearest possible blend.',
    body: BlendRequest,
    answer: BlendResult,
    examples: blendExamples,
  })
  computeBlend(@Body() body: BlendRequest): Promise<BlendResult> {
    return answering(body, () => blend(body), { enrich: withNearest });
  }

  @Calculation({
    path: 'carbonation',
    summary: 'Find the gauge pressure for a carbonation, or back',
    description:
      'At equilibrium, 0 to 40 °C. Give exactly one of volumesOfCO2 and gaugePressure. With `timed`, also when a pressure that was set high must come down. Read the cautions in `warnings`.',
    body: CarbonationRequest,
    answer: CarbonationResult,
    examples: carbonationExamples,
  })
  computeCarbonation(@Body() body: CarbonationRequest): Promise<CarbonationResult> {
    return answering(body, () => carbonation(body), { rename: carbonationName });
  }

  @Calculation({
    path: 'conformity',
    summary: 'Decide whether a measured value conforms to a declared one',
    description: 'Probability of conformity and a decision with guard band: conforms, does not, cannot tell.',
    body: ConformityRequest,
    answer: ConformityResult,
    examples: conformityExamples,
  })
  computeConformity(@Body() body: ConformityRequest): Promise<ConformityResult> {
    return answering(body, () => conformity(body));
  }
}
