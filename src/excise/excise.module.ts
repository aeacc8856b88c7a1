import { Module } from '@nestjs/common';
import { ProductionModule } from '../production/production.module.js';
import { ClosingController } from './closing/closing.controller.js';
import { ClosingService } from './closing/closing.service.js';
import { MovementReader } from './movements/movement.reader.js';
import { MovementSources } from './movements/movement-source.js';
import { MovementsController } from './movements/movements.controller.js';
import { MovementsService } from './movements/movements.service.js';
import { ReportController } from './report/report.controller.js';
import { ReportReader } from './report/report.reader.js';
import { ReportService } from './report/report.service.js';
import { RuleSetReader } from './rules/rule-set.reader.js';
import { RuleSetsController } from './rules/rule-sets.controller.js';
import { RuleSetsService } from './rules/rule-sets.service.js';
import { StockNamesReader } from './report/stock-names.reader.js';
import { TurnoverReader } from './report/turnover.reader.js';

/** Goods out of stock, and the answer for every litre at the end of a period. */
@Module({
  imports: [ProductionModule],
  controllers: [MovementsController, ReportController, ClosingController, RuleSetsController],
  providers: [
    MovementReader,
    MovementSources,
    MovementsService,
    RuleSetReader,
    RuleSetsService,
    StockNamesReader,
    TurnoverReader,
    ReportReader,
    ReportService,
    ClosingService,
  ],
})
export class ExciseModule {}
