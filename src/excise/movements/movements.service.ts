import { Injectable } from '@nestjs/common';
import { EventWriter } from '../../ledger/corrections/event-writer.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { requireSerialEach } from '../../production/operations/containers/container-events.js';
import { malformed } from '../../production/shared/references.js';
import { reasonOf } from '../../tenancy/reasons/reason-codes.js';
import { hasNeed } from '../../tenancy/reasons/reason.rules.js';
import type { Answer } from '../../tenancy/producer-database/batch.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { DutyStrengthReader } from './duty-strength.reader.js';
import type { Goods, MaterialDraw, Packed } from './goods.js';
import { goodsOf, isPacked, materialDrawOf } from './goods.js';
import type { MovementKind, MovementRule, Need } from './movement-kinds.js';
import { MATERIAL_KINDS, missingNeeds, MOVEMENT_RULES } from './movement-kinds.js';
import { MovementPeriods } from './movement-periods.js';
import { movementPlan, returnPlan } from './movement-plan.js';
import { lostPlan, requireLostAlone } from './lost-goods.js';
import { MovementGoods } from './movement-goods.js';
import { recipientDoubt } from './recipients.js';
import type { Movement, NewMovement } from './movements.dto.js';

/** Goods out of stock: from the account that they stand on to the nominal account of their kind; and back. */
@Injectable()
export class MovementsService {
  constructor(
    private readonly events: EventWriter,
    private readonly goods: MovementGoods,
    private readonly periods: MovementPeriods,
    private readonly dutyStrengths: DutyStrengthReader,
    private readonly settings: SettingsReader,
  ) {}

  move(ctx: RequestContext, given: NewMovement): Promise<Answer<Movement>> {
    if (given.lostFrom !== undefined) {
      return this.#lose(ctx, given, given.lostFrom);
    }
    const body = counted(given);
    const rule = MOVEMENT_RULES[body.kind];
    const goods = materialDrawOf(body) ?? goodsOf(body);
    requireNeeds(body, rule);
    requireWay(body.kind, rule, goods);
    if (body.kind === 'return' && !isMaterial(goods) && isPacked(goods)) {
      return this.#takeBack(ctx, body, goods);
    }
    return this.events.write(ctx, body, {
      read: async (tx, { occurredAt }) => {
        const asked = { occurredAt, explains: body.explains };
        const source = isMaterial(goods)
          ? await this.goods.sources.ofMaterial(tx, ctx.producerId, goods, asked)
          : await this.goods.sources.of(tx, ctx.producerId, goods, asked);
        const doubt = recipientDoubt(
          {
            ...body,
            counterparty: body.counterparty,
            litres: source.litres,
            isPacked: body.packagedLotId !== undefined,
          },
          await this.settings.of(tx, ctx.producerId),
        );
        const period = await this.periods.covering(tx, ctx.producerId, source.account.account.premisesId, occurredAt);
        const dutyBasis = rule.duty === 'point' ? await this.dutyStrengths.of(tx, ctx.producerId, source) : undefined;
        const corrected = await this.periods.corrected(tx, ctx.producerId, body.corrects?.operationId);
        return { source, period, corrected, dutyBasis, flags: doubt === undefined ? [] : [doubt] };
      },
      plan: (read, head) => movementPlan(ctx, body, head, read),
    });
  }

  /** Back into the packaged lot that the goods left. */
  #takeBack(ctx: RequestContext, body: NewMovement, goods: Packed): Promise<Answer<Movement>> {
    const { explains, returnOf } = body;
    return this.events.write(ctx, body, {
      read: async (tx, { occurredAt }) => {
        const { returnOfRequired } = await this.settings.of(tx, ctx.producerId);
        if (returnOfRequired && returnOf === undefined) {
          const detail =
            'Name in returnOf the movement by which the goods went out: the settings ask for it. `GET /v1/movements?packagedLotId=…` lists them.';
          throw malformed({ pointer: '/returnOf', rule: 'required', detail });
        }
        const target = await this.goods.returns.of(tx, ctx.producerId, goods, { occurredAt, explains, returnOf });
        await this.periods.covering(tx, ctx.producerId, target.account.premisesId, occurredAt);
        return target;
      },
      plan: (target, head) => returnPlan(ctx, body, head, target),
    });
  }

  /** Goods that were sent and did not arrive. */
  #lose(ctx: RequestContext, body: NewMovement, lostFrom: string): Promise<Answer<Movement>> {
    requireLostAlone(body);
    requireNeeds(body, MOVEMENT_RULES[body.kind]);
    requireSerialEach(body.serials, body.count ?? body.serials?.length ?? 0);
    return this.events.write(ctx, body, {
      read: async (tx, { occurredAt }) => {
        const lost = await this.goods.lost.of(tx, ctx.producerId, lostFrom, body, occurredAt);
        await this.periods.covering(tx, ctx.producerId, lost.place.premisesId, occurredAt);
        return lost;
      },
      plan: (read, head) => lostPlan(ctx, body, head, read),
    });
  }
}

/** Serials count the containers themselves. @throws ProblemException `validation-failed` for another number, or for bulk */
function counted(body: NewMovement): NewMovement {
  const { serials, packagedLotId, count, volume } = body;
  if (serials === undefined) {
    return body;
  }
  if (packagedLotId === undefined) {
    const detail = 'Serials are of packed goods: give packagedLotId.';
    throw malformed({ pointer: '/serials', rule: 'packed-only', detail });
  }
  requireSerialEach(serials, volume === undefined ? (count ?? serials.length) : 1);
  return volume === undefined && count === undefined ? { ...body, count: serials.length } : body;
}

const isMaterial = (goods: Goods | MaterialDraw): goods is MaterialDraw => 'materialLotId' in goods;

/**
 * @throws ProblemException `not-packed` for bulk or a material that has to be packed first; `validation-failed` for packed goods of a kind that is
 * bulk's, and for a material of one that is the cellar's
 */
function requireWay(kind: MovementKind, rule: MovementRule, goods: Goods | MaterialDraw): void {
  if (isMaterial(goods)) {
    requireMaterialWay(kind, rule);
    return;
  }
  if (rule.takes === 'packed' && !isPacked(goods)) {
    throw new ProblemException('not-packed', 'Only what is packed can go this way.', {
      errors: [{ pointer: '/vesselId', rule: 'not-packed', detail: 'Give packagedLotId and count.' }],
    });
  }
  if (rule.takes === 'bulk' && isPacked(goods)) {
    const detail = 'This happens to bulk: give lotId, vesselId and volume.';
    throw malformed({ pointer: '/packagedLotId', rule: 'bulk-only', detail });
  }
}

function requireMaterialWay(kind: MovementKind, { takes }: MovementRule): void {
  if (takes !== 'packed-or-bulk' && takes !== 'bulk' && kind !== 'release') {
    const detail = 'A material cannot go this way; only what is packed, or stands in a serving tank, can.';
    throw new ProblemException('not-packed', detail, {
      errors: [{ pointer: '/materialLotId', rule: 'not-packed', detail }],
    });
  }
  if (!MATERIAL_KINDS.includes(kind)) {
    const detail = `Of a material lot it is one of: ${MATERIAL_KINDS.join(', ')}.`;
    throw malformed({ pointer: '/kind', rule: 'not-of-materials', detail });
  }
}

function has(body: NewMovement, need: Need): boolean {
  switch (need) {
    case 'reasonCode':
    case 'counterparty':
      return body[need] !== undefined;
    case 'evidence/document':
      return body.evidence?.document !== undefined;
    default:
      return hasNeed(body, need);
  }
}

function requireNeeds(body: NewMovement, rule: MovementRule): void {
  const errors = missingNeeds(body.kind, (need) => has(body, need)).map((each) => ({ ...each, rule: 'required' }));
  if (body.dutyDate !== undefined && (rule.duty !== 'point' || body.dutyStatus === 'paid')) {
    errors.push({ pointer: '/dutyDate', rule: 'no-duty-point', detail: 'No duty falls due by this kind.' });
  }
  if (body.returnOf !== undefined && body.kind !== 'return') {
    errors.push({
      pointer: '/returnOf',
      rule: 'return-only',
      detail: 'Only a return is of goods that went out before.',
    });
  }
  const witness = body.kind === 'destruction' ? 'needed' : (reasonOf(body.reasonCode)?.witness ?? 'none');
  if (body.witness !== undefined && witness === 'none') {
    const detail = 'A witness is of a destruction, or of a loss whose reason takes one: GET /v1/reason-codes.';
    errors.push({ pointer: '/witness', rule: 'no-witness', detail });
  }
  if (body.declaredStrength !== undefined && (rule.takes !== 'packed-or-serving' || body.vesselId === undefined)) {
    const detail = 'Only of what a serving tank gave; what is packed has its declared strength.';
    errors.push({ pointer: '/declaredStrength', rule: 'serving-only', detail });
  }
  if (errors.length > 0) {
    throw malformed(...errors);
  }
}
