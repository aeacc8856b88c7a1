import { Module } from '@nestjs/common';
import { ProductionModule } from '../production/production.module.js';
import { ClosingController } from './closing/closing.controller.js';
import { ClosingFactsReader } from './closing/closing-facts.reader.js';
import { ClosingService } from './closing/closing.service.js';
import { NilClosingService } from './closing/nil-closing.service.js';
import { ConsolidatedController } from './consolidated/consolidated.controller.js';
import { ConsolidatedReader } from './consolidated/consolidated.reader.js';
import { ConsolidatedService } from './consolidated/consolidated.service.js';
import { PeriodParts } from './consolidated/period-parts.js';
import { SpanPeriods } from './consolidated/span-periods.js';
import { EvidenceController } from './faces/evidence.controller.js';
import { EvidenceReader } from './faces/evidence.reader.js';
import { EvidenceService } from './faces/evidence.service.js';
import { LotRecordController } from './lot-record/lot-record.controller.js';
import { LotRecordReader } from './lot-record/lot-record.reader.js';
import { LotRecordService } from './lot-record/lot-record.service.js';
import { ChangesController } from './what-changed/changes.controller.js';
import { ChangesReader } from './what-changed/changes.reader.js';
import { ChangesService } from './what-changed/changes.service.js';
import { MovementReader } from './movements/movement.reader.js';
import { MovementSources } from './movements/movement-source.js';
import { MovementsController } from './movements/movements.controller.js';
import { MovementsQuery } from './movements/movements.query.js';
import { MovementsService } from './movements/movements.service.js';
import { Press } from './printing/press.js';
import { ReportDocuments } from './report/report-documents.js';
import { ReportController } from './report/report.controller.js';
import { ReportReader } from './report/report.reader.js';
import { ReportService } from './report/report.service.js';
import { GoneReader } from './returns/gone.reader.js';
import { ReworksController } from './returns/reworks.controller.js';
import { ReworksService } from './returns/reworks.service.js';
import { ReturnTargets } from './returns/return-target.js';
import { RuleSetReader } from './rules/rule-set.reader.js';
import { RuleSetsController } from './rules/rule-sets.controller.js';
import { RuleSetsService } from './rules/rule-sets.service.js';
import { SampleDaysController } from './samples/sample-days.controller.js';
import { SampleDaysService } from './samples/sample-days.service.js';
import { BookFigureReader } from './stock-takes/book-figures.reader.js';
import { BulkFigureReader } from './stock-takes/bulk-figure.reader.js';
import { MaterialFigureReader } from './stock-takes/material-figure.reader.js';
import { PackedFigureReader } from './stock-takes/packed-figure.reader.js';
import { StockTakeReader } from './stock-takes/stock-take.reader.js';
import { StockTakesController } from './stock-takes/stock-takes.controller.js';
import { StockTakesService } from './stock-takes/stock-takes.service.js';
import { SentReader } from './transit/sent.reader.js';
import { TransitReader } from './transit/transit.reader.js';
import { TransitsController } from './transit/transits.controller.js';
import { TransitsService } from './transit/transits.service.js';
import { ConsignmentReader } from './report/consignment.reader.js';
import { DutyInputReader } from './report/duty-input.reader.js';
import { EntryReader } from './report/entry.reader.js';
import { FlowInputReader } from './report/flow-input.reader.js';
import { OpeningReader } from './report/opening.reader.js';
import { StageReader } from './report/stage.reader.js';
import { StockInputReader } from './report/stock-input.reader.js';
import { StockNamesReader } from './report/stock-names.reader.js';
import { TurnoverReader } from './report/turnover.reader.js';

/** Goods out of stock, and the answer for every litre at the end of a period. */
@Module({
  imports: [ProductionModule],
  controllers: [
    MovementsController,
    ReportController,
    ConsolidatedController,
    ClosingController,
    EvidenceController,
    LotRecordController,
    ChangesController,
    RuleSetsController,
    StockTakesController,
    TransitsController,
    ReworksController,
    SampleDaysController,
  ],
  providers: [
    MovementReader,
    MovementSources,
    MovementsService,
    MovementsQuery,
    GoneReader,
    ReturnTargets,
    BookFigureReader,
    PackedFigureReader,
    BulkFigureReader,
    MaterialFigureReader,
    StockTakeReader,
    StockTakesService,
    TransitReader,
    SentReader,
    TransitsService,
    ReworksService,
    SampleDaysService,
    RuleSetReader,
    RuleSetsService,
    StockNamesReader,
    TurnoverReader,
    StageReader,
    ConsignmentReader,
    EntryReader,
    OpeningReader,
    FlowInputReader,
    StockInputReader,
    DutyInputReader,
    EvidenceReader,
    EvidenceService,
    LotRecordReader,
    LotRecordService,
    ChangesReader,
    ChangesService,
    ReportReader,
    ReportDocuments,
    ReportService,
    Press,
    ClosingFactsReader,
    ClosingService,
    NilClosingService,
    SpanPeriods,
    PeriodParts,
    ConsolidatedReader,
    ConsolidatedService,
  ],
})
export class ExciseModule {}
