import { Agent, request } from 'node:http';
import type { Floor } from '../support/floor.js';
import type { Owner } from './owners.js';
import { LOTS, ownerField, ownerOfLot } from './owners.js';
import { rightValue } from './difference-steps.js';
import type { Stuff } from './plain.js';
import { RECEIVED } from './plain.js';
import { requestOf } from './requests.js';
import { besideRequest, keepBeside } from './sample-requests.js';
import { isBeside } from './samples.js';
import type { Event, Step } from './step.js';
import type { Site } from './words.js';
import { CAPACITIES, categoryOf, FAR_LOTS, FAR_VESSELS, SERVING, VESSELS } from './words.js';

const START_MS = Date.UTC(2026, 2, 1);
const HOUR_MS = 3_600_000;
export const PERIODS: readonly [string, string][] = [
  ['2026-03-01', '2026-04-01'],
  ['2026-04-01', '2026-05-01'],
];

export const timeOf = (hour: number): string => new Date(START_MS + hour * HOUR_MS).toISOString();

interface Answer {
  readonly status: number;
  readonly body: Record<string, unknown>;
}

/** Drives the steps of the model over HTTP, keeping the ids of what they made under the model's names. */
export class Driver {
  readonly #ids = new Map<string, string>();
  readonly #made = new Map<string, Promise<string>>();

  constructor(private readonly floor: Floor) {}

  name(name: string, id: unknown): void {
    this.#ids.set(name, String(id));
  }

  id(name: string): string {
    const id = this.#ids.get(name);
    if (id === undefined) {
      throw new Error(`nothing was made under the name ${name}`);
    }
    return id;
  }

  /** Under which name of a kind an id is kept. */
  nameOf(id: string, prefix: string): string {
    const [name] = [...this.#ids].find(([each, kept]) => kept === id && each.startsWith(prefix)) ?? [];
    if (name === undefined) {
      throw new Error(`nothing was kept as ${prefix} with the id ${id}`);
    }
    return name;
  }

  movement(id: string): Promise<Record<string, unknown>> {
    return this.floor.get(`/v1/movements/${id}`);
  }

  timeOf(hour: number): string {
    return timeOf(hour);
  }

  premises(site: Site): string {
    return site === 'here' ? this.floor.premisesId : this.id('premises/there');
  }

  /** Made when first asked for: most sequences need no other premises, and not every material. */
  otherPremises(): Promise<string> {
    return this.#once('premises/there', async () => {
      const id = String((await this.floor.post('/v1/premises', { name: 'Far Store', timeZone: 'UTC' })).id);
      for (const [index, [startsOn, endsBefore]] of PERIODS.entries()) {
        const period = await this.floor.post('/v1/periods', { premisesId: id, startsOn, endsBefore });
        this.name(`period/there/${index + 1}`, period.id);
      }
      for (const lot of FAR_LOTS) {
        this.name(
          lot,
          (
            await this.floor.post('/v1/lots', {
              premisesId: id,
              category: categoryOf(lot),
              ...ownerField(ownerOfLot(lot)),
            })
          ).id,
        );
      }
      for (const vessel of FAR_VESSELS) this.name(vessel, await this.#vessel(vessel, 'tank', id));
      return id;
    });
  }
  spirit(): Promise<string> {
    return this.#material('spirit');
  }
  yeast(): Promise<string> {
    return this.#material('yeast');
  }
  sugar(owner: Owner): Promise<string> {
    return this.#plainLot(
      'sugar',
      owner,
      { mass: { value: Number(RECEIVED), unit: 'kg' } },
      { fermentable: 'sucrose' },
    );
  }
  fining(owner: Owner): Promise<string> {
    return this.#plainLot('fining', owner, { mass: { value: Number(RECEIVED), unit: 'kg' } });
  }
  syrup(owner: Owner): Promise<string> {
    return this.#plainLot('syrup', owner, { volume: { value: Number(RECEIVED), unit: 'L' } });
  }
  plain(stuff: Stuff, owner: Owner): Promise<string> {
    return stuff === 'syrup' ? this.syrup(owner) : stuff === 'sugar' ? this.sugar(owner) : this.fining(owner);
  }
  /** Names of the material lots without alcohol that were made. */
  get plainLots(): string[] {
    return [...this.#ids.keys()].filter((each) => each.includes('/lot/'));
  }

  /** Carries a step out; answers the code of the problem, or ok. */
  async take(step: Step, name: string): Promise<string> {
    await this.#standing(step);
    const { status, body } = await this.#call(step, name);
    if (status !== 201) {
      return String(body.code);
    }
    await this.#keep(step, name, body);
    return 'ok';
  }

  /** Lots and vessels are made when a step first names them. */
  async #standing(step: Step): Promise<void> {
    const text = JSON.stringify(step);
    for (const lot of LOTS.filter((each) => text.includes(`"${each}"`))) {
      await this.#once(lot, () => this.floor.lot(categoryOf(lot), ownerField(ownerOfLot(lot))));
    }
    for (const vessel of VESSELS.filter((each) => text.includes(`"${each}"`))) {
      const kind = vessel === SERVING ? 'serving-tank' : 'fermenter';
      await this.#once(vessel, () => this.#vessel(vessel, kind, this.floor.premisesId));
    }
  }

  async #vessel(name: string, kind: string, premisesId: string): Promise<string> {
    const litres = CAPACITIES.get(name);
    const capacity = litres === undefined ? {} : { capacity: { value: Number(litres), unit: 'L' } };
    return String((await this.floor.post('/v1/vessels', { premisesId, name, kind, ...capacity })).id);
  }

  async #keep(step: Step, name: string, body: Record<string, unknown>): Promise<void> {
    if (step.kind === 'close')
      return this.name(`trail/${name}`, Number((body.head as { sequence: number }).sequence) + 1);
    if (isBeside(step)) return keepBeside(step, name, body, this);
    if (step.kind === 'reverse') return this.name(`operation/${name}`, body.operationId);
    if (step.kind === 'differ') {
      const [first] = body.operations as { operationId: string }[];
      return this.name(`operation/${name}`, first.operationId);
    }
    if (step.kind === 'correct') {
      const original = await this.floor.get(`/v1/operations/${this.id(`operation/${step.operation}`)}`);
      this.name(`operation/${name}r`, original.reversedBy);
      return this.#keep(step.by, name, body);
    }
    const [counted] = (body.counts ?? []) as { operationId: string }[];
    const arrival =
      step.kind === 'arrive' || step.kind === 'arrive-bulk'
        ? (body.arrival as { operationId: string; compositionId?: string })
        : undefined;
    this.name(`operation/${name}`, (counted ?? arrival)?.operationId ?? body.operationId ?? body.id);
    if (step.kind === 'receipt') this.name(`material/${name}`, body.id);
    if (step.kind === 'crop') this.name(`material/${name}`, body.materialLotId);
    if (step.kind === 'arrive-bulk') this.name(`composition/${name}`, arrival?.compositionId);
    else if (body.compositionId !== undefined) this.name(`composition/${name}`, body.compositionId);
    if (['pack', 'repack', 'relabel'].includes(step.kind)) this.name(`packaged/${name}`, body.packagedLotId);
    if (step.kind === 'opening') {
      const [compositions, packaged] = [body.compositionIds as string[], body.packagedLotIds as string[]];
      if (step.liquid !== undefined) this.name(`composition/${name}`, compositions[0]);
      this.name(`composition/${name}p`, compositions.at(-1));
      this.name(`packaged/${name}`, packaged[0]);
    }
  }

  async #call(step: Step, name: string): Promise<Answer> {
    if (step.kind === 'reverse') {
      return this.#post(`/v1/operations/${this.id(`operation/${step.operation}`)}/reversal`, {
        reasonCode: 'did-not-happen',
      });
    }
    if (step.kind === 'close') {
      if (step.site === 'there') await this.otherPremises();
      return this.#post(`/v1/periods/${this.id(`period/${step.site}/${step.period}`)}/closing`, {});
    }
    if (step.kind === 'differ') {
      return this.#post(`/v1/operations/${this.id(`operation/${step.operation}`)}/difference`, rightValue(step, this));
    }
    if (step.kind === 'correct') {
      const corrects = { operationId: this.id(`operation/${step.operation}`), reasonCode: 'did-not-happen' };
      return this.#event(step.by, name, { corrects });
    }
    if (isBeside(step)) return this.#post(...besideRequest(step, this));
    return this.#event(step, name);
  }

  async #event(step: Event, name: string, more: Record<string, unknown> = {}): Promise<Answer> {
    const [path, body] = await requestOf(step, name, this);
    return this.#post(path, { ...body, ...more });
  }

  #material(kind: string, more: Record<string, unknown> = {}): Promise<string> {
    return this.#once(kind, async () =>
      String((await this.floor.post('/v1/materials', { name: `${kind} (invented)`, kind, ...more })).id),
    );
  }

  #plainLot(
    kind: string,
    owner: Owner,
    much: Record<string, unknown>,
    more: Record<string, unknown> = {},
  ): Promise<string> {
    return this.#once(`${kind}/lot/${owner}`, async () => {
      const materialId = await this.#material(kind === 'syrup' ? 'other' : kind, more);
      const where = { materialId, premisesId: this.floor.premisesId, code: `${kind}-${owner}`, occurredAt: timeOf(0) };
      const body = { ...where, ...ownerField(owner), ...much };
      return String((await this.floor.post('/v1/material-lots', body)).id);
    });
  }

  #once(name: string, make: () => Promise<string>): Promise<string> {
    const made =
      this.#made.get(name) ??
      make().then((id) => {
        this.name(name, id);
        return id;
      });
    this.#made.set(name, made);
    return made;
  }

  /** Over connections that stay open: a sequence is many small requests. */
  #post(path: string, body: Record<string, unknown>): Promise<Answer> {
    const { port } = this.floor.service.next().getHttpServer().address() as { port: number };
    const text = JSON.stringify(body);
    const headers = {
      authorization: `Bearer ${this.floor.key}`,
      'content-type': 'application/json',
      'content-length': Buffer.byteLength(text),
    };
    return new Promise((answered, failed) => {
      const call = request({ method: 'POST', host: '127.0.0.1', port, path, headers, agent: KEPT }, (response) => {
        const parts: Buffer[] = [];
        response.on('data', (part: Buffer) => parts.push(part));
        response.on('error', failed);
        response.on('end', () => {
          const answer = JSON.parse(Buffer.concat(parts).toString('utf8')) as Record<string, unknown>;
          answered({ status: response.statusCode ?? 0, body: answer });
        });
      });
      call.on('error', failed);
      call.end(text);
    });
  }
}

const KEPT = new Agent({ keepAlive: true });

/** Lets the service stop without waiting for what is kept open. */
export const hangUp = (): void => KEPT.destroy();
