import type { CorrectionRow } from '../../../ledger/corrections/posted-operation.reader.js';
import type { DutyStatus } from '../../../ledger/books/account.js';
import type { Head } from '../../../ledger/books/head.js';
import type { FlowLine, FlowRow, StatusFlowRow } from '../../../ledger/figures/flow.reader.js';
import type { Figure } from '../../../ledger/figures/figure.js';
import type { StockAtRow, StockSumRow } from '../../../ledger/figures/stock-at.reader.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import type { MovementRow } from '../../movements/movement.reader.js';
import type { NamedRuleSet } from '../../duty/rules/rule-set.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import type { ConsignmentRow } from './consignment.reader.js';
import type { CorrectedRow, DeclaredRow, EntryDaysRow, LateEntryRow } from './entry.reader.js';
import type { ReportDuty } from '../documents/duty.dto.js';
import type { EarlierPeriodDuty } from '../documents/earlier-periods.dto.js';
import type { NamedVersion, ReportPremises, ReportProducer } from '../documents/report-head.dto.js';
import type { DifferenceRow } from '../../movements/stock-takes/stock-take.reader.js';
import type { StageFigureRow } from './stage-figures.reader.js';
import type { StageFlowRow, WorkRow } from './stage.reader.js';
import type { ReceivedRow } from './received.reader.js';
import type { StockNames } from './stock-names.reader.js';
import type { EarlierLosses, UnaccountedRow } from './unaccounted.reader.js';
import type { TurnoverRow } from './turnover.reader.js';

/** Stock when the period began, and its source. */
export interface Opening {
  readonly source: 'frozen-report' | 'first-period' | 'open-period';
  readonly periodId?: string;
  readonly reportHash?: string;
  readonly total: Figure;
  readonly byStatus: ReadonlyMap<DutyStatus, Figure>;
  /** By the key of category and duty status. */
  readonly byCategory: ReadonlyMap<string, Figure>;
  /** By the key of stage and duty status. */
  readonly byStage: ReadonlyMap<string, Figure>;
}

/** A closed period whose duty may no longer be what was declared. */
export interface CorrectedPeriod {
  readonly period: PeriodRow;
  /** As its report declared it. */
  readonly frozen: Pick<ReportDuty, 'releases' | 'groups'>;
  /** Duty that later reports declared of it, in their order. */
  readonly since: readonly EarlierPeriodDuty[];
  /** Its own and those that correct it. */
  readonly movements: readonly MovementRow[];
  readonly names: StockNames;
  readonly findings: readonly FindingRow[];
  /** Entries since the last report that correct it and stand. */
  readonly entries: readonly CorrectionRow[];
  readonly causes: EarlierPeriodDuty['causes'];
}

/** Everything that a report is made of, read at one moment of the books. */
export interface ReportInput {
  readonly status: 'provisional' | 'closed';
  readonly producer: ReportProducer;
  readonly premises: ReportPremises;
  readonly period: PeriodRow;
  readonly opening: Opening;
  readonly flows: readonly FlowRow[];
  /** The same of each of the two balances. */
  readonly statusFlows: readonly StatusFlowRow[];
  /** Sums of the groups of lines. */
  readonly turnover: readonly TurnoverRow[];
  /** Effects of events on each stage. */
  readonly stageFlows: readonly StageFlowRow[];
  /** Postings by category, stage, duty status and container. */
  readonly stageFigures: readonly StageFigureRow[];
  /** Work that moved stock from account to account. */
  readonly works: readonly WorkRow[];
  /** Between this premises and others of the producer. */
  readonly consignments: readonly ConsignmentRow[];
  readonly premisesNames: ReadonlyMap<string, string>;
  /** Entries on the lines that are listed one by one. */
  readonly listed: readonly FlowLine[];
  /** Receipts of materials with alcohol and of drink. */
  readonly received: readonly ReceivedRow[];
  readonly movements: readonly MovementRow[];
  readonly correctedPeriods: readonly CorrectedPeriod[];
  /** Returns of the period. */
  readonly returns: readonly MovementRow[];
  /** Movements out that the returned goods came from. */
  readonly returnedReleases: readonly MovementRow[];
  /** In the order in which they were made, the plain one first. */
  readonly ruleSets: readonly NamedRuleSet[];
  /** By the balances. */
  readonly stock: readonly StockAtRow[];
  /** By the postings. */
  readonly stockSums: readonly StockSumRow[];
  /** Moment of the last count or gauge of each stock account. */
  readonly lastCounted: ReadonlyMap<string, Date>;
  /** Differences of the stock-takes of the period that stand. */
  readonly differences: readonly DifferenceRow[];
  readonly names: StockNames;
  /** Of the liquids in stock and of what was produced, lost or released, sampled before the period's end, oldest first. */
  readonly findings: readonly FindingRow[];
  /** Litres that the period cannot account for, by category. */
  readonly unaccounted: readonly UnaccountedRow[];
  /** The same by the frozen reports of the periods before. */
  readonly earlierLosses: readonly EarlierLosses[];
  /** Entered long after the event. */
  readonly late: readonly LateEntryRow[];
  /** Products that the stock-takes of the period counted. */
  readonly productsCounted: number;
  /** All entries by the days of event and entry. */
  readonly entryDays: readonly EntryDaysRow[];
  /** Operations that the corrections put right, as they were entered. */
  readonly asEntered: readonly CorrectedRow[];
  /** Closed periods that the corrections put right. */
  readonly declared: readonly DeclaredRow[];
  readonly methods: readonly NamedVersion[];
  /** The producer's own. */
  readonly settings: ProducerSettings;
  readonly head: Head;
}
