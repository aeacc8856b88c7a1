import { Body, Controller } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { Access } from '../platform/access.js';
import { Calculation } from './shared/calculation.decorator.js';
import { ComparisonResult, ComparisonRequest, comparison, comparisonName } from './measurement/comparison.js';
import { comparisonExamples } from './examples/comparison.js';
import { fillCheckExamples } from './examples/fill-check.js';
import { modelBiasExamples } from './examples/model-bias.js';
import { uncertaintyExamples } from './examples/uncertainty.js';
import { FillCheckResult, FillCheckRequest, fillCheck, fillCheckName } from './measurement/fill-check.js';
import { ModelBiasResult, ModelBiasRequest, modelBias } from './measurement/model-bias.js';
import { answering } from './shared/refusal.js';
import { UncertaintyResult, UncertaintyRequest } from './measurement/uncertainty.dto.js';
import { uncertainty, uncertaintyName } from './measurement/uncertainty.js';

@ApiTags('Calculations')
@Access('calculations')
@Controller('v1/calculations')
export class MeasurementCalculationsController {
  @Calculation({
    path: 'uncertainty',
    summary: 'Combine the uncertainties of a linear model',
    description:
      'Law of propagation with correlations by origin or by matrix, effective degrees of freedom, and Monte Carlo on request.',
    body: UncertaintyRequest,
    answer: UncertaintyResult,
    examples: uncertaintyExamples,
  })
  computeUncertainty(@Body() body: UncertaintyRequest): Promise<UncertaintyResult> {
    return answering(body, () => uncertainty(body), { rename: uncertaintyName(body) });
  }

  @Calculation({
    path: 'comparison',
    summary: 'Compare two strengths of one composition',
    description:
      'Normalised error E_n: shows whether two methods agree within their uncertainty; common origins cancel.',
    body: ComparisonRequest,
    answer: ComparisonResult,
    examples: comparisonExamples,
  })
  computeComparison(@Body() body: ComparisonRequest): Promise<ComparisonResult> {
    return answering(body, () => comparison(body), { rename: comparisonName });
  }

  @Calculation({
    path: 'model-bias',
    summary: 'Find bias and uncertainty of the mass balance for a recipe',
    description: 'From five or more lots whose strength was found both by mass balance and by certificate.',
    body: ModelBiasRequest,
    answer: ModelBiasResult,
    examples: modelBiasExamples,
  })
  computeModelBias(@Body() body: ModelBiasRequest): Promise<ModelBiasResult> {
    return answering(body, () => modelBias(body));
  }

  @Calculation({
    path: 'fill-check',
    summary: "Check a run's fills against the nominal volume",
    description: 'Average rule, tolerable negative error and twice it, after 76/211/EEC and OIML R 87.',
    body: FillCheckRequest,
    answer: FillCheckResult,
    examples: fillCheckExamples,
  })
  computeFillCheck(@Body() body: FillCheckRequest): Promise<FillCheckResult> {
    return answering(body, () => fillCheck(body), { rename: fillCheckName });
  }
}
