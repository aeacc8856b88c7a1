import { Global, Module } from '@nestjs/common';
import { AccountsController } from './accounts/accounts.controller.js';
import { AccountsReader } from './accounts/accounts.reader.js';
import { AccountsService } from './accounts/accounts.service.js';
import { MomentReader } from './books/moment.reader.js';
import { StockReader } from './books/stock.reader.js';
import { CorrectionsController } from './corrections/corrections.controller.js';
import { EventWriter } from './corrections/event-writer.js';
import { ExplanationReader } from './corrections/explanations.js';
import { PostedOperationReader } from './corrections/posted-operation.reader.js';
import { FlowReader } from './figures/flow.reader.js';
import { StockAtReader } from './figures/stock-at.reader.js';
import { GenealogyReader } from './genealogy/genealogy.reader.js';
import { OperationsController } from './operations/operations.controller.js';
import { OperationsReader } from './operations/operations.reader.js';
import { OperationsService } from './operations/operations.service.js';
import { PeriodReader } from './periods/period.reader.js';
import { PeriodsController } from './periods/periods.controller.js';
import { PeriodsService } from './periods/periods.service.js';

/** The books: accounts, operations, periods, and the readers through which other layers see them. */
@Global()
@Module({
  controllers: [PeriodsController, OperationsController, AccountsController, CorrectionsController],
  providers: [
    PostedOperationReader,
    EventWriter,
    GenealogyReader,
    StockReader,
    MomentReader,
    ExplanationReader,
    FlowReader,
    StockAtReader,
    PeriodReader,
    PeriodsService,
    OperationsReader,
    OperationsService,
    AccountsReader,
    AccountsService,
  ],
  exports: [
    PostedOperationReader,
    EventWriter,
    GenealogyReader,
    StockReader,
    MomentReader,
    ExplanationReader,
    FlowReader,
    StockAtReader,
    PeriodReader,
    OperationsReader,
  ],
})
export class LedgerModule {}
