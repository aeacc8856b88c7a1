import type { Quantity } from '../../../metrology/units.js';
import { Optional } from '../../../platform/validation/field.js';
import { IsDecimalNumber, IsId, IsOneOf, IsPlainText, IsQuantityOf } from '../../../platform/validation/fields.js';
import { LABEL_DOUBTS } from '../packed/label-doubt.js';

/** A remark on a finding: a doubt, or a better order of work. */
export class FindingFlag {
  @IsOneOf(['fermenting', 'gauge-first', 'originals-disagree', 'entered-twice'], { example: 'fermenting' })
  code: string;

  @IsPlainText({ max: 500 })
  detail: string;

  @Optional()
  @IsPlainText({ max: 500 })
  suggestion?: string;
}

/** Packed goods whose label is doubtful by a new strength. */
export class AffectedLabel {
  @IsId()
  packagedLotId: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsQuantityOf('fraction')
  declaredStrength: Quantity;

  @IsQuantityOf('fraction', {}, { description: 'New strength of record of what the containers hold.' })
  strength: Quantity;

  @IsQuantityOf('fraction')
  expandedUncertainty: Quantity;

  @IsOneOf(LABEL_DOUBTS, {
    description: 'Does not hold: the strength lies outside the tolerance. In doubt: its uncertainty reaches beyond it.',
  })
  code: string;

  @IsPlainText({ max: 500 })
  detail: string;

  @IsDecimalNumber({}, { description: 'Containers in stock.' })
  inStock: number;

  @IsDecimalNumber({}, { description: 'Containers that went out.' })
  outgoing: number;
}
