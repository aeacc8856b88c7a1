import type { AdditionAnswer, NewAddition } from '../../src/production/operations/additions/additions.dto.js';
import type { BlendAnswer, NewBlend } from '../../src/production/operations/blends/blends.dto.js';
import type { SpiritChargeAnswer } from '../../src/production/operations/charges/charges.dto.js';
import type { DilutionAnswer } from '../../src/production/operations/dilutions/dilutions.dto.js';
import type { EventAnswer } from '../../src/production/shared/event.dto.js';
import type { Finding } from '../../src/production/measuring/findings/findings.dto.js';
import type { GaugeAnswer } from '../../src/production/operations/gauges/gauges.dto.js';
import type { Lot } from '../../src/production/lots/lots.dto.js';
import type { Reading, StruckReading } from '../../src/production/measuring/readings/readings.dto.js';
import type { DifferenceAnswer } from '../../src/production/corrections/differences/difference.dto.js';
import type { SplitAnswer } from '../../src/production/operations/splits/splits.dto.js';
import type { TransferAnswer } from '../../src/production/operations/transfers/transfers.dto.js';
import type { YeastCropAnswer } from '../../src/production/operations/yeast-crops/yeast-crops.dto.js';
import type { Batch, Context, PremisesName, Supply, Vessel } from './context.js';
import { toMicrolitre } from './context.js';

const litres = (value: number) => ({ value, unit: 'L' });
const celsius = (value: number) => ({ value, unit: 'Cel' });
const toMillilitre = (value: number): number => Math.round(value * 1000) / 1000;

type InstrumentName = 'first' | 'second';

/** What is done in the cellar, each a call of the service; the batch is kept as its answers say. */
export class Cellar {
  constructor(private readonly ctx: Context) {}

  lot(premises: PremisesName, recipe: keyof Context['site']['recipes']): Promise<Lot> {
    const { site, api } = this.ctx;
    const recipeVersion = { recipeId: site.recipes[recipe], number: 1 };
    return api.post<Lot>('/v1/lots', {
      premisesId: site.premises[premises],
      recipeVersion,
      personId: site.people[0],
    });
  }

  async gravity(lotId: string, at: string, value: number, with_: InstrumentName, struck = false): Promise<Reading> {
    const { site, api } = this.ctx;
    const body = {
      kind: 'gravity',
      gravity: { value, scale: 'sg-20-20' },
      sampleTemperature: celsius(20),
      instrumentId: site.instruments[with_],
      personId: this.ctx.person(),
      degassed: true,
      takenAt: at,
    };
    if (!struck) {
      return api.post<Reading>(`/v1/lots/${lotId}/readings`, body);
    }
    const gravity = { value: toMillilitre(value + 0.01), scale: 'sg-20-20' };
    const wrong = await api.post<Reading>(`/v1/lots/${lotId}/readings`, { ...body, gravity });
    const { replacement } = await api.post<StruckReading>(`/v1/readings/${wrong.id}/strike`, {
      reasonCode: 'misread',
      note: 'One line of the scale too high (invented).',
      replacement: body,
    });
    if (replacement === undefined) throw new Error('The strike brought no reading in its place.');
    this.ctx.mark('struck', { ...this.ctx.inPeriod('main', at), readingId: wrong.id, lotId });
    return replacement;
  }

  async charge(lot: Lot, vessel: Vessel, at: string, volumeL: number, used: { of: Supply; kg: number }[]) {
    const answer = await this.ctx.api.post<EventAnswer>(`/v1/lots/${lot.id}/charges`, {
      vesselId: vessel.id,
      volume: litres(volumeL),
      temperature: celsius(20),
      materials: used.map(({ of, kg }) => ({ materialLotId: of.id, mass: { value: kg, unit: 'kg' } })),
      occurredAt: at,
    });
    return this.#begun(lot, vessel, at, answer);
  }

  async spirit(lot: Lot, vessel: Vessel, at: string, spirit: Supply, volumeL: number, percent: number) {
    const answer = await this.ctx.api.post<SpiritChargeAnswer>(`/v1/lots/${lot.id}/spirit-charges`, {
      vesselId: vessel.id,
      spirits: [{ materialLotId: spirit.id, volume: litres(volumeL) }],
      targetStrength: { value: percent, unit: '%' },
      occurredAt: at,
    });
    spirit.left = toMicrolitre(spirit.left - volumeL);
    const batch = this.#begun(lot, vessel, at, answer);
    batch.strength = answer.strength.value;
    batch.findingId = answer.findingId;
    return batch;
  }

  #begun(lot: Lot, vessel: Vessel, at: string, answer: EventAnswer): Batch {
    const batch: Batch = {
      lotId: lot.id,
      code: lot.code,
      category: lot.category,
      vessel,
      compositionId: answer.compositionId,
      litres: answer.volume.value,
      strength: 0,
      chargeId: answer.operationId,
      gaugeId: '',
      findingId: '',
    };
    this.ctx.batches.add(batch);
    this.ctx.did(vessel.premises, at);
    return batch;
  }

  async finding(batch: Batch, at: string, more: object = {}): Promise<Finding> {
    // Gravities of the two years lie far apart, and the cellar knows when a ferment has finished.
    const standing = 'of-record';
    const body = { method: 'mass-balance', standing, compositionId: batch.compositionId, occurredAt: at, ...more };
    const finding = await this.ctx.api.post<Finding>(`/v1/lots/${batch.lotId}/findings`, body);
    batch.strength = finding.strength.value;
    batch.findingId = finding.id;
    this.ctx.did(batch.vessel.premises, at);
    return finding;
  }

  async gauge(batch: Batch, at: string, volumeL: number): Promise<GaugeAnswer> {
    const answer = await this.ctx.api.post<GaugeAnswer>(`/v1/lots/${batch.lotId}/gauges`, {
      vesselId: batch.vessel.id,
      volume: litres(volumeL),
      temperature: celsius(20),
      standardUncertainty: { value: 0.4, unit: 'L' },
      occurredAt: at,
    });
    batch.litres = answer.volume.value;
    batch.gaugeId = answer.operationId;
    this.ctx.did(batch.vessel.premises, at);
    return answer;
  }

  /** All of it into another vessel; the old one is free again. */
  async transfer(batch: Batch, to: Vessel, at: string, lostL: number): Promise<void> {
    await this.ctx.api.post<TransferAnswer>(`/v1/lots/${batch.lotId}/transfers`, {
      fromVesselId: batch.vessel.id,
      toVesselId: to.id,
      loss: litres(lostL),
      lossKind: 'yeast-and-trub',
      occurredAt: at,
    });
    this.ctx.released(batch.vessel);
    batch.vessel = to;
    batch.litres = toMicrolitre(batch.litres - lostL);
    this.ctx.did(to.premises, at);
  }

  async dilute(batch: Batch, at: string, percent: number): Promise<void> {
    const dilution = { vesselId: batch.vessel.id, targetStrength: { value: percent, unit: '%' } };
    const plan = await this.ctx.api.post<{ id: string }>(`/v1/lots/${batch.lotId}/plans`, {
      kind: 'dilution',
      dilution,
    });
    const answer = await this.ctx.api.post<DilutionAnswer>(`/v1/lots/${batch.lotId}/dilutions`, {
      ...dilution,
      planId: plan.id,
      occurredAt: at,
    });
    Object.assign(batch, { litres: answer.volume.value, strength: answer.strength.value });
    Object.assign(batch, { compositionId: answer.compositionId, findingId: answer.findingId });
    this.ctx.did(batch.vessel.premises, at);
  }

  async add(batch: Batch, at: string, what: Omit<NewAddition, 'vesselId' | 'occurredAt'>): Promise<void> {
    const answer = await this.ctx.api.post<AdditionAnswer>(`/v1/lots/${batch.lotId}/additions`, {
      vesselId: batch.vessel.id,
      ...what,
      occurredAt: at,
    });
    batch.compositionId = answer.compositionId;
    if (answer.booked !== 'negligible') {
      batch.litres = answer.volume.value;
      batch.strength = answer.strength.value;
    }
    this.ctx.did(batch.vessel.premises, at);
  }

  /** A part becomes a lot of its own in another vessel. */
  async split(batch: Batch, lot: Lot, to: Vessel, at: string, volumeL: number): Promise<Batch> {
    const answer = await this.ctx.api.post<SplitAnswer>(`/v1/lots/${batch.lotId}/splits`, {
      fromVesselId: batch.vessel.id,
      toVesselId: to.id,
      volume: litres(volumeL),
      newLotId: lot.id,
      occurredAt: at,
    });
    batch.litres = toMicrolitre(batch.litres - volumeL);
    const part = this.#begun(lot, to, at, answer);
    part.strength = batch.strength;
    part.findingId = answer.findingId ?? '';
    return part;
  }

  /** All or a part of several batches into an empty vessel; what is emptied is free again. */
  async blend(
    lot: Lot,
    to: Vessel,
    at: string,
    of: { batch: Batch; volumeL?: number }[],
    more: Partial<NewBlend> = {},
  ) {
    const answer = await this.ctx.api.post<BlendAnswer>('/v1/blends', {
      lotId: lot.id,
      vesselId: to.id,
      components: of.map(({ batch, volumeL }) => ({
        vesselId: batch.vessel.id,
        ...(volumeL === undefined ? {} : { volume: litres(volumeL) }),
      })),
      ...more,
      occurredAt: at,
    });
    for (const { batch, volumeL } of of) {
      if (volumeL !== undefined) batch.litres = toMicrolitre(batch.litres - volumeL);
      else if (batch.vessel.id === to.id) this.ctx.batches.delete(batch);
      else this.ctx.emptied(batch);
    }
    const blended = this.#begun(lot, to, at, answer);
    blended.strength = answer.strength.value;
    blended.findingId = answer.findingId ?? '';
    return blended;
  }

  /** What a charge or a gauge should have said: looked at first, then entered as the difference that it makes. */
  async differ(batch: Batch, operationId: string, volumeL: number, at: string): Promise<DifferenceAnswer> {
    const path = `/v1/operations/${operationId}/difference`;
    const body = { reasonCode: 'misread', correct: { volume: litres(toMillilitre(volumeL)) } };
    const preview = await this.ctx.api.compute<DifferenceAnswer>(path, { ...body, preview: true });
    const done = await this.ctx.api.post<DifferenceAnswer>(path, body);
    this.ctx.checks.same('what the preview said', JSON.stringify(done.inStock), JSON.stringify(preview.inStock));
    batch.litres = toMicrolitre(done.inStock.reduce((sum, { volume }) => sum + volume.value, batch.litres));
    this.ctx.did(batch.vessel.premises, at);
    return done;
  }

  async crop(batch: Batch, at: string, volumeL: number): Promise<string> {
    const answer = await this.ctx.api.post<YeastCropAnswer>(`/v1/lots/${batch.lotId}/yeast-crops`, {
      vesselId: batch.vessel.id,
      volume: litres(volumeL),
      materialId: this.ctx.site.materials.yeast,
      materialLotCode: `Y-${batch.code}`,
      occurredAt: at,
    });
    batch.litres = toMicrolitre(batch.litres - volumeL);
    this.ctx.did(batch.vessel.premises, at);
    return answer.materialLotId;
  }
}
