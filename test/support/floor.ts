import type { TestService } from './service.js';

type Json = Record<string, unknown>;

/** A producer's floor over HTTP: what the tests of production do over and over. */
export class Floor {
  private constructor(
    readonly service: TestService,
    readonly key: string,
    readonly premisesId: string,
    readonly producerId: string,
  ) {}

  static async open(
    service: TestService,
    periods: readonly [string, string][],
    timeZone = 'Europe/London',
  ): Promise<Floor> {
    const { key, id } = await service.newProducer();
    const premises = await service.expect(201, 'post', '/v1/premises', { key, body: { name: 'Mill Lane', timeZone } });
    const floor = new Floor(service, key, String(premises.body.id), id);
    for (const [startsOn, endsBefore] of periods) {
      await floor.post('/v1/periods', { premisesId: floor.premisesId, startsOn, endsBefore });
    }
    return floor;
  }

  async post(path: string, body: Json, status = 201, headers: Record<string, string> = {}): Promise<Json> {
    return (await this.service.expect(status, 'post', path, { key: this.key, body, headers })).body as Json;
  }

  async get(path: string, status = 200): Promise<Json> {
    return (await this.service.expect(status, 'get', path, { key: this.key })).body as Json;
  }

  async vessel(name: string, kind = 'fermenter', premisesId = this.premisesId): Promise<string> {
    return String((await this.post('/v1/vessels', { premisesId, name, kind })).id);
  }

  async lot(category = 'sugar-ferment', more: Json = {}): Promise<string> {
    return String((await this.post('/v1/lots', { premisesId: this.premisesId, category, ...more })).id);
  }

  async gravity(lotId: string, value: number, takenAt: string, more: Json = {}): Promise<string> {
    const body = { kind: 'gravity', gravity: { value, scale: 'sg-20-20' }, takenAt, ...more };
    return String((await this.post(`/v1/lots/${lotId}/readings`, body)).id);
  }

  /** A lot charged with wash, fermented dry and found of record: what most tests start from. */
  async finishedLot(
    vesselId: string,
    facts: { litres: number; original: number; final: number; day: string; finishedDay: string },
  ): Promise<string> {
    const lotId = await this.lot();
    const { litres, original, final, day, finishedDay } = facts;
    await this.gravity(lotId, original, `${day}T09:00:00Z`);
    await this.post(`/v1/lots/${lotId}/charges`, {
      vesselId,
      volume: { value: litres, unit: 'L' },
      occurredAt: `${day}T10:00:00Z`,
    });
    await this.gravity(lotId, final, `${finishedDay}T08:00:00Z`);
    await this.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', occurredAt: `${finishedDay}T09:00:00Z` });
    return lotId;
  }
}
