import type { Movement, NewMovement } from '../../src/excise/movements/movements.dto.js';
import type { ReworkAnswer } from '../../src/excise/movements/reworks/reworks.dto.js';
import type { Transit } from '../../src/excise/movements/transits/transits.dto.js';
import type { Lot } from '../../src/production/lots/lots.dto.js';
import type { NewPackaging, PackagingAnswer } from '../../src/production/operations/packaging/packaging.dto.js';
import type { RepackedAnswer } from '../../src/production/operations/repacking/repacking.dto.js';
import { micro, toNumber } from '../../src/demo/client/micro.js';
import type { Batch, Context, Goods, PremisesName, Vessel } from './context.js';
import { toMicrolitre } from './context.js';

type Kind = NewMovement['kind'];
type More = Partial<
  Pick<
    NewMovement,
    | 'corrects'
    | 'reasonCode'
    | 'investigatedBy'
    | 'personId'
    | 'evidence'
    | 'counterparty'
    | 'witness'
    | 'explains'
    | 'returnOf'
  >
>;

const litres = (value: number) => ({ value, unit: 'L' });

const LINE_OF: Partial<Record<Kind, string>> = {
  release: 'released',
  'dispatch-suspended': 'dispatched-suspended',
  export: 'exported',
  return: 'returned',
};
/** Who receives goods where a story names nobody. */
const RECIPIENTS: Partial<Record<Kind, string>> = {
  release: 'Wholesaler C (invented)',
  sample: 'Laboratory L (invented)',
};
const lineOf = (kind: Kind): string => LINE_OF[kind] ?? kind;

export interface Filling {
  readonly container: Goods['container'];
  readonly nominalL: number;
  readonly count: number;
  /** What was lost in a run that does not empty the vessel; without it all that is left is lost. */
  readonly lossL?: number;
  readonly more?: Partial<Pick<NewPackaging, 'meanFill' | 'fills' | 'lotMark' | 'conditioning'>>;
}

/** Share of what is drawn for a run up to which its loss needs no reason: the service's default. */
const USUAL_LOSS = 0.03;

/** What is done with packed goods, and with liquid that leaves; counted along in the tally. */
export class Store {
  constructor(private readonly ctx: Context) {}

  async pack(batch: Batch, at: string, { container, nominalL, count, lossL, more }: Filling): Promise<Goods> {
    const declared = Math.round(batch.strength * 10) / 10;
    const filledL = count * (more?.meanFill?.value ?? nominalL);
    const drawnL = lossL === undefined ? batch.litres : filledL + lossL;
    const reason = drawnL - filledL > USUAL_LOSS * drawnL ? { reasonCode: 'residue' } : {};
    const answer = await this.ctx.api.post<PackagingAnswer>(`/v1/lots/${batch.lotId}/packagings`, {
      vesselId: batch.vessel.id,
      container,
      count,
      nominalVolume: litres(nominalL),
      declaredStrength: { value: declared, unit: '%' },
      ...(container === 'keg' ? { dispense: 'draught-connector' } : {}),
      ...(lossL === undefined ? { emptied: true } : { loss: litres(lossL) }),
      ...reason,
      ...more,
      occurredAt: at,
    });
    const { premises } = batch.vessel;
    if (lossL === undefined) this.ctx.emptied(batch);
    else batch.litres = toMicrolitre(batch.litres - count * nominalL - lossL);
    this.ctx.did(premises, at);
    return this.#stored({
      packagedLotId: answer.packagedLotId,
      lotId: batch.lotId,
      compositionId: batch.compositionId,
      container,
      nominal: micro(nominalL),
      declared,
      premises,
      onHand: count,
      out: 0,
    });
  }

  #stored(goods: Goods): Goods {
    this.ctx.goods.push(goods);
    return goods;
  }

  /** Containers out of stock, or back into it. */
  async move(goods: Goods, kind: Kind, count: number, at: string, more: More = {}): Promise<Movement> {
    const answer = await this.#post(goods, kind, count, at, more);
    const sign = kind === 'return' ? 1 : -1;
    this.#counted(goods, kind, at, sign * count);
    if (kind === 'release') goods.lastRelease = { id: answer.id, at, count };
    return answer;
  }

  /** Entered with a wrong count, and put right within the hour by a reversal and the right entry. */
  async moveMistaken(goods: Goods, kind: Kind, wrong: number, right: number, at: string): Promise<Movement> {
    const { id } = await this.#post(goods, kind, wrong, at);
    const corrects = { operationId: id, reasonCode: 'wrong-count' as const, note: 'Counted again (invented).' };
    return this.move(goods, kind, right, at, { corrects });
  }

  /** A release of a closed month had another count: the line of earlier periods takes the reversal and the right entry, both of now. */
  async correctEarlier(goods: Goods, id: string, wrong: number, right: number, at: string): Promise<Movement> {
    const { packagedLotId, premises } = goods;
    const answer = await this.ctx.api.post<Movement>('/v1/movements', {
      kind: 'release',
      packagedLotId,
      count: right,
      counterparty: RECIPIENTS.release,
      premisesId: this.ctx.site.premises[premises],
      corrects: { operationId: id, reasonCode: 'wrong-count', note: 'The customer counted (invented).' },
    });
    goods.onHand += wrong - right;
    goods.out -= wrong - right;
    this.ctx.did(premises, at);
    return answer;
  }

  /** What a stock-take missed was broken before it: the count stands, its difference is explained. */
  async explain(goods: Goods, count: number, countId: string, at: string): Promise<Movement> {
    return this.#post(goods, 'accidental-loss', count, at, { reasonCode: 'breakage', explains: countId });
  }

  /** Measured as it came back, and poured off. */
  async partFull(goods: Goods, volumeL: number, at: string): Promise<void> {
    const { premisesId, month } = this.ctx.inPeriod(goods.premises, at);
    const body = { packagedLotId: goods.packagedLotId, premisesId, volume: litres(volumeL), occurredAt: at };
    await this.ctx.api.post('/v1/movements', { ...body, kind: 'return', counterparty: 'Bar B (invented)' });
    this.ctx.tally.add(premisesId, month, 'returned', micro(volumeL));
    const destroyed = { reasonCode: 'spoilage', evidence: { method: 'poured off' }, witness: 'Witness W (invented)' };
    await this.ctx.api.post('/v1/movements', { ...body, kind: 'destruction', ...destroyed });
    this.ctx.did(goods.premises, at);
  }

  async #post(goods: Goods, kind: Kind, count: number, at: string, more: More = {}): Promise<Movement> {
    const answer = await this.ctx.api.post<Movement>('/v1/movements', {
      kind,
      packagedLotId: goods.packagedLotId,
      count,
      premisesId: this.ctx.site.premises[goods.premises],
      occurredAt: at,
      ...(RECIPIENTS[kind] === undefined ? {} : { counterparty: RECIPIENTS[kind] }),
      ...more,
    });
    this.ctx.did(goods.premises, at);
    return answer;
  }

  #counted(goods: Goods, kind: Kind, at: string, change: number): void {
    goods.onHand += change;
    goods.out -= change;
    const premisesId = this.ctx.site.premises[goods.premises];
    this.ctx.tally.add(premisesId, this.ctx.monthOf(at), lineOf(kind), BigInt(change) * goods.nominal);
  }

  /** Liquid out of a vessel. */
  async draw(batch: Batch, kind: Kind, volumeL: number, at: string, more: object = {}): Promise<Movement> {
    const answer = await this.ctx.api.post<Movement>('/v1/movements', {
      kind,
      lotId: batch.lotId,
      vesselId: batch.vessel.id,
      volume: litres(volumeL),
      occurredAt: at,
      ...more,
    });
    batch.litres = toMicrolitre(batch.litres - volumeL);
    const { premises } = batch.vessel;
    this.ctx.tally.add(this.ctx.site.premises[premises], this.ctx.monthOf(at), lineOf(kind), -micro(volumeL));
    this.ctx.did(premises, at);
    return answer;
  }

  /** On the way to the other premises. */
  async send(goods: Goods, count: number, to: PremisesName, at: string): Promise<Transit> {
    const { premises } = this.ctx.site;
    const answer = await this.ctx.api.post<Transit>('/v1/transits', {
      packagedLotId: goods.packagedLotId,
      count,
      fromPremisesId: premises[goods.premises],
      toPremisesId: premises[to],
      document: this.ctx.paper('MOVE'),
      occurredAt: at,
    });
    goods.onHand -= count;
    this.ctx.did(goods.premises, at);
    return answer;
  }

  async arrive(goods: Goods, transit: Transit, arrived: number, to: PremisesName, at: string): Promise<Goods> {
    const { premises } = this.ctx.site;
    await this.ctx.api.post(`/v1/transits/${transit.id}/arrival`, {
      count: arrived,
      ...(arrived < (transit.count ?? 0) ? { reasonCode: 'breakage' } : {}),
      occurredAt: at,
    });
    const moved = BigInt(arrived) * goods.nominal;
    const month = this.ctx.monthOf(at);
    this.ctx.tally.add(premises[goods.premises], month, 'premises-moves', -moved);
    this.ctx.tally.add(premises[to], month, 'premises-moves', moved);
    this.ctx.did(to, at);
    return this.#stored({ ...goods, premises: to, onHand: arrived, out: 0, lastRelease: undefined });
  }

  async rework(goods: Goods, count: number, lot: Lot, vessel: Vessel, at: string): Promise<Batch> {
    const lossL = 0.2;
    const answer = await this.ctx.api.post<ReworkAnswer>('/v1/reworks', {
      packagedLotId: goods.packagedLotId,
      count,
      lotId: lot.id,
      vesselId: vessel.id,
      loss: litres(lossL),
      occurredAt: at,
    });
    goods.onHand -= count;
    this.ctx.did(goods.premises, at);
    return {
      lotId: lot.id,
      code: lot.code,
      category: lot.category,
      vessel,
      compositionId: answer.compositionId,
      litres: toMicrolitre(count * toNumber(goods.nominal) - lossL),
      strength: answer.strength.value,
      chargeId: answer.operationId,
      gaugeId: '',
      findingId: answer.findingId,
    };
  }

  /** Kegs opened and filled into bottles. */
  async repack(goods: Goods, kegs: number, bottleL: number, at: string): Promise<{ goods: Goods; id: string }> {
    const count = Math.floor((kegs * toNumber(goods.nominal)) / bottleL) - 2;
    const answer = await this.ctx.api.post<RepackedAnswer>(`/v1/packaged-lots/${goods.packagedLotId}/repackings`, {
      count: kegs,
      into: { container: 'bottle', nominalVolume: litres(bottleL), count },
      occurredAt: at,
    });
    return this.#became(goods, kegs, answer, at, { container: 'bottle', nominal: micro(bottleL) });
  }

  async relabel(goods: Goods, count: number, declared: number, at: string): Promise<{ goods: Goods; id: string }> {
    const answer = await this.ctx.api.post<RepackedAnswer>(`/v1/packaged-lots/${goods.packagedLotId}/relabellings`, {
      count,
      declaredStrength: { value: declared, unit: '%' },
      occurredAt: at,
    });
    return this.#became(goods, count, answer, at, { declared });
  }

  #became(from: Goods, taken: number, answer: RepackedAnswer, at: string, more: Partial<Goods>) {
    from.onHand -= taken;
    this.ctx.did(from.premises, at);
    const own = { packagedLotId: answer.packagedLotId, compositionId: answer.compositionId, lotId: answer.lotId };
    const goods = { ...from, ...more, ...own, onHand: answer.count, out: 0, lastRelease: undefined };
    return { goods: this.#stored(goods), id: answer.operationId };
  }
}
