import { Body, Controller, Param, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented, IdParam } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { AdditionAnswer, NewAddition } from './additions/additions.dto.js';
import { AdditionsService } from './additions/additions.service.js';
import { NewSplit, SplitAnswer } from './splits/splits.dto.js';
import { SplitsService } from './splits/splits.service.js';
import { NewYeastCrop, YeastCropAnswer } from './yeast-crops/yeast-crops.dto.js';
import { YeastCropsService } from './yeast-crops/yeast-crops.service.js';

const COMMON = [
  'not-found',
  'time-ahead',
  'insufficient-stock',
  'period-not-open',
  'period-closed',
  'conflict',
] as const;

/** Routes for additions to a lot's liquid, and for parts that are taken off. */
@Controller('v1/lots/:id')
export class LotChangesController {
  constructor(
    private readonly additions: AdditionsService,
    private readonly splits: SplitsService,
    private readonly crops: YeastCropsService,
  ) {}

  @Post('additions')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'addToLot',
    summary: 'Add something to a vessel',
    description:
      'Sugar, fruit, flavouring, acid, finings, nutrient, salts, stabiliser or chase water, with its material lot. A material that contains alcohol is drawn from its stock. A solid adds the volume that it takes up when dissolved. Up to 0.1 % of the mass of anything but alcohol, sugar and fruit is recorded without litres, be it solid or liquid, and leaves the composition as it is. Sugar in a fermenting wash counts in its original extract; after any other addition to a finished drink the computed mixture is its strength of record. The vapour of strong spirit ignites: local codes and licensed practice decide on its handling.',
    created: AdditionAnswer,
    problems: [...COMMON, 'later-posting-in-the-way', 'over-capacity', 'out-of-range', 'not-computable'],
  })
  add(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewAddition,
  ): Promise<Answer<AdditionAnswer>> {
    return this.additions.add(ctx, id, body);
  }

  @Post('splits')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'splitLot',
    summary: 'Split part of a vessel off to another lot',
    description:
      'Moves part of the liquid to an empty vessel, under another lot. The part takes over the finding of the lot that it came from; while it is in process, its original gravity is that of that lot.',
    created: SplitAnswer,
    problems: [...COMMON, 'assertion-in-the-way', 'vessel-in-use', 'over-capacity'],
  })
  split(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewSplit,
  ): Promise<Answer<SplitAnswer>> {
    return this.splits.split(ctx, id, body);
  }

  @Post('yeast-crops')
  @Access('production:write')
  @Documented({
    tag: 'Lots',
    id: 'cropYeast',
    summary: 'Crop yeast from a vessel',
    description:
      'Moves slurry from the vessel to a new material lot of yeast, with the alcohol of its liquid. CO₂ collects over fermenting vessels and suffocates without warning: ventilate before reaching in.',
    created: YeastCropAnswer,
    problems: [...COMMON, 'assertion-in-the-way', 'finding-needed'],
  })
  crop(
    @Current() ctx: RequestContext,
    @Param() { id }: IdParam,
    @Body() body: NewYeastCrop,
  ): Promise<Answer<YeastCropAnswer>> {
    return this.crops.crop(ctx, id, body);
  }
}
