import { ApiProperty, ApiPropertyOptional, OmitType, PickType } from '@nestjs/swagger';
import { REPORT_LINES } from '../../../ledger/figures/report-lines.js';
import { Figures } from '../../../ledger/books/litres.dto.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { ReportPremises, ReportProducer, TrailHead } from '../documents/report-head.dto.js';
import { BalanceLine, DutyBalance, InBalance } from '../documents/balances.dto.js';
import { MoneySummary } from '../documents/money-summary.dto.js';
import { Reconciliation } from '../documents/reconciliation.dto.js';
import { Turnover } from '../documents/report.dto.js';
import { ReportStage } from '../documents/report-stock.dto.js';
import type { ReportFormat } from '../render/report-format.js';
import { REPORT_FORMATS } from '../render/report-format.js';
import { TieAmount, ReportTie } from '../documents/report-ties.dto.js';
import { ConsolidatedDeficiency, ConsolidatedDuty } from './consolidated-duty.dto.js';

export class ConsolidatedQuery {
  @IsDateOnly({ description: 'First day, in the local time of each premises.', example: '2026-01-01' })
  startsOn: string;

  @IsDateOnly({ description: 'The day after the last one.', example: '2026-04-01' })
  endsBefore: string;

  @Optional()
  @IsOneOf(REPORT_FORMATS, { description: 'Format of the answer; if it is absent, the Accept header decides.' })
  format?: ReportFormat;
}

export class ConsolidatedPeriod {
  @IsId()
  id: string;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @IsOneOf(['open', 'closed'])
  state: 'open' | 'closed';

  @Optional()
  @IsPattern(/^[0-9a-f]{64}$/, 'a SHA-256 hash', { max: 64 }, { description: 'Of the frozen report.' })
  reportHash?: string;

  @Optional()
  @IsInstant()
  closedAt?: string;

  @IsPlainText({ max: 200 }, { description: 'Where its report is.' })
  report: string;
}

/** One of the premises with what it adds to the sums. */
export class ConsolidatedPremises extends PickType(ReportPremises, ['id', 'name', 'address', 'approvals'] as const) {
  @ApiPropertyOptional({ type: 'string', description: 'Left out where it has no period in the span.' })
  timeZone?: string;

  @Optional()
  @IsInstant()
  startsAt?: string;

  @Optional()
  @IsInstant()
  endsAt?: string;

  @IsFlag({ description: 'Its periods cover the whole span.' })
  coversSpan: boolean;

  @ApiProperty({ type: [ConsolidatedPeriod] })
  periods: ConsolidatedPeriod[];

  @ApiProperty({ type: Figures })
  opening: Figures;

  @ApiProperty({ type: Figures })
  closing: Figures;
}

export class PremisesFigures extends Figures {
  @IsId()
  premisesId: string;
}

export class ConsolidatedLine extends Figures {
  @IsOneOf(REPORT_LINES)
  line: string;

  @ApiProperty({ type: [PremisesFigures], description: 'What each of the premises had on it, where it had anything.' })
  byPremises: PremisesFigures[];
}

export class ConsolidatedCategoryLine extends Figures {
  @IsOneOf(REPORT_LINES)
  line: string;
}

export class ConsolidatedCategory {
  @IsPlainText({ max: 120 })
  category: string;

  @InBalance()
  dutyStatus: string;

  @ApiProperty({ type: Figures })
  opening: Figures;

  @ApiProperty({ type: [ConsolidatedCategoryLine], description: 'Lines that are not empty.' })
  lines: ConsolidatedCategoryLine[];

  @ApiProperty({ type: Figures })
  closing: Figures;

  @IsFlag({ description: 'Opening and lines make closing, to the last decimal.' })
  balances: boolean;
}

export class ConsolidatedBalanceLine extends OmitType(BalanceLine, ['operations']) {}

/** One of the two balances over all premises. */
export class ConsolidatedBalance extends OmitType(DutyBalance, ['lines']) {
  @ApiProperty({ type: [ConsolidatedBalanceLine], description: 'Lines that are not empty.' })
  lines: ConsolidatedBalanceLine[];
}

/** Consignments from one of the premises to another. */
export class BetweenPremises {
  @IsId()
  fromPremisesId: string;

  @IsId()
  toPremisesId: string;

  @ApiProperty({ type: TieAmount })
  inTransitAtStart: TieAmount;

  @ApiProperty({ type: TieAmount })
  sent: TieAmount;

  @ApiProperty({ type: TieAmount, description: 'Found stronger or weaker while it was on the way.' })
  restated: TieAmount;

  @ApiProperty({ type: TieAmount })
  received: TieAmount;

  @ApiProperty({ type: TieAmount })
  lost: TieAmount;

  @ApiProperty({ type: TieAmount })
  inTransitAtEnd: TieAmount;
}

/** The line of what moved between own premises, shown and netted out. */
export class MovesBetweenPremises {
  @ApiProperty({ type: [BetweenPremises] })
  consignments: BetweenPremises[];

  @ApiProperty({
    type: ReportTie,
    description: 'On the way at the start and sent, against received, lost and on the way at the end.',
  })
  tie: ReportTie;

  @IsFlag({
    description:
      'The span begins and ends at the same instants at all premises. Where it does not, goods that arrive between two edges stand in one side only.',
  })
  sameBoundaries: boolean;
}

/** A figure of the books beside the sum of it in the reports of the periods. */
export class ReportsTie {
  @IsPlainText({ max: 60 }, { description: '`opening`, a line, or `closing`.' })
  line: string;

  @ApiProperty({ type: TieAmount })
  reports: TieAmount;

  @ApiProperty({ type: TieAmount })
  books: TieAmount;

  @ApiProperty({ type: TieAmount, description: 'Books less reports, exact.' })
  difference: TieAmount;
}

export class ReportsTies {
  @ApiProperty({ type: [ReportsTie] })
  figures: ReportsTie[];

  @IsFlag({ description: 'Every figure is the sum of those of the reports, to the last decimal.' })
  balances: boolean;
}

class ConsolidatedVersions {
  @IsPlainText({ max: 20 })
  program: string;
}

/** Sums of all premises over a span of their periods. */
export class ConsolidatedReport {
  @IsOneOf(['gaugebook-consolidated-report'])
  format: 'gaugebook-consolidated-report';

  @IsWholeNumber({ min: 1, max: 1 })
  formatVersion: 1;

  @IsOneOf(['provisional', 'closed'], { description: '`closed`: every period of it is.' })
  status: 'provisional' | 'closed';

  @ApiProperty({ type: ReportProducer })
  producer: ReportProducer;

  @IsDateOnly()
  startsOn: string;

  @IsDateOnly()
  endsBefore: string;

  @IsDateOnly({ description: 'The latest day on which the records of one of its periods are kept at the least.' })
  keepUntil: string;

  @ApiProperty({
    type: Object,
    additionalProperties: true,
    description: 'Unit, reference temperature, signs, coverage.',
  })
  basis: Record<string, unknown>;

  @ApiProperty({ type: [ConsolidatedPremises] })
  premises: ConsolidatedPremises[];

  @IsWholeNumber({ min: 0, max: Number.MAX_SAFE_INTEGER })
  openPeriods: number;

  @ApiProperty({ type: Figures })
  opening: Figures;

  @ApiProperty({
    type: [ConsolidatedBalance],
    description: 'Under suspension, and duty paid, over all premises: each from opening to closing.',
  })
  balances: ConsolidatedBalance[];

  @ApiProperty({ type: [ConsolidatedLine], description: 'Every kind, empty ones too; as the effect on stock.' })
  lines: ConsolidatedLine[];

  @ApiProperty({ type: Figures })
  closing: Figures;

  @ApiProperty({
    type: Turnover,
    description: 'Sums of the lines over all premises; what moved between them is in `adjusted`, where it nets out.',
  })
  turnover: Turnover;

  @ApiProperty({ type: Reconciliation })
  reconciliation: Reconciliation;

  @ApiProperty({ type: [ConsolidatedCategory] })
  categories: ConsolidatedCategory[];

  @ApiProperty({ type: [ReportStage], description: 'Stock at the end.' })
  stages: ReportStage[];

  @ApiProperty({ type: MovesBetweenPremises })
  betweenPremises: MovesBetweenPremises;

  @ApiProperty({ type: ReportsTies, description: 'The books over the span against the reports of its periods.' })
  reports: ReportsTies;

  @ApiProperty({ type: ConsolidatedDuty })
  duty: ConsolidatedDuty;

  @ApiProperty({ type: ConsolidatedDeficiency })
  deficiency: ConsolidatedDeficiency;

  @ApiProperty({ type: [MoneySummary], description: 'The money of the periods added up, by currency.' })
  money: MoneySummary[];

  @ApiProperty({
    type: TrailHead,
    description:
      'Last entry of the audit trail; where every period is closed, the one before the closing that came last.',
  })
  trail: TrailHead;

  @ApiProperty({ type: ConsolidatedVersions })
  versions: ConsolidatedVersions;

  @ApiProperty({ type: [String], description: 'What the figures are not.' })
  statement: string[];
}
