import { STAGES } from '../../../ledger/figures/stages.js';
import type { RoundingMode } from '../../../metrology/rounding-rules.js';
import { ROUNDING_MODES } from '../../../metrology/rounding-rules.js';
import { NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsListOf,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { oneOfRule, textRule } from '../../../platform/validation/text-rules.js';
import { CONTAINERS } from '../../../production/operations/packaging/packaging.dto.js';
import type { ReportFigureName } from '../../reporting/documents/report-figures.dto.js';
import { DUTY_STATUSES, REPORT_FIGURES } from '../../reporting/documents/report-figures.dto.js';
import type { DutyPart, ReturnUnit, Sign } from '../rules/mapping.js';
import { DUTY_PARTS, RETURN_UNIT_NAMES, SIGNS } from '../rules/mapping.js';

const IsLineName = (description?: string): PropertyDecorator =>
  IsPattern(
    /^[A-Za-z0-9]+([ .-][A-Za-z0-9]+)*$/,
    'letters, digits, points and hyphens',
    { max: 20 },
    { description, example: '14' },
  );
export const IsNames = (description: string, max = 50): PropertyDecorator =>
  IsListOf(textRule({ max: 120 }), { min: 1, max, unique: true }, { description });
const CONTAINER_VOLUME = { min: 0, max: 100_000, maxDecimals: 6, units: ['L'] };
const PERCENT = { min: 0, max: 100, maxDecimals: 6 };

export class ReturnRounding {
  @IsOneOf(ROUNDING_MODES, { description: '`cut` towards zero, `up` away from it.', example: 'half-up' })
  mode: RoundingMode;

  @IsWholeNumber({ min: 0, max: 9 })
  places: number;
}

export class UnitRounding extends ReturnRounding {
  @IsOneOf(RETURN_UNIT_NAMES)
  unit: ReturnUnit;
}

class ContainerTerm {
  @Optional()
  @IsNames('Categories of the books; all if left out.')
  categories?: string[];

  @Optional()
  @IsListOf(oneOfRule(CONTAINERS), { min: 1, max: CONTAINERS.length, unique: true })
  containers?: string[];

  @Optional()
  @IsQuantityOf('volume', CONTAINER_VOLUME, { description: 'Nominal volume of one container from this on.' })
  fromVolume?: { value: number; unit: 'L' };

  @Optional()
  @IsQuantityOf('volume', CONTAINER_VOLUME, { description: 'Nominal volume of one container below this.' })
  belowVolume?: { value: number; unit: 'L' };

  @Optional()
  @IsOneOf(SIGNS, { description: '`plus` if left out. What goes out is negative in the report.' })
  sign?: Sign;

  @Optional()
  @IsFlag({ description: 'true: another term takes the same figures too, on purpose.' })
  repeated?: boolean;
}

export class ReturnFigureTerm extends ContainerTerm {
  @IsListOf(
    oneOfRule(REPORT_FIGURES),
    { min: 1, max: REPORT_FIGURES.length, unique: true },
    { description: 'Lines of the report, stock at both ends, and what passed between stages.', example: ['released'] },
  )
  figures: ReportFigureName[];

  @Optional()
  @IsListOf(oneOfRule(STAGES), { min: 1, max: STAGES.length, unique: true }, { description: 'All if left out.' })
  stages?: string[];

  @Optional()
  @IsOneOf(DUTY_STATUSES, { description: 'Both if left out.' })
  dutyStatus?: string;

  @Optional()
  @IsOneOf(['in', 'out'], { description: 'Only what added to stock, or only what took from it.' })
  direction?: 'in' | 'out';
}

export class ReturnDutyTerm extends ContainerTerm {
  @IsOneOf(DUTY_PARTS, {
    description:
      'Releases; goods returned, with the duty that was charged on them; what earlier periods declared too little (`under-declared`) or too much, as a negative amount; the chargeable deficiency.',
  })
  part: DutyPart;

  @Optional()
  @IsNames('Categories of the duty rules; all if left out.')
  dutyCategories?: string[];

  @Optional()
  @IsNames('Bands of the duty rules; all if left out.')
  bands?: string[];

  @Optional()
  @IsFlag({ description: 'true: only with the relief of the category taken off; false: only without.' })
  relieved?: boolean;

  @Optional()
  @IsFlag({ description: 'true: only what is packed for a dispense system; false: only the rest.' })
  forDispense?: boolean;

  @Optional()
  @IsQuantityOf('fraction', PERCENT, { description: 'Strength for duty from this on, % vol.' })
  fromStrength?: { value: number; unit: '%' };

  @Optional()
  @IsQuantityOf('fraction', PERCENT, { description: 'Strength for duty below this, % vol.' })
  belowStrength?: { value: number; unit: '%' };

  @Optional()
  @IsFlag({
    description:
      'true: the quantity by the basis of the duty rules, for example without the free part of the strength.',
  })
  byDutyBasis?: boolean;
}

export class ReturnLineTerm {
  @IsLineName('A line of this form.')
  line: string;

  @Optional()
  @IsLineName('Its column; the same column if left out.')
  column?: string;

  @Optional()
  @IsFlag({ description: 'true: the printed value; the exact one if left out.' })
  rounded?: boolean;

  @Optional()
  @IsDecimalNumber({ min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 }, { description: 'For example a rate.' })
  factor?: number;

  @Optional()
  @IsOneOf(SIGNS)
  sign?: Sign;
}

export class ReturnFormLine {
  @IsLineName('Number of the line on the form.')
  line: string;

  @IsPlainText({ max: 200 }, { example: 'Removed for consumption or sale' })
  label: string;

  @Optional()
  @IsNames('Columns in which the form has the line; all but sums if left out.', 20)
  columns?: string[];

  @Optional()
  @IsOneOf(RETURN_UNIT_NAMES, { description: 'That of the form if left out.' })
  unit?: ReturnUnit;

  @Optional()
  @NestedList(() => ReturnRounding, { max: 5 }, { description: 'That of its unit if left out.' })
  rounding?: ReturnRounding[];

  @Optional()
  @IsFlag({ description: 'true: a row for each degree Plato.' })
  byDegree?: boolean;

  @Optional()
  @NestedList(() => ReturnFigureTerm, { max: 50 }, { description: 'Figures of the books.' })
  figures?: ReturnFigureTerm[];

  @Optional()
  @NestedList(() => ReturnDutyTerm, { max: 50 }, { description: 'Figures of the duty.' })
  duty?: ReturnDutyTerm[];

  @Optional()
  @NestedList(() => ReturnLineTerm, { max: 100 }, { description: 'Other lines of the form.' })
  lines?: ReturnLineTerm[];

  @Optional()
  @IsPlainText({ max: 300 })
  note?: string;
}

export class ReturnFormColumn {
  @IsLineName('Code of the column on the form.')
  code: string;

  @IsPlainText({ max: 60 }, { example: 'Cellar' })
  label: string;

  @Optional()
  @IsOneOf(RETURN_UNIT_NAMES, { description: 'Unit of what stands in it, in place of that of the line.' })
  unit?: ReturnUnit;

  @Optional()
  @IsListOf(
    oneOfRule(STAGES),
    { min: 1, max: STAGES.length, unique: true },
    { description: 'Stages whose figures stand in it.' },
  )
  stages?: string[];

  @Optional()
  @IsFlag({ description: 'true: the sum of the other columns.' })
  sum?: boolean;
}

export class ReturnFormTie {
  @IsNames('Lines whose sum is compared.')
  left: string[];

  @IsNames('Lines that have to make the same.')
  right: string[];

  @Optional()
  @IsFlag({ description: 'true: in each column; in the sum of the columns if left out.' })
  eachColumn?: boolean;
}
