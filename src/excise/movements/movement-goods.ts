import { Injectable } from '@nestjs/common';
import { LostGoods } from './lost-goods.js';
import { MovementSources } from './movement-source.js';
import { ReturnTargets } from './return-target.js';

/** Finds the goods of a movement: in stock, back from outside, or lost on the way. */
@Injectable()
export class MovementGoods {
  constructor(
    readonly sources: MovementSources,
    readonly returns: ReturnTargets,
    readonly lost: LostGoods,
  ) {}
}
