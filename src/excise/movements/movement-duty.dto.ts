import { ApiProperty } from '@nestjs/swagger';
import { Litres } from '../../ledger/books/litres.dto.js';
import { IsDateOnly, IsId, IsOneOf, IsPlainText, IsQuantityOf } from '../../platform/validation/fields.js';
import type { WireQuantity } from '../../production/shared/event.dto.js';

/** A version of the producer's duty rules. */
export class DutyRuleSetName {
  @IsPlainText({ max: 60 })
  id: string;

  @IsPlainText({ max: 20 })
  version: string;
}

/** Strength and alcohol for duty by the rule set in force when the goods were moved. The report of the period makes them again, and counts. */
export class MovementDuty {
  @IsDateOnly()
  dutyDate: string;

  @IsQuantityOf('fraction', {}, { description: 'On the label or the papers.' })
  declaredStrength: WireQuantity;

  @IsOneOf(['declared', 'measured'], { description: 'Which strength the rule set takes.' })
  strengthFrom: 'declared' | 'measured';

  @IsQuantityOf('fraction', {}, { description: 'What the rule set makes of it, its steps taken.' })
  strengthForDuty: WireQuantity;

  @ApiProperty({ type: DutyRuleSetName, description: 'The rule set in force on the duty date.' })
  ruleSet: DutyRuleSetName;

  @ApiProperty({ type: Litres, description: 'Strength for duty times litres, exact, not rounded.' })
  litresOfPureAlcohol: Litres;
}

class ReturnedMovement {
  @IsId()
  movementId: string;

  @ApiProperty({ type: Litres })
  litres: Litres;
}

/** Movements out that returned goods came from. Duty that was charged on them then stands in the report as duty on goods returned. */
export class ReturnedFrom {
  @IsOneOf(['named', 'oldest-first'], { description: 'By `returnOf`, or by the order of the movements.' })
  matchedBy: 'named' | 'oldest-first';

  @ApiProperty({ type: [ReturnedMovement] })
  movements: ReturnedMovement[];
}

/** A release by which the duty fell due that was paid on goods which came back. */
export class DutyPaidBy {
  @IsId({ description: 'The release.' })
  movementId: string;

  @IsDateOnly()
  dutyDate: string;

  @IsId({ description: 'The return by which the goods came back.' })
  returnId: string;
}
