import { Module } from '@nestjs/common';
import { ProductionModule } from '../production/production.module.js';
import { AttentionController } from './attention/attention.controller.js';
import { AttentionService } from './attention/attention.service.js';
import { CellarAttention } from './attention/cellar-attention.js';
import { ProductionAttention } from './attention/production-attention.js';
import { ProductionYearController } from './reporting/production-year/production-year.controller.js';
import { ProductionYearReader } from './reporting/production-year/production-year.reader.js';
import { ProductionYearService } from './reporting/production-year/production-year.service.js';
import { FilingAttention } from './attention/filing-attention.js';
import { LossAttention } from './attention/loss-attention.js';
import { SentAttention } from './attention/sent-attention.js';
import { OfficerAttention } from './attention/officer-attention.js';
import { RecordsAttention } from './attention/records-attention.js';
import { LostGoods } from './movements/lost-goods.js';
import { MovementGoods } from './movements/movement-goods.js';
import { UnnamedRecipientsReader } from './movements/unnamed-recipients.reader.js';
import { SentGoodsReader } from './movements/sent-goods.reader.js';
import { ProofsController } from './movements/proofs/proofs.controller.js';
import { ProofsService } from './movements/proofs/proofs.service.js';
import { ClosingController } from './closing/closing.controller.js';
import { ClosingDownController } from './closing/closing-down.controller.js';
import { ClosingDownService } from './closing/closing-down.service.js';
import { ClosingDoubtsReader } from './closing/closing-doubts.reader.js';
import { ClosingFactsReader } from './closing/closing-facts.reader.js';
import { ClosingService } from './closing/closing.service.js';
import { NilClosingService } from './closing/nil-closing.service.js';
import { FilingsController } from './filings/filings.controller.js';
import { FilingsReader } from './filings/filings.reader.js';
import { FilingsService } from './filings/filings.service.js';
import { ConsolidatedController } from './reporting/consolidated/consolidated.controller.js';
import { ConsolidatedReader } from './reporting/consolidated/consolidated.reader.js';
import { ConsolidatedService } from './reporting/consolidated/consolidated.service.js';
import { PeriodParts } from './reporting/consolidated/period-parts.js';
import { SpanPeriods } from './reporting/consolidated/span-periods.js';
import { EvidenceController } from './reporting/evidence/evidence.controller.js';
import { EvidenceReader } from './reporting/evidence/evidence.reader.js';
import { EvidenceService } from './reporting/evidence/evidence.service.js';
import { LotRecordController } from './reporting/lot-record/lot-record.controller.js';
import { LotMeasurementsReader } from './reporting/lot-record/lot-measurements.reader.js';
import { LotRecordReader } from './reporting/lot-record/lot-record.reader.js';
import { LotRecordService } from './reporting/lot-record/lot-record.service.js';
import { ChangesController } from './reporting/changes/changes.controller.js';
import { ChangesReader } from './reporting/changes/changes.reader.js';
import { ChangesService } from './reporting/changes/changes.service.js';
import { BulkSources } from './movements/bulk-source.js';
import { FinishedBulkReader } from './movements/transits/finished-bulk.reader.js';
import { MovementPeriods } from './movements/movement-periods.js';
import { MovementReader } from './movements/movement.reader.js';
import { MovementSources } from './movements/movement-source.js';
import { MovementsController } from './movements/movements.controller.js';
import { MovementsQuery } from './movements/movements.query.js';
import { DutyStrengthReader } from './movements/duty-strength.reader.js';
import { MovementsService } from './movements/movements.service.js';
import { PdfQueue } from './reporting/printing/pdf-queue.js';
import { ReportDocuments } from './reporting/period/report-documents.js';
import { ReportController } from './reporting/period/report.controller.js';
import { ReportReader } from './reporting/sources/report.reader.js';
import { ReportService } from './reporting/period/report.service.js';
import { OutstandingReader } from './movements/outstanding.reader.js';
import { ReturnMappingReader } from './returns/mappings/return-mapping.reader.js';
import {
  ReturnMappingsController,
  ReturnStartingPointsController,
} from './returns/mappings/return-mappings.controller.js';
import { ReturnMappingsService } from './returns/mappings/return-mappings.service.js';
import { ReturnsController } from './returns/pages/returns.controller.js';
import { ReturnsService } from './returns/pages/returns.service.js';
import { ReworksController } from './movements/reworks/reworks.controller.js';
import { ReworksService } from './movements/reworks/reworks.service.js';
import { ReturnTargets } from './movements/return-target.js';
import { RuleSetReader } from './duty/rule-sets/rule-set.reader.js';
import { RuleSetsController } from './duty/rule-sets/rule-sets.controller.js';
import { RuleSetsService } from './duty/rule-sets/rule-sets.service.js';
import { SampleDaysController } from './movements/sample-days/sample-days.controller.js';
import { SampleDaysService } from './movements/sample-days/sample-days.service.js';
import { BookFigureReader } from './movements/stock-takes/book-figures.reader.js';
import { BulkFigureReader } from './movements/stock-takes/bulk-figure.reader.js';
import { MaterialFigureReader } from './movements/stock-takes/material-figure.reader.js';
import { PackedFigureReader } from './movements/stock-takes/packed-figure.reader.js';
import { StockTakeReader } from './movements/stock-takes/stock-take.reader.js';
import { StockTakesController } from './movements/stock-takes/stock-takes.controller.js';
import { StockTakesService } from './movements/stock-takes/stock-takes.service.js';
import { SentReader } from './movements/transits/sent.reader.js';
import { TransitReader } from './movements/transits/transit.reader.js';
import { TransitsController } from './movements/transits/transits.controller.js';
import { TransitsService } from './movements/transits/transits.service.js';
import { ConsignmentReader } from './reporting/sources/consignment.reader.js';
import { DutyInputReader } from './reporting/sources/duty-input.reader.js';
import { EntryReader } from './reporting/sources/entry.reader.js';
import { ReceivedReader } from './reporting/sources/received.reader.js';
import { FlowInputReader } from './reporting/sources/flow-input.reader.js';
import { OpeningReader } from './reporting/sources/opening.reader.js';
import { StageFiguresReader } from './reporting/sources/stage-figures.reader.js';
import { StageReader } from './reporting/sources/stage.reader.js';
import { CorrectedPeriodReader } from './reporting/sources/corrected-period.reader.js';
import { CorrectedPeriodsReader } from './reporting/sources/corrected-periods.reader.js';
import { StockInputReader } from './reporting/sources/stock-input.reader.js';
import { StockNamesReader } from './reporting/sources/stock-names.reader.js';
import { EarlierInputReader } from './reporting/sources/earlier-input.reader.js';
import { UnaccountedReader } from './reporting/sources/unaccounted.reader.js';
import { TurnoverReader } from './reporting/sources/turnover.reader.js';

/** Goods out of stock, and the answer for every litre at the end of a period. */
@Module({
  imports: [ProductionModule],
  controllers: [
    AttentionController,
    ProofsController,
    FilingsController,
    ProductionYearController,
    MovementsController,
    ReportController,
    ConsolidatedController,
    ClosingController,
    ClosingDownController,
    EvidenceController,
    LotRecordController,
    ChangesController,
    RuleSetsController,
    ReturnStartingPointsController,
    ReturnMappingsController,
    ReturnsController,
    StockTakesController,
    TransitsController,
    ReworksController,
    SampleDaysController,
  ],
  providers: [
    AttentionService,
    CellarAttention,
    RecordsAttention,
    OfficerAttention,
    LossAttention,
    SentAttention,
    FilingAttention,
    ProductionAttention,
    ProductionYearReader,
    ProductionYearService,
    FilingsReader,
    FilingsService,
    ProofsService,
    LostGoods,
    MovementGoods,
    SentGoodsReader,
    UnnamedRecipientsReader,
    MovementReader,
    MovementPeriods,
    BulkSources,
    MovementSources,
    DutyStrengthReader,
    MovementsService,
    MovementsQuery,
    OutstandingReader,
    ReturnTargets,
    BookFigureReader,
    PackedFigureReader,
    BulkFigureReader,
    MaterialFigureReader,
    StockTakeReader,
    StockTakesService,
    TransitReader,
    FinishedBulkReader,
    SentReader,
    TransitsService,
    ReworksService,
    SampleDaysService,
    RuleSetReader,
    RuleSetsService,
    ReturnMappingReader,
    ReturnMappingsService,
    ReturnsService,
    StockNamesReader,
    TurnoverReader,
    UnaccountedReader,
    EarlierInputReader,
    StageReader,
    StageFiguresReader,
    ConsignmentReader,
    EntryReader,
    OpeningReader,
    FlowInputReader,
    ReceivedReader,
    StockInputReader,
    CorrectedPeriodReader,
    CorrectedPeriodsReader,
    DutyInputReader,
    EvidenceReader,
    EvidenceService,
    LotMeasurementsReader,
    LotRecordReader,
    LotRecordService,
    ChangesReader,
    ChangesService,
    ReportReader,
    ReportDocuments,
    ReportService,
    PdfQueue,
    ClosingFactsReader,
    ClosingDoubtsReader,
    ClosingService,
    ClosingDownService,
    NilClosingService,
    SpanPeriods,
    PeriodParts,
    ConsolidatedReader,
    ConsolidatedService,
  ],
})
export class ExciseModule {}
