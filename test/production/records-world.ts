import type { ProblemBody } from '../support/problem.js';
import { problemOf } from '../support/problem.js';
import type { TestService } from '../support/service.js';

export const UNKNOWN_ID = '018f0000-0000-7000-8000-000000000000';

/** One producer with premises, and what a test needs to say about it. */
export class World {
  private constructor(
    readonly service: TestService,
    readonly producerId: string,
    readonly key: string,
    readonly premisesId: string,
  ) {}

  static async of(service: TestService, timeZone = 'Europe/London'): Promise<World> {
    const { id, key } = await service.newProducer();
    const body = { name: 'Mill Lane', timeZone };
    const premises = await service.expect(201, 'post', '/v1/premises', { key, body });
    return new World(service, id, key, premises.body.id as string);
  }

  async post<Body = Record<string, unknown>>(path: string, body: unknown, headers: Record<string, string> = {}) {
    const response = await this.service.expect(201, 'post', path, { key: this.key, body, headers });
    return response.body as Body & { id: string };
  }

  async get<Body = Record<string, unknown>>(path: string): Promise<Body> {
    return (await this.service.expect(200, 'get', path, { key: this.key })).body as Body;
  }

  patch(path: string, body: unknown, tag: string) {
    return this.service.call('patch', path, { key: this.key, body, headers: { 'if-match': tag } });
  }

  lot(body: object = {}) {
    return this.post<{ code: string }>('/v1/lots', { premisesId: this.premisesId, category: 'sugar-ferment', ...body });
  }

  /** A refusal: a whole problem document with this code, and no row of any table, trail and idempotency included. */
  async refused(
    code: string,
    method: 'get' | 'post' | 'patch' | 'put' | 'delete',
    path: string,
    body?: unknown,
    headers: Record<string, string> = {},
  ): Promise<ProblemBody> {
    const before = await this.service.rowCounts();
    const withKey = method === 'post' ? { 'idempotency-key': `refused-${Math.random()}`, ...headers } : headers;
    const response = await this.service.call(method, path, { key: this.key, body, headers: withKey });
    const problem = problemOf(response);
    expect({ code: problem.code, detail: problem.detail }).toEqual({ code, detail: problem.detail });
    expect(await this.service.rowCounts()).toEqual(before);
    return problem;
  }

  /** As `refused`, with a body that no serializer would write. */
  async refusedRaw(code: string, path: string, text: string): Promise<ProblemBody> {
    const before = await this.service.rowCounts();
    const response = await this.service
      .call('post', path, { key: this.key, headers: { 'content-type': 'application/json' } })
      .send(text);
    const problem = problemOf(response);
    expect({ code: problem.code, detail: problem.detail }).toEqual({ code, detail: problem.detail });
    expect(await this.service.rowCounts()).toEqual(before);
    return problem;
  }

  async trailHolds(): Promise<void> {
    const check = await this.get('/v1/audit-trail/check');
    expect(check).toMatchObject({ holds: true, faults: [] });
  }
}

/** Every id of another producer is answered as an unknown one, down to the bytes but for the request's own id. */
export const sameRefusal = (a: ProblemBody, b: ProblemBody): void => {
  expect({ ...a, instance: '' }).toEqual({ ...b, instance: '' });
};
