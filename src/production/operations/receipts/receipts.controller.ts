import { Body, Controller, Get, Param, Post, Query } from '@nestjs/common';
import { Access } from '../../../platform/access.js';
import { Documented, IdParam } from '../../../platform/openapi/documented.js';
import type { Page } from '../../../platform/pagination.js';
import { Current } from '../../../tenancy/access/current.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { NewReceipt, Receipt, ReceiptPage, ReceiptQuery } from './receipts.dto.js';
import { ReceiptsService } from './receipts.service.js';

@Controller('v1/receipts')
export class ReceiptsController {
  constructor(private readonly receipts: ReceiptsService) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Movements',
    id: 'listReceipts',
    summary: 'List the drink that was received, in the order of the books',
    ok: ReceiptPage,
    problems: ['cursor-malformed', 'validation-failed'],
  })
  list(@Current() ctx: RequestContext, @Query() query: ReceiptQuery): Promise<Page<Receipt>> {
    return this.receipts.list(ctx, query);
  }

  @Post()
  @Access('movements:write')
  @Documented({
    tag: 'Movements',
    id: 'createReceipt',
    summary: 'Receive drink that others made',
    description:
      'Packed, or in bulk into an empty vessel: from another producer under suspension, imported, or bought with its duty paid. Create its lot first. The books take in what arrived; a difference from the document stands beside the document. The strength of the document, with its U and k, is the strength of record until a better one is found. Duty on an import is for the customs of the place.',
    created: Receipt,
    problems: [
      'not-found',
      'conflict',
      'unit-unknown',
      'vessel-in-use',
      'over-capacity',
      'container-elsewhere',
      'time-ahead',
      'period-closed',
      'period-not-open',
      'idempotency-key-malformed',
      'idempotency-key-reused',
    ],
  })
  receive(@Current() ctx: RequestContext, @Body() body: NewReceipt): Promise<Answer<Receipt>> {
    return this.receipts.receive(ctx, body);
  }

  @Get(':id')
  @Access('read')
  @Documented({ tag: 'Movements', id: 'getReceipt', summary: 'One receipt of drink', ok: Receipt })
  get(@Current() ctx: RequestContext, @Param() { id }: IdParam): Promise<Receipt> {
    return this.receipts.get(ctx, id);
  }
}
