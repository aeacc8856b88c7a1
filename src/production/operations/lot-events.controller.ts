import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { SpiritCharge, SpiritChargeAnswer, WashCharge, WashChargeAnswer } from './charges/charges.dto.js';
import { SpiritChargeService } from './charges/spirit-charge.service.js';
import { WashChargeService } from './charges/wash-charge.service.js';
import { DilutionAnswer, NewDilution } from './dilutions/dilutions.dto.js';
import { DilutionsService } from './dilutions/dilutions.service.js';
import { GaugeAnswer, NewGauge } from './gauges/gauges.dto.js';
import { GaugesService } from './gauges/gauges.service.js';
import { NewTransfer, TransferAnswer } from './transfers/transfers.dto.js';
import { TransfersService } from './transfers/transfers.service.js';

const CHANGES = ['not-found', 'time-ahead', 'later-posting-in-the-way', 'period-not-open', 'period-closed'] as const;

/** Routes for the events of a lot's liquid between charge and packing. */
@Controller('v1/lots/:id')
export class LotEventsController {
  constructor(
    private readonly washes: WashChargeService,
    private readonly spirits: SpiritChargeService,
    private readonly gauges: GaugesService,
    private readonly transfers: TransfersService,
    private readonly dilutions: DilutionsService,
  ) {}

  @Post('charges')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'chargeWash',
    summary: 'Collect wort or wash into a vessel',
    description:
      'Opens a composition with the litres at 20 °C and no alcohol yet. Hot liquid scalds: read it without touching it.',
    created: WashChargeAnswer,
    problems: [...CHANGES, 'vessel-in-use', 'over-capacity'],
  })
  wash(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: WashCharge,
  ): Promise<Answer<WashChargeAnswer>> {
    return this.washes.charge(ctx, id, body);
  }

  @Post('spirit-charges')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'chargeSpirit',
    summary: 'Make a lot from spirit and water',
    description:
      'Draws spirit from its material lots and adds water, given or computed for a strength. Mass and pure alcohol are conserved, volumes are not. The vapour of strong spirit ignites: local codes and licensed practice decide on its handling.',
    created: SpiritChargeAnswer,
    problems: [...CHANGES, 'vessel-in-use', 'over-capacity', 'insufficient-stock', 'not-computable'],
  })
  spirit(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: SpiritCharge,
  ): Promise<Answer<SpiritChargeAnswer>> {
    return this.spirits.charge(ctx, id, body);
  }

  @Post('gauges')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'gaugeVessel',
    summary: 'Gauge a vessel',
    description:
      'Enters the measured contents of the vessel and adjusts the books to them. A difference beyond the uncertainty of the gauge and the producer’s `usualGaugeDifference` needs a `reasonCode`. A later entry that is dated before the gauge names it in `explains`.',
    created: GaugeAnswer,
    problems: [...CHANGES, 'insufficient-stock', 'over-capacity', 'reason-needed'],
  })
  gauge(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewGauge,
  ): Promise<Answer<GaugeAnswer>> {
    return this.gauges.gauge(ctx, id, body);
  }

  @Post('transfers')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'transferLot',
    summary: 'Move liquid from vessel to vessel',
    description:
      'With the loss of the transfer. It may be dated back if the books have enough liquid at every later moment.',
    created: TransferAnswer,
    problems: [
      'not-found',
      'time-ahead',
      'period-not-open',
      'period-closed',
      'insufficient-stock',
      'vessel-in-use',
      'over-capacity',
      'assertion-in-the-way',
      'conflict',
    ],
  })
  transfer(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewTransfer,
  ): Promise<Answer<TransferAnswer>> {
    return this.transfers.transfer(ctx, id, body);
  }

  @Post('dilutions')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'diluteLot',
    summary: 'Dilute a vessel with water',
    description:
      'Give the water, or the strength to reach, from which the water is computed. The result is a new composition, whose strength of record is that of the computed mixture; the original gravity no longer applies to it.',
    created: DilutionAnswer,
    problems: [...CHANGES, 'over-capacity', 'insufficient-stock', 'finding-needed', 'not-computable'],
  })
  dilute(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewDilution,
  ): Promise<Answer<DilutionAnswer>> {
    return this.dilutions.dilute(ctx, id, body);
  }
}
