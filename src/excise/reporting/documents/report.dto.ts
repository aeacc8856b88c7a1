import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { REPORT_LINES } from '../../../ledger/figures/report-lines.js';
import { DutyBalance, InBalance } from './balances.dto.js';
import { Reconciliation, ReconciliationMeasures } from './reconciliation.dto.js';
import { Figures } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { Deficiency } from './deficiency.dto.js';
import { LossesOverPeriods } from './loss-sums.dto.js';
import { MoneySummary } from './money-summary.dto.js';
import { ReportDuty } from './duty.dto.js';
import { Judgement } from '../../movements/judgement.js';
import { StockDifference } from '../../movements/stock-takes/stock-takes.dto.js';
import { LateEntries, StageBalance, ReportTie } from './report-ties.dto.js';
import { ReportFigure } from './report-figures.dto.js';
import { LotInProcess, LotProduced } from './report-lots.dto.js';
import { ReceivedEntry } from './received.dto.js';
import { ReportStock } from './report-stock.dto.js';
import { ReportPremises, ReportProducer, ReportPeriod, TrailHead, Versions } from './report-head.dto.js';
import { HASH, OPERATIONS, ListedEntry } from './listed-entry.dto.js';

export class ReportOpening extends Figures {
  @IsOneOf(['frozen-report', 'first-period', 'open-period'], {
    description:
      'From the frozen report of the period before; the opening stock that was entered when the books began; from the stock accounts while the period before is open.',
  })
  source: 'frozen-report' | 'first-period' | 'open-period';

  @Optional()
  @IsId({ description: 'The period before.' })
  periodId?: string;

  @Optional()
  @IsPattern(HASH, 'a SHA-256 hash', { max: 64 })
  reportHash?: string;

  @Optional()
  @IsPlainText({ max: 200 }, { description: 'Of opening stock: where the operations behind it are.' })
  operations?: string;
}

export class ReportLine extends Figures {
  @IsOneOf(REPORT_LINES)
  line: string;

  @ApiPropertyOptional({
    type: Judgement,
    description: 'Of losses, stock differences and re-measurement, where the line is not empty.',
  })
  judgement?: Judgement;

  @IsPlainText({ max: 200 }, OPERATIONS)
  operations: string;
}

class GroupSums {
  @ApiProperty({ type: Figures, description: 'Sum of the lines of the group `in`.' })
  in: Figures;

  @ApiProperty({ type: Figures, description: 'Sum of the lines of the group `out`; negative.' })
  out: Figures;

  @ApiProperty({ type: Figures, description: 'Sum of the lines of the group `adjusted`.' })
  adjusted: Figures;
}

export class TurnoverWeek extends GroupSums {
  @IsDateOnly({ description: 'Monday, or the first day of the period.' })
  startsOn: string;
}

/** Sums of the lines by their groups, both balances together: opening, in, out and adjusted make closing. */
export class Turnover extends GroupSums {
  @ApiProperty({
    type: [TurnoverWeek],
    description:
      'By week in the local days of the premises, empty ones too; they add up to the whole. What reverses an operation counts in the week of that one.',
  })
  weeks: TurnoverWeek[];
}

export class ReportCategory {
  @IsPlainText({ max: 120 })
  category: string;

  @InBalance()
  dutyStatus: string;

  @ApiProperty({ type: Figures })
  opening: Figures;

  @ApiProperty({ type: [ReportLine], description: 'Lines that are not empty.' })
  lines: ReportLine[];

  @ApiProperty({
    type: ReconciliationMeasures,
    required: false,
    description:
      'Lines `produced` and `re-measurement` together, where there are both: the same whether a gauge or the finding of record was entered first.',
  })
  producedAndReMeasured?: ReconciliationMeasures;

  @ApiProperty({ type: Figures })
  closing: Figures;

  @IsFlag({ description: 'Opening and lines make closing, to the last decimal.' })
  balances: boolean;
}

/** The report of a period, the one document which JSON, CSV, ZIP and PDF are formats of. */
export class PeriodReport {
  @IsOneOf(['gaugebook-period-report'])
  format: 'gaugebook-period-report';

  @IsWholeNumber({ min: 1, max: 1 }, { description: 'Format of the document.' })
  formatVersion: 1;

  @IsOneOf(['provisional', 'closed'])
  status: 'provisional' | 'closed';

  @ApiProperty({ type: ReportProducer })
  producer: ReportProducer;

  @ApiProperty({ type: ReportPremises })
  premises: ReportPremises;

  @ApiProperty({ type: ReportPeriod })
  period: ReportPeriod;

  @ApiProperty({
    type: Object,
    additionalProperties: true,
    description: 'Unit, reference temperature, signs, coverage.',
  })
  basis: Record<string, unknown>;

  @ApiProperty({ type: ReportOpening })
  opening: ReportOpening;

  @ApiProperty({ type: [DutyBalance], description: 'Under suspension, and duty paid: each from opening to closing.' })
  balances: DutyBalance[];

  @ApiProperty({
    type: [ReportLine],
    description: 'Both balances together. Every line, empty ones too; as the effect on stock.',
  })
  lines: ReportLine[];

  @ApiProperty({ type: Figures })
  closing: Figures;

  @ApiProperty({ type: Turnover })
  turnover: Turnover;

  @ApiProperty({ type: [ReportCategory], description: 'Each category of each of the two balances.' })
  categories: ReportCategory[];

  @ApiProperty({ type: Reconciliation })
  reconciliation: Reconciliation;

  @ApiProperty({ type: [StageBalance], description: 'Each stage of stock from opening to closing.' })
  stages: StageBalance[];

  @ApiProperty({
    type: [ReportTie],
    description:
      'Work that moved stock from account to account, and consignments between own premises: both sides and the difference.',
  })
  ties: ReportTie[];

  @ApiProperty({
    type: [ReportFigure],
    description: 'The lines taken apart by category, stage, duty status and container: what a return is made of.',
  })
  figures: ReportFigure[];

  @ApiProperty({ type: ReportStock })
  stock: ReportStock;

  @ApiProperty({ type: ReportDuty })
  duty: ReportDuty;

  @ApiProperty({ type: Deficiency, description: 'Losses and shortages beyond what the producer’s rules allow.' })
  deficiency: Deficiency;

  @ApiProperty({ type: [MoneySummary], description: 'Indicated duty by currency, and what it is made of.' })
  money: MoneySummary[];

  @ApiProperty({
    type: [ReceivedEntry],
    description: 'Each receipt of a material with alcohol and of drink, with its supplier and document.',
  })
  received: ReceivedEntry[];

  @ApiProperty({ type: [ListedEntry], description: 'Each entry on a loss line.' })
  losses: ListedEntry[];

  @ApiProperty({ type: LossesOverPeriods, description: 'Whether losses of period after period are more than scatter.' })
  lossesOverPeriods: LossesOverPeriods;

  @IsWholeNumber(
    { min: 0, max: Number.MAX_SAFE_INTEGER },
    { description: 'Products that the stock-takes of the period counted; 0: no stock-take was made.' },
  )
  productsCounted: number;

  @ApiProperty({
    type: [StockDifference],
    description: 'Differences of stock-takes, each product by itself, less what has been explained since.',
  })
  stockDifferences: StockDifference[];

  @ApiProperty({ type: [ListedEntry], description: 'Each entry that puts a closed period right.' })
  corrections: ListedEntry[];

  @ApiProperty({ type: [LotProduced], description: 'What was declared finished, each with its finding.' })
  lotsProduced: LotProduced[];

  @ApiProperty({ type: [LotInProcess] })
  lotsInProcess: LotInProcess[];

  @ApiProperty({ type: LateEntries, description: 'What was entered long after the event.' })
  lateEntries: LateEntries;

  @ApiProperty({ type: TrailHead, description: 'Last entry of the audit trail before this report.' })
  trail: TrailHead;

  @ApiProperty({ type: Versions })
  versions: Versions;

  @ApiProperty({ type: [String], description: 'What the figures are not.' })
  statement: string[];
}
