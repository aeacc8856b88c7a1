import { ApiProperty } from '@nestjs/swagger';
import { Figures } from '../../ledger/books/litres.dto.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import { IsFlag, IsId, IsOneOf, IsPattern, IsPlainText } from '../../platform/validation/fields.js';
import { Reconciliation } from '../reporting/documents/reconciliation.dto.js';
import { TrailHead } from '../reporting/documents/report-head.dto.js';
import { CLOSING_CODES } from './closing-check.js';

export class ClosingCheckItem {
  @IsOneOf(CLOSING_CODES)
  code: string;

  @IsFlag({ description: 'true: closing is refused because of it.' })
  blocks: boolean;

  @IsPlainText({ max: 500 })
  detail: string;

  @Optional()
  @IsPlainText({ max: 200 })
  link?: string;
}

export class ClosingCheck {
  @IsId()
  periodId: string;

  @IsFlag({ description: 'Nothing blocks the closing now.' })
  ready: boolean;

  @ApiProperty({ type: Reconciliation })
  reconciliation: Reconciliation;

  @NestedList(() => ClosingCheckItem, { max: 100_000 }, { description: 'Points that are open, unexplained or late.' })
  findings: ClosingCheckItem[];
}

export class Closing {
  @IsId()
  periodId: string;

  @IsId()
  reportId: string;

  @IsPattern(/^[0-9a-f]{64}$/, 'a SHA-256 hash', { max: 64 }, { description: 'SHA-256 of the frozen bytes.' })
  reportHash: string;

  @Nested(() => TrailHead, {
    description: 'Last entry of the audit trail before the closing. Keep a copy of it outside the service.',
  })
  head: TrailHead;

  @ApiProperty({ type: Figures, description: 'Closing stock, with which the next period opens.' })
  closing: Figures;

  @ApiProperty({ type: Reconciliation })
  reconciliation: Reconciliation;

  @IsPlainText({ max: 200 }, { description: 'Address of the frozen report.' })
  report: string;
}

/** The closings of periods in which nothing was entered, in their order. */
export class NilClosings {
  @NestedList(() => Closing, { min: 1, max: 1000 })
  closings: Closing[];
}
