import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Judgement } from '../../movements/judgement.js';
import { Figures } from '../../../ledger/books/litres.dto.js';
import { BALANCE_LINES, LINE_GROUPS } from '../../../ledger/figures/report-lines.js';
import type { BalanceLineName, LineGroup } from '../../../ledger/figures/report-lines.js';
import { IsOneOf, IsPlainText } from '../../../platform/validation/fields.js';
import { Reconciliation } from './reconciliation.dto.js';

const DUTY_STATUSES = ['suspended', 'paid'] as const;

/** Property of a row: in which of the two balances it stands. */
export const InBalance = () =>
  IsOneOf(DUTY_STATUSES, { description: 'In which of the two balances it stands: under suspension, or duty paid.' });

export class BalanceLine extends Figures {
  @IsOneOf(BALANCE_LINES, {
    description:
      'A line of the report. `duty-status-moves`: what went from one balance into the other, as material of one into goods of the other.',
  })
  line: BalanceLineName;

  @IsOneOf(LINE_GROUPS, { description: 'Sum of the balance in which it counts, whatever its sign.' })
  group: LineGroup;

  @ApiPropertyOptional({ type: Judgement, description: 'Of losses, stock differences and re-measurement.' })
  judgement?: Judgement;

  @IsPlainText({ max: 200 }, { description: 'Where the operations behind the figure are.' })
  operations: string;
}

/** One of the two balances, from opening to closing: opening, in, out and adjusted make closing. */
export class DutyBalance {
  @InBalance()
  dutyStatus: string;

  @ApiProperty({ type: Figures })
  opening: Figures;

  @ApiProperty({ type: Figures, description: 'Sum of the lines of the group `in`.' })
  in: Figures;

  @ApiProperty({ type: Figures, description: 'Sum of the lines of the group `out`; negative.' })
  out: Figures;

  @ApiProperty({
    type: Figures,
    description: 'Sum of the lines of the group `adjusted`: moves within the books, re-measurement, earlier periods.',
  })
  adjusted: Figures;

  @ApiProperty({ type: Figures })
  closing: Figures;

  @ApiProperty({ type: [BalanceLine], description: 'Lines that are not empty.' })
  lines: BalanceLine[];

  @ApiProperty({ type: Reconciliation })
  reconciliation: Reconciliation;
}
