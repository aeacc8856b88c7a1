import { ApiProperty } from '@nestjs/swagger';
import { Field, Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
} from '../../../platform/validation/fields.js';
import { idRule, textRule } from '../../../platform/validation/text-rules.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { massConcentrationRule } from '../../shared/mass-concentration.js';
import { EventBody } from '../../shared/event.dto.js';
import type { Quantity } from '../../../metrology/units.js';
import { AffectedLabel, FindingFlag } from './finding-remarks.dto.js';
import { Restatement } from '../restatement/restatement.dto.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import type { Method, Standing } from '../finding-records/finding-kinds.js';
import { METHODS, STANDINGS } from '../finding-records/finding-kinds.js';

/** Reason why a density or an alcoholometer reading gives the strength: the liquid has almost no extract. */
export class ExtractFreeBasis {
  @IsOneOf(['distilled', 'no-solids-added'])
  kind: 'distilled' | 'no-solids-added';

  @Optional()
  @Field(massConcentrationRule(5), {
    description: 'Dissolved solids; needed with no-solids-added.',
    example: { value: 0.2, unit: 'g/L' },
  })
  residue?: Quantity;

  @Optional()
  @Field(massConcentrationRule(5), {
    description: 'Standard uncertainty of the residue; needed with no-solids-added.',
    example: { value: 0.1, unit: 'g/L' },
  })
  residueStandardUncertainty?: Quantity;
}

export class Certificate {
  @IsQuantityOf('fraction', { min: 0, max: 100, maxDecimals: 6 }, { example: { value: 4.52, unit: '%' } })
  strength: Quantity;

  @IsQuantityOf(
    'fraction',
    { min: 0, max: 100, maxDecimals: 6 },
    { description: 'U as stated.', example: { value: 0.1, unit: '%' } },
  )
  expandedUncertainty: Quantity;

  @IsDecimalNumber({ min: 0, aboveMin: true, max: 20, maxDecimals: 6 }, { description: 'k as stated.', example: 2 })
  coverageFactor: number;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the certificate.' })
  number?: string;

  @Optional()
  @IsPlainText(
    { max: 120 },
    {
      description:
        'Who issued it. Certificates of one laboratory share half of their variance; without a laboratory they share none.',
    },
  )
  laboratory?: string;
}

export class NewFinding extends EventBody {
  @IsOneOf(METHODS, { example: 'mass-balance' })
  method: Method;

  @Optional()
  @IsOneOf(STANDINGS, {
    description:
      'of-record declares the composition finished and posts its alcohol as produced; provisional posts what has fermented so far; supporting posts nothing. Left out: of-record, or provisional while the gravities still fall or stand far above the plan.',
  })
  standing?: Standing;

  @Optional()
  @IsId({ description: 'Which composition of the lot; the one that is in stock if left out.' })
  compositionId?: string;

  @Optional()
  @IsId({
    description:
      'Gravity before fermentation; the first gravity of the lot if left out. Where two of them within two hours disagree, the one with the better instrument, and `flags` names both.',
  })
  originalReadingId?: string;

  @Optional()
  @IsId({ description: 'Gravity found now; the latest gravity of the lot up to `occurredAt` if left out.' })
  finalReadingId?: string;

  @Optional()
  @IsId({ description: 'For alcohol-density a reading of density, for alcoholometer one of strength.' })
  readingId?: string;

  @Optional()
  @IsListOf(
    idRule,
    { min: 2, max: 20 },
    { description: 'For joined: the findings of this composition to join; the latest of each method if left out.' },
  )
  findingIds?: string[];

  @Optional()
  @Nested(() => ExtractFreeBasis)
  basis?: ExtractFreeBasis;

  @Optional()
  @Nested(() => Certificate)
  certificate?: Certificate;

  @Optional()
  @IsInstant({ description: 'When the sample was taken; the time of the final reading if left out.' })
  sampledAt?: string;
}

export class BudgetLine {
  @IsPlainText({ max: 200 })
  name: string;

  @IsPlainText({ max: 300 }, { description: 'Where this error comes from; lines of one origin add linearly.' })
  origin: string;

  @IsDecimalNumber()
  value: number;

  @IsDecimalNumber()
  standardUncertainty: number;

  @IsPlainText({ max: 20 })
  distribution: string;

  @IsDecimalNumber()
  sensitivity: number;

  @IsDecimalNumber({}, { description: 'Sensitivity times standard uncertainty, % vol, signed.' })
  contribution: number;

  @IsDecimalNumber({}, { description: 'Share of the variance; the shares add to one.' })
  share: number;
}

export class FindingMethod {
  @IsPlainText({ max: 60 })
  id: string;

  @IsPlainText({ max: 20 })
  version: string;
}

export class FindingUncertainty {
  @IsQuantityOf('fraction', {}, { description: 'Standard uncertainty.' })
  standard: Quantity;

  @IsQuantityOf('fraction', {}, { description: 'Expanded uncertainty at 95 %.' })
  expanded: Quantity;

  @IsDecimalNumber({}, { description: 'k.' })
  coverageFactor: number;

  @ApiProperty({ type: Number, nullable: true, description: 'Effective degrees of freedom; null for infinite.' })
  degreesOfFreedom: number | null;
}

export class FindingBasis {
  @IsId()
  readingId: string;

  @IsPlainText({ max: 30 }, { example: 'original' })
  use: string;
}

export class Finding {
  @IsId()
  id: string;

  @IsId()
  lotId: string;

  @IsId()
  compositionId: string;

  @IsOneOf(STANDINGS)
  standing: Standing;

  @Optional()
  @IsId({ description: 'The finding that this one replaces.' })
  restates?: string;

  @Nested(() => FindingMethod)
  method: FindingMethod;

  @IsQuantityOf('fraction')
  strength: Quantity;

  @Nested(() => FindingUncertainty)
  uncertainty: FindingUncertainty;

  @Optional()
  @IsDecimalNumber({}, { description: '°P. In a dry ferment it may lie below zero, within its uncertainty.' })
  realExtract?: number;

  @ApiProperty({ type: [BudgetLine] })
  budget: BudgetLine[];

  @ApiProperty({ type: [FindingBasis], description: 'The readings that it rests on.' })
  readings: FindingBasis[];

  @ApiProperty({ type: Object, additionalProperties: true, description: 'Inputs of the method.' })
  inputs: Record<string, unknown>;

  @IsListOf(textRule({ max: 500 }), { max: 100 })
  warnings: string[];

  @IsInstant()
  sampledAt: string;

  @Optional()
  @IsId()
  operationId?: string;

  @Optional()
  @IsFlag({ description: 'Its operation was reversed, so the finding no longer counts.' })
  reversed?: boolean;

  @Optional()
  @Nested(() => Restatement, {
    description: 'In the answer to a finding that replaces an earlier one whose liquid has since been used.',
  })
  restatement?: Restatement;

  @Optional()
  @NestedList(
    () => FindingFlag,
    { max: 5 },
    { description: 'In the answer to the finding itself, where there is a remark.' },
  )
  flags?: FindingFlag[];

  @Optional()
  @NestedList(
    () => AffectedLabel,
    { max: 20_000 },
    {
      description:
        'In the answer to a finding that replaces an earlier one: packed goods, in stock or gone, whose label is doubtful now.',
    },
  )
  labels?: AffectedLabel[];
}

export class FindingPage extends ListOf(Finding) {}

export const toFinding = (row: Omit<FindingRow, 'recordedAt' | 'lotCode'>): Finding => ({
  id: row.id,
  lotId: row.lotId,
  compositionId: row.compositionId,
  standing: row.standing,
  ...(row.restates === null ? {} : { restates: row.restates }),
  method: { id: row.methodId, version: row.methodVersion },
  strength: { value: row.strengthPercent, unit: '%' },
  uncertainty: {
    standard: { value: row.standardUncertainty, unit: '%' },
    expanded: { value: row.expandedUncertainty, unit: '%' },
    coverageFactor: row.coverageFactor,
    degreesOfFreedom: row.degreesOfFreedom,
  },
  ...(row.realExtractPlato === null ? {} : { realExtract: row.realExtractPlato }),
  budget: row.budget.map((line) => ({
    name: line.name,
    origin: line.origin,
    value: line.value,
    standardUncertainty: line.standardUncertainty,
    distribution: line.distribution,
    sensitivity: line.sensitivity,
    contribution: line.contribution,
    share: line.share,
  })),
  readings: [...row.readings],
  inputs: row.inputs,
  warnings: [...row.warnings],
  sampledAt: row.sampledAt.toISOString(),
  ...(row.operationId === null ? {} : { operationId: row.operationId }),
  ...(row.reversed ? { reversed: true } : {}),
});
