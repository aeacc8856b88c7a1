import { Body, Controller, Get, Headers, Patch, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented } from '../../platform/openapi/documented.js';
import { Current } from '../access/current.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { tagged } from '../settings/tagged.js';
import { CreatedProducerWithKey, NewProducer, ProducerChange, toProducer, Producer } from './producers.dto.js';
import { ProducersService } from './producers.service.js';

@Controller('v1')
export class ProducersController {
  constructor(private readonly producers: ProducersService) {}

  @Post('producers')
  @Access('operator')
  @Documented({
    tag: 'Producers',
    id: 'createProducer',
    summary: 'Take in a producer',
    description:
      'For the operator of the platform, with the operator key as bearer. Answers the first key of the producer, an owner’s, once. An Idempotency-Key is not kept here: there is no producer yet to keep it for.',
    created: CreatedProducerWithKey,
  })
  create(@Body() body: NewProducer): Promise<CreatedProducerWithKey> {
    return this.producers.found(body);
  }

  @Get('producer')
  @Access('read')
  @Documented({
    tag: 'Producers',
    id: 'getProducer',
    summary: 'The producer that the key belongs to',
    ok: Producer,
  })
  async get(@Current() ctx: RequestContext): Promise<Answer<Producer>> {
    return tagged(toProducer(await this.producers.row(ctx)));
  }

  @Patch('producer')
  @Access('settings:write')
  @Documented({
    tag: 'Producers',
    id: 'changeProducer',
    summary: 'Change name or settings of the producer',
    description:
      'Needs If-Match. The settings are the producer’s own; local regulations and licensed practice decide what they should be.',
    ok: Producer,
    ifMatch: true,
  })
  change(
    @Current() ctx: RequestContext,
    @Headers('if-match') ifMatch: string | undefined,
    @Body() body: ProducerChange,
  ): Promise<Answer<Producer>> {
    return this.producers.change(ctx, ifMatch, body);
  }
}
