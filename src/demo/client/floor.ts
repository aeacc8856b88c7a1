import type { EventAnswer } from '../../production/shared/event.dto.js';
import type { Finding } from '../../production/measuring/findings/findings.dto.js';
import type { GaugeAnswer } from '../../production/operations/gauges/gauges.dto.js';
import type { Lot } from '../../production/lots/lots.dto.js';
import type { NewPackaging, PackagingAnswer } from '../../production/operations/packaging/packaging.dto.js';
import type { TransferAnswer } from '../../production/operations/transfers/transfers.dto.js';
import type { Movement, NewMovement } from '../../excise/movements/movements.dto.js';
import { alcoholIn, micro, toNumber } from './micro.js';
import { pureAlcohol } from './notebook.js';
import type { Sugar } from './rules-of-thumb.js';
import { strengthByShortcut, wortLitresAt20 } from './rules-of-thumb.js';
import type { World } from './world.js';

type VesselName = keyof World['site']['vessels'];

const quantity = (value: number, unit: string) => ({ value, unit });
const found = ({ strength, uncertainty }: Finding): string =>
  `${strength.value.toFixed(2)} ± ${uncertainty.expanded.value.toFixed(2)} % vol`;

/** Work that the demo repeats: each method sends one request and checks its answer. */
export class Floor {
  constructor(private readonly world: World) {}

  async lot(recipe: keyof World['site']['recipes']): Promise<Lot> {
    const { premisesId, recipes, personId } = this.world.site;
    return this.world.api.post<Lot>('/v1/lots', {
      personId,
      premisesId,
      recipeVersion: { recipeId: recipes[recipe], number: 1 },
    });
  }

  async gravity(lotId: string, at: string, value: number, sampleC: number): Promise<string> {
    const { personId, hydrometerId } = this.world.site;
    await this.world.api.post(`/v1/lots/${lotId}/readings`, {
      kind: 'gravity',
      gravity: { value, scale: 'sg-20-20' },
      sampleTemperature: quantity(sampleC, 'Cel'),
      instrumentId: hydrometerId,
      personId,
      degassed: true,
      takenAt: at,
    });
    return `${value.toFixed(4)} at ${sampleC} °C`;
  }

  async charge(lot: Lot, vessel: VesselName, at: string, litres: number, temperatureC: number, used: object[]) {
    const vesselId = this.world.site.vessels[vessel];
    const answer = await this.world.api.post<EventAnswer>(`/v1/lots/${lot.id}/charges`, {
      vesselId,
      volume: quantity(litres, 'L'),
      temperature: quantity(temperatureC, 'Cel'),
      materials: used,
      occurredAt: at,
    });
    const { volume, pureAlcohol: alcohol } = answer;
    const expected = wortLitresAt20(litres, temperatureC);
    this.world.checks.near('litres at 20 °C of the charge', volume.value, expected, litres * 3e-4);
    this.world.checks.same('pure alcohol of wash', alcohol.value, 0);
    this.world.books.charge(vesselId, lot.category, volume.value);
    return `${volume.value.toFixed(2)} L at 20 °C`;
  }

  /** A finding by mass balance beside the rule of thumb; `gravities` as they were read. */
  async finding(
    lotId: string,
    vessel: VesselName,
    at: string,
    standing: 'provisional' | 'of-record',
    gravities: { original: [number, number]; final: [number, number]; sugar?: Sugar },
  ): Promise<Finding> {
    const { api, checks, books, site } = this.world;
    const body = { method: 'mass-balance', standing, occurredAt: at };
    const finding = await api.post<Finding>(`/v1/lots/${lotId}/findings`, body);
    const { strength, uncertainty, budget } = finding;
    const expected = strengthByShortcut(gravities.original, gravities.final, gravities.sugar ?? 'dextrose');
    checks.near('strength by mass balance', strength.value, expected, 0.05 + 0.01 * expected);
    checks.between('U of the strength', uncertainty.expanded.value, 0.05, 0.12 * strength.value);
    const shares = budget.reduce((sum, { share }) => sum + share, 0);
    checks.near('shares of the budget', shares, 1, 1e-9);
    const byOrigin = new Map<string, number>();
    budget.forEach(({ origin, contribution }) => byOrigin.set(origin, (byOrigin.get(origin) ?? 0) + contribution));
    const variance = [...byOrigin.values()].reduce((sum, c) => sum + c ** 2, 0);
    checks.near('u of the budget', Math.sqrt(variance), uncertainty.standard.value, 1e-9);
    const vesselId = site.vessels[vessel];
    if (standing === 'of-record') {
      books.finish(vesselId, strength.value);
    } else {
      books.find(vesselId, strength.value);
    }
    return finding;
  }

  async gauge(lotId: string, vessel: VesselName, at: string, litres: number): Promise<string> {
    const vesselId = this.world.site.vessels[vessel];
    const { checks, books } = this.world;
    const answer = await this.world.api.post<GaugeAnswer>(`/v1/lots/${lotId}/gauges`, {
      vesselId,
      volume: quantity(litres, 'L'),
      temperature: quantity(20, 'Cel'),
      standardUncertainty: quantity(0.4, 'L'),
      occurredAt: at,
    });
    checks.same('gauged litres', answer.volume.value, litres);
    checks.same('litres in the books before the gauge', micro(answer.bookVolume.value), books.at(vesselId).litres);
    books.gauge(vesselId, litres);
    checks.same('pure alcohol after the gauge', micro(answer.pureAlcohol.value), pureAlcohol(books.at(vesselId)));
    return `${litres.toFixed(1)} L, ${answer.difference.value.toFixed(2)} L against the books`;
  }

  async transfer(lotId: string, from: VesselName, to: VesselName, at: string, lostLitres: number): Promise<string> {
    const { vessels } = this.world.site;
    const { checks, books } = this.world;
    const answer = await this.world.api.post<TransferAnswer>(`/v1/lots/${lotId}/transfers`, {
      fromVesselId: vessels[from],
      toVesselId: vessels[to],
      loss: quantity(lostLitres, 'L'),
      lossKind: 'yeast-and-trub',
      occurredAt: at,
    });
    books.transfer(vessels[from], vessels[to], lostLitres, 'yeast-and-trub');
    const there = books.at(vessels[to]);
    checks.same('litres after the transfer', micro(answer.volume.value), there.litres);
    checks.same('pure alcohol after the transfer', micro(answer.pureAlcohol.value), pureAlcohol(there));
    return `${answer.volume.value.toFixed(2)} L over, ${lostLitres} L left with the yeast`;
  }

  async pack(
    lotId: string,
    vessel: VesselName,
    at: string,
    run: Pick<NewPackaging, 'container' | 'count' | 'loss' | 'dispense'> & { nominalLitres: number; declared: number },
  ): Promise<PackagingAnswer> {
    const vesselId = this.world.site.vessels[vessel];
    const { checks, books } = this.world;
    const { nominalLitres, declared, container, count, loss, dispense } = run;
    const nominalVolume = nominalLitres < 1 ? quantity(nominalLitres * 1000, 'mL') : quantity(nominalLitres, 'L');
    const before = books.at(vesselId);
    const answer = await this.world.api.post<PackagingAnswer>(`/v1/lots/${lotId}/packagings`, {
      vesselId,
      container,
      count,
      nominalVolume,
      declaredStrength: quantity(declared, '%'),
      ...(loss === undefined ? { emptied: true } : { loss }),
      ...(dispense === undefined ? {} : { dispense }),
      occurredAt: at,
    });
    const packed = BigInt(count) * micro(nominalLitres);
    const lost = loss === undefined ? undefined : micro(loss.value);
    const rest = before.litres - packed;
    books.pack(vesselId, answer.packagedLotId, count, nominalLitres, loss?.value);
    checks.same('packed litres', micro(answer.volume.value), packed);
    checks.same('litres lost in the run', micro(answer.loss.value), lost ?? (rest > 0n ? rest : 0n));
    checks.same('litres gained by the run', micro(answer.gain.value), rest < 0n ? -rest : 0n);
    const alcohol = micro(answer.pureAlcohol.value);
    checks.same('packed pure alcohol', alcohol, pureAlcohol(books.at(answer.packagedLotId)));
    const strength = (100 * toNumber(pureAlcohol(before))) / toNumber(before.litres);
    checks.near('packed pure alcohol at the strength', toNumber(alcohol), toNumber(alcoholIn(packed, strength)), 2e-6);
    return answer;
  }

  /** Containers out of stock; release and own use fall due at the declared strength. */
  async out(
    kind: NewMovement['kind'],
    packaged: { packagedLotId: string; nominalLitres: number; declared: number },
    count: number,
    at: string,
    more: Pick<NewMovement, 'reasonCode' | 'evidence' | 'counterparty' | 'witness'> = {},
  ): Promise<string> {
    const { checks, books } = this.world;
    const { packagedLotId, nominalLitres, declared } = packaged;
    const before = books.at(packagedLotId);
    const body = { kind, packagedLotId, count, occurredAt: at, ...more };
    const answer = await this.world.api.post<Movement>('/v1/movements', body);
    books.outPacked(packagedLotId, count, nominalLitres, LINE_OF[kind] ?? kind);
    const litres = BigInt(count) * micro(nominalLitres);
    const alcohol = pureAlcohol(before) - pureAlcohol(books.at(packagedLotId));
    checks.same(`litres of ${kind}`, micro(answer.litres.exact ?? answer.litres.value), litres);
    const { litresOfPureAlcohol } = answer;
    checks.same(`pure alcohol of ${kind}`, micro(litresOfPureAlcohol.exact ?? litresOfPureAlcohol.value), alcohol);
    if (answer.duty !== undefined) {
      const due = answer.duty.litresOfPureAlcohol.value;
      checks.near('pure alcohol for duty', due, (toNumber(litres) * declared) / 100, 1e-9);
    }
    return `${count} × ${nominalLitres} L, ${toNumber(alcohol).toFixed(3)} L of pure alcohol`;
  }

  /** Liquid out of a vessel. */
  async outOfVessel(
    kind: NewMovement['kind'],
    lotId: string,
    vessel: VesselName,
    litres: number,
    at: string,
    reasonCode?: string,
  ): Promise<string> {
    const vesselId = this.world.site.vessels[vessel];
    const { checks, books } = this.world;
    const before = books.at(vesselId);
    const body = { kind, lotId, vesselId, volume: quantity(litres, 'L'), occurredAt: at };
    const answer = await this.world.api.post<Movement>('/v1/movements', {
      ...body,
      ...(reasonCode === undefined ? {} : { reasonCode }),
    });
    books.out(vesselId, litres, LINE_OF[kind] ?? kind);
    const alcohol = pureAlcohol(before) - pureAlcohol(books.at(vesselId));
    checks.same(`pure alcohol of ${kind}`, micro(answer.litresOfPureAlcohol.value), alcohol);
    return `${litres} L, ${toNumber(alcohol).toFixed(3)} L of pure alcohol`;
  }

  readonly found = found;
}

/** Lines of the report whose name is not that of the movement. */
const LINE_OF: Partial<Record<NewMovement['kind'], string>> = {
  release: 'released',
  'dispatch-suspended': 'dispatched-suspended',
  export: 'exported',
  sample: 'samples',
  destruction: 'destroyed',
};
