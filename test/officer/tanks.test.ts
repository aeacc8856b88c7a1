import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { queriesOf } from '../support/queries.js';
import { TestService } from '../support/service.js';
import type { TwoYears } from '../support/two-years.js';
import { startTwoYears } from '../support/two-years.js';

jest.setTimeout(600_000);

let years: TwoYears;
let fresh: TestService;
beforeAll(async () => {
  years = await startTwoYears();
  fresh = await TestService.start();
});
afterAll(async () => {
  await years.service.stop();
  await fresh.stop();
});

interface Held {
  readonly id: string;
  readonly contents: { readonly state: string };
}

/** Fills vessels of their own with a wash each, a few at once. */
async function fill(count: number): Promise<void> {
  const { service, key, landmarks } = years;
  const premisesId = landmarks.premises.main;
  const made = async (path: string, body: object) =>
    String(((await service.expect(201, 'post', path, { key, body })).body as { id: string }).id);
  const one = async (n: number) => {
    const vesselId = await made('/v1/vessels', { premisesId, name: `Cask ${n}`, kind: 'cask' });
    const lotId = await made('/v1/lots', { premisesId, category: 'sugar-ferment' });
    const body = { vesselId, volume: { value: 20, unit: 'L' } };
    await service.expect(201, 'post', `/v1/lots/${lotId}/charges`, { key, body });
  };
  const workers = Array.from({ length: 4 }, async (_, worker) => {
    for (let n = worker; n < count; n += 4) {
      await one(n);
    }
  });
  await Promise.all(workers);
}

test('what is in 200 vessels after two years takes as many queries as for a producer without any, and says what the books say', async () => {
  const { service, key, landmarks } = years;
  const { key: newcomer } = await fresh.newProducer();
  const own = (await service.expect(200, 'get', '/v1/vessels?limit=200', { key })).body as { items: Held[] };
  await fill(200 - own.items.length);
  for (const path of ['/v1/vessels?limit=200', '/v1/lots?limit=200']) {
    const least = await queriesOf(() => fresh.expect(200, 'get', path, { key: newcomer }));
    const started = performance.now();
    let items: Held[] = [];
    const most = await queriesOf(async () => {
      ({ items } = (await service.expect(200, 'get', path, { key })).body as { items: Held[] });
    });
    console.log(`${path} after two years: ${most} queries, ${Math.round(performance.now() - started)} ms`);
    expect(items).toHaveLength(200);
    expect([path, most]).toEqual([path, least]);
  }

  // All vessels together hold what the accounts of the cellar hold.
  const litresIn = new Map<string, number>();
  let cursor = '';
  do {
    const path = `/v1/vessels?limit=200${cursor === '' ? '' : `&cursor=${cursor}`}`;
    const page = (await service.expect(200, 'get', path, { key })).body as {
      items: { id: string; contents: { liquid?: { volume: { value: number } } } }[];
      next: string | null;
    };
    page.items.forEach(({ id, contents }) => litresIn.set(id, contents.liquid?.volume.value ?? 0));
    cursor = page.next ?? '';
  } while (cursor !== '');
  const inVessels = [...litresIn.values()].reduce((sum, each) => sum + each, 0);
  expect(landmarks.months).toBe(24);
  const books = await service.program.withConnection(service.database.superuserUrl, (connection) =>
    connection.query<{ litres: string }>(
      `SELECT sum(p.litres) AS litres FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
        WHERE p.producer_id = $1 AND a.side = 'stock' AND a.kind = 'liquid'`,
      [years.producerId],
    ),
  );
  expect(inVessels).toBeCloseTo(Number(books.rows[0].litres), 6);
});
