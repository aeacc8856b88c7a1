import { NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPattern,
  IsPlainText,
} from '../../../platform/validation/fields.js';
import { textRule } from '../../../platform/validation/text-rules.js';

const ID = '[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}';

export class LotComparisonQuery {
  @IsPattern(
    new RegExp(`^${ID},${ID}$`),
    'two ids with a comma between',
    { min: 73, max: 73 },
    { description: 'Ids of the two lots with a comma between.' },
  )
  lots: string;
}

const COMPARED_FIGURES = ['strength', 'real-extract', 'apparent-attenuation', 'time-to-terminal'] as const;
export type ComparedFigure = (typeof COMPARED_FIGURES)[number];

const UNIT = { description: '% vol as %, °P, % and h.' };

/** A figure of one lot. */
export class LotFigure {
  @IsOneOf(COMPARED_FIGURES)
  kind: ComparedFigure;

  @IsDecimalNumber()
  value: number;

  @IsOneOf(['%', '°P', 'h'], UNIT)
  unit: '%' | '°P' | 'h';

  @IsDecimalNumber({}, { description: 'At 95 %.' })
  expandedUncertainty: number;
}

/** Second lot less first. */
export class LotDifference extends LotFigure {
  @IsFlag({ description: 'The difference is larger than its uncertainty.' })
  isLarger: boolean;

  @IsPlainText({ max: 200 }, { description: 'The difference in a sentence.', example: 'B is drier by 0.6 ± 0.2 °P.' })
  statement: string;
}

export class LotCurvePoint {
  @IsDecimalNumber({}, { description: 'Since the clock of the lot began.' })
  hours: number;

  @IsDecimalNumber({}, { description: 'Apparent extract as read, °P.' })
  extract: number;
}

export class ComparedLot {
  @IsId()
  lotId: string;

  @IsPlainText({ max: 60 })
  code: string;

  @IsInstant({ description: 'Zero of its clock.' })
  clockFrom: string;

  @IsOneOf(['pitching', 'charge', 'first-gravity'], { description: 'What the clock counts from.' })
  clockFromKind: 'pitching' | 'charge' | 'first-gravity';

  @NestedList(() => LotCurvePoint, { max: 10_000 })
  curve: LotCurvePoint[];

  @NestedList(() => LotFigure, { max: COMPARED_FIGURES.length })
  figures: LotFigure[];

  @Optional()
  @IsId({ description: 'The finding that strength and extract come from.' })
  findingId?: string;
}

export class LotComparison {
  @NestedList(() => ComparedLot, { min: 2, max: 2 })
  lots: ComparedLot[];

  @NestedList(() => LotDifference, { max: COMPARED_FIGURES.length }, { description: 'Of what is known of both lots.' })
  differences: LotDifference[];

  @IsListOf(textRule({ max: 500 }), { max: 20 })
  warnings: string[];
}
