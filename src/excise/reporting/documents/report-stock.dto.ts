import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { InBalance } from './balances.dto.js';
import { Figures } from '../../../ledger/books/litres.dto.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';

const OPERATIONS = { description: 'Where the operations behind the figure are.' };

export class ReportStage extends Figures {
  @IsOneOf(STAGES)
  stage: string;

  @InBalance()
  dutyStatus: string;
}

export class StockOfProductionState extends Figures {
  @IsOneOf(['material', 'in-process', 'finished'], {
    description: 'Materials with alcohol; liquid without a finding of record; finished liquid and what is packed.',
  })
  productionState: string;

  @InBalance()
  dutyStatus: string;
}

export class StockOfOwner extends Figures {
  @Optional()
  @IsPlainText({ max: 120 }, { description: 'For whom it is held; left out for what the producer owns.' })
  owner?: string;
}

export class StockItem extends Figures {
  @IsId()
  accountId: string;

  @IsPlainText({ max: 1600 })
  account: string;

  @IsPlainText({ max: 60 })
  kind: string;

  @IsPlainText({ max: 120 })
  category: string;

  @Optional()
  @IsOneOf(STAGES)
  stage?: string;

  @InBalance()
  dutyStatus: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'For whom it is held; left out for what the producer owns.' })
  owner?: string;

  @IsPlainText({ max: 200 }, { description: 'Lot code or lot mark, with the vessel or the container.' })
  description: string;

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsId()
  compositionId?: string;

  @Optional()
  @IsId()
  vesselId?: string;

  @Optional()
  @IsId()
  packagedLotId?: string;

  @Optional()
  @IsId()
  materialLotId?: string;

  @ApiPropertyOptional({ type: 'number', format: 'double', description: 'Containers: litres by nominal volume.' })
  count?: number;

  @Optional()
  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER }, { description: 'Full containers.' })
  full?: number;

  @Optional()
  @IsQuantityOf('volume', {}, { description: 'What one more container holds, where it is part full.' })
  partFull?: WireQuantity;

  @Optional()
  @IsInstant({ description: 'When it was last counted, or its vessel gauged; left out if never.' })
  lastCountedAt?: string;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Strength that the books imply, to six places.' })
  bookStrength?: WireQuantity;

  @IsPlainText({ max: 200 }, OPERATIONS)
  operations: string;
}

export class ReportStock {
  @ApiProperty({ type: [ReportStage] })
  byStage: ReportStage[];

  @ApiProperty({ type: [StockOfProductionState] })
  byProductionState: StockOfProductionState[];

  @ApiPropertyOptional({
    type: [StockOfOwner],
    description: 'By owner, the producer first; absent where all of it is the producer’s own.',
  })
  byOwner?: StockOfOwner[];

  @ApiProperty({ type: [StockItem], description: 'Every stock account that holds anything at the end.' })
  items: StockItem[];
}
