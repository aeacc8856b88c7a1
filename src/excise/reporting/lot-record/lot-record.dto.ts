import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres } from '../../../ledger/books/litres.dto.js';
import { Nested, Optional } from '../../../platform/validation/field.js';
import {
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { Finding } from '../../../production/measuring/findings/findings.dto.js';
import { FillCheck } from '../../../production/operations/packaging/fills.js';
import { LabelCheck } from '../../../production/shared/labels/label-check.dto.js';
import { Reading } from '../../../production/measuring/readings/readings.dto.js';
import { ExpectedFigures, RecipePlan } from '../../../production/registers/recipes/plan.dto.js';
import { NamedPremises, ReportProducer, TrailHead } from '../documents/report-head.dto.js';

const COUNT = { min: 0, max: Number.MAX_SAFE_INTEGER };
const LINK = { max: 200 };

/** Choice of a lot's category, on which the class for duty rests. */
export class CategoryChoice {
  @IsInstant()
  at: string;

  @Optional()
  @IsId()
  personId?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Name of the person; left out where none was named or it was forgotten.' })
  person?: string;

  @Optional()
  @IsId()
  keyId?: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Name of the key.' })
  key?: string;
}

export class LotRecordLot {
  @IsId()
  id: string;

  @IsPlainText({ max: 40 })
  code: string;

  @IsPlainText({ max: 60 })
  category: string;

  @ApiProperty({ type: CategoryChoice, description: 'Who chose the category, and when.' })
  categoryChosen: CategoryChoice;

  @IsInstant()
  createdAt: string;

  @IsPlainText({ max: 60 }, { description: 'Of the premises.' })
  timeZone: string;
}

export class LotRecordPlan {
  @IsPlainText({ max: 120 })
  recipe: string;

  @IsWholeNumber({ min: 1, max: 2147483647 })
  version: number;

  @ApiProperty({ type: RecipePlan })
  plan: RecipePlan;

  @ApiProperty({ type: ExpectedFigures, description: 'Figures that the plan leads to.' })
  expected: ExpectedFigures;
}

/** One measure as planned and as it turned out. */
export class PlanComparison {
  @IsOneOf(['original-gravity', 'final-gravity', 'strength', 'volume', 'pure-alcohol'])
  measure: 'original-gravity' | 'final-gravity' | 'strength' | 'volume' | 'pure-alcohol';

  @IsPlainText({ max: 20 }, { description: 'Unit or gravity scale.' })
  unit: string;

  @ApiPropertyOptional({ type: 'number', format: 'double' })
  planned?: number;

  @ApiPropertyOptional({ type: 'number', format: 'double' })
  actual?: number;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Expanded uncertainty (95 %) of the actual value, of a strength.' })
  expandedUncertainty?: WireQuantity;
}

export class LotOperation {
  @IsId()
  id: string;

  @IsWholeNumber({ min: 1, max: Number.MAX_SAFE_INTEGER })
  sequence: number;

  @IsPlainText({ max: 40 })
  kind: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Of a movement: release, sample, return and so on.', example: 'release' })
  movementKind?: string;

  @IsInstant()
  occurredAt: string;

  @ApiProperty({ type: Litres, description: 'Net effect on the stock of this lot.' })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;

  @IsPlainText({ max: 2000 }, { description: 'Description made of the recorded facts.' })
  description: string;

  @Optional()
  @IsPlainText({ max: 60 })
  reasonCode?: string;

  @Optional()
  @IsPlainText({ max: 2000, multiline: true })
  note?: string;

  @Optional()
  @IsId()
  reverses?: string;

  @Optional()
  @IsId()
  reversedBy?: string;

  @Optional()
  @IsId()
  corrects?: string;

  @Optional()
  @IsId()
  earlierPeriodId?: string;

  @IsPlainText(LINK)
  operation: string;

  @IsPlainText(LINK)
  evidence: string;
}

export class LotPackaging {
  @IsId()
  packagedLotId: string;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsPlainText({ max: 60 })
  container: string;

  @IsQuantityOf('volume')
  nominalVolume: WireQuantity;

  @IsWholeNumber(COUNT)
  count: number;

  @IsQuantityOf('fraction')
  declaredStrength: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Strength of record now of what the containers hold, conditioning included.' },
  )
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty?: WireQuantity;

  @IsPlainText({ max: 10 })
  packagedOn: string;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'Mean fill, where it was measured.' })
  meanFill?: WireQuantity;

  @ApiPropertyOptional({ type: LabelCheck })
  labelCheck?: LabelCheck;

  @Optional()
  @Nested(() => FillCheck)
  fillCheck?: FillCheck;

  @ApiProperty({ type: [String], description: 'Flags of the run.' })
  flags: string[];

  @ApiProperty({ type: 'boolean', description: 'true: the run was reversed and does not count.' })
  reversed: boolean;

  @IsPlainText(LINK)
  operation: string;
}

export class LotMovement {
  @IsId()
  operationId: string;

  @IsPlainText({ max: 60 })
  kind: string;

  @IsInstant()
  occurredAt: string;

  @Optional()
  @IsPlainText({ max: 60 })
  lotMark?: string;

  @Optional()
  @IsWholeNumber(COUNT)
  count?: number;

  @IsQuantityOf('volume')
  volume: WireQuantity;

  @Optional()
  @IsPlainText({ max: 2000 }, { description: 'Recipient, as named in the movement.' })
  counterparty?: string;

  @ApiProperty({ type: 'boolean' })
  reversed: boolean;

  @IsPlainText(LINK)
  operation: string;
}

export class LotPlan {
  @IsId()
  id: string;

  @IsPlainText({ max: 20 })
  kind: string;

  @IsInstant()
  recordedAt: string;

  @ApiProperty({ type: Object, additionalProperties: true })
  computed: Record<string, unknown>;

  @ApiProperty({ type: [String], description: 'Operations that carried it out.' })
  operations: string[];

  @IsPlainText(LINK)
  plan: string;
}

/** Name of an instrument that a reading or a budget of the record rests on. */
export class LotInstrument {
  @IsId()
  id: string;

  @IsPlainText({ max: 80 })
  name: string;
}

/** Record of one lot from its plan to its last movement. */
export class LotRecord {
  @IsOneOf(['gaugebook-lot-record'])
  format: 'gaugebook-lot-record';

  @IsWholeNumber({ min: 1, max: 1 })
  formatVersion: 1;

  @ApiProperty({ type: ReportProducer })
  producer: ReportProducer;

  @ApiProperty({ type: NamedPremises })
  premises: NamedPremises;

  @ApiProperty({ type: LotRecordLot })
  lot: LotRecordLot;

  @ApiPropertyOptional({ type: LotRecordPlan, description: 'Of the recipe version that it is made from.' })
  plan?: LotRecordPlan;

  @ApiProperty({ type: [PlanComparison] })
  planComparison: PlanComparison[];

  @ApiProperty({ type: [LotPlan], description: 'Plans for the lot, with the operations that carried them out.' })
  plans: LotPlan[];

  @ApiProperty({
    type: [Reading],
    description: 'In the order of taking, struck ones too; `source` keeps hand and sensor apart.',
  })
  readings: Reading[];

  @ApiProperty({ type: [LotInstrument], description: 'By which it was measured, under their present names.' })
  instruments: LotInstrument[];

  @ApiProperty({ type: [LotOperation] })
  operations: LotOperation[];

  @ApiProperty({ type: [Finding], description: 'With their budgets.' })
  findings: Finding[];

  @ApiProperty({ type: [LotPackaging] })
  packagings: LotPackaging[];

  @ApiProperty({
    type: [LotMovement],
    description: 'Movements of the lot itself; `trace` follows it into other lots.',
  })
  movements: LotMovement[];

  @IsPlainText(LINK)
  trace: string;

  @ApiProperty({ type: TrailHead, description: 'Last entry of the audit trail when the record was made.' })
  trail: TrailHead;

  @ApiProperty({ type: [String] })
  statement: string[];
}
