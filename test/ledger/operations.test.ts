import type { Operation } from '../../src/ledger/operations/operations.dto.js';
import { toLitres } from '../../src/ledger/books/litres.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import type { OpenedStock } from '../support/books.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
let stock: OpenedStock;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-05-01']]);
  stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [{ mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  for (const day of ['05', '06', '07']) {
    await floor.post('/v1/movements', {
      kind: 'sample',
      lotId: stock.lots[0],
      vesselId: stock.vessels[0],
      volume: { value: 1, unit: 'L' },
      occurredAt: `2026-03-${day}T12:00:00Z`,
      note: 'to the laboratory',
    });
  }
});
afterAll(() => service.stop());

const page = async (query: string) => (await floor.get(`/v1/operations?${query}`)).items as Operation[];

test('operations in the order of the books, each adding to zero', async () => {
  const all = await page('limit=200');
  expect(all.map(({ sequence }) => sequence)).toEqual([1, 2, 3, 4]);
  for (const { postings } of all) {
    for (const measure of ['litres', 'fermented', 'added'] as const) {
      expect(postings.reduce((sum, posting) => sum + posting[measure].value, 0)).toBeCloseTo(0, 12);
    }
  }
  expect(all[1]).toMatchObject({ kind: 'movement', timing: 'draw', note: 'to the laboratory' });
});

test('one operation with the components of each posting', async () => {
  const [, sample] = await page('limit=200');
  const whole = (await floor.get(`/v1/operations/${sample.id}`)) as unknown as Operation;
  const nominal = whole.postings.find(({ side }) => side === 'nominal');
  const components = nominal?.components ?? [];
  // A litre was measured out at 5 ± 0.1 %: it is as sure as its strength, and what the gauge was unsure by stays with the rest.
  expect(components.map(({ litres, litresOfPureAlcohol }) => [litres.value, litresOfPureAlcohol.value])).toEqual([
    [0, 0.001],
  ]);
  expect(nominal?.expandedUncertainty).toEqual({
    litres: { value: 0, unit: 'L' },
    litresOfPureAlcohol: { value: 0.00196, unit: 'L' },
  });
});

test('filters, and pages that neither lose nor repeat', async () => {
  expect(await page(`lotId=${stock.lots[0]}&kind=movement`)).toHaveLength(3);
  expect(await page(`lotId=${stock.lots[1]}`)).toHaveLength(1);
  expect(await page('line=samples')).toHaveLength(3);
  expect(await page('line=samples&category=beer')).toHaveLength(0);
  expect(await page('category=beer')).toHaveLength(1);
  expect(await page(`premisesId=${floor.premisesId}`)).toHaveLength(4);
  expect(await page('premisesId=018f0000-0000-7000-8000-000000000000')).toHaveLength(0);
  const seen: number[] = [];
  let cursor = '';
  do {
    const answer = await floor.get(`/v1/operations?limit=3${cursor}`);
    seen.push(...(answer.items as Operation[]).map(({ sequence }) => sequence));
    cursor = answer.next === null ? '' : `&cursor=${String(answer.next)}`;
  } while (cursor !== '');
  expect(seen).toEqual([1, 2, 3, 4]);
});

test('bad filters are refused, unknown and foreign operations are not found', async () => {
  for (const query of ['line=nonsense', 'lotId=1', 'kind=%27%3B--', 'unknown=1', 'cursor=abcdefghijkl']) {
    const refused = await service.call('get', `/v1/operations?${query}`, { key: floor.key });
    expect([query, refused.status]).toEqual([query, 400]);
    problemOf(refused);
  }
  const [{ id }] = await page('limit=1');
  const other = await service.newProducer('Other');
  expect((await service.call('get', `/v1/operations/${id}`, { key: other.key })).status).toBe(404);
  const none = await service.expect(200, 'get', '/v1/operations', { key: other.key });
  expect(none.body.items).toEqual([]);
});

test('stock accounts as they stand', async () => {
  const all = (await floor.get('/v1/accounts')).items as { stage: string; litres: { value: number } }[];
  expect(all.map(({ stage, litres }) => [stage, litres.value]).sort()).toEqual([
    ['cellar', 97],
    ['packed', 50],
  ]);
  const packed = (await floor.get('/v1/accounts?stage=packed&nonzero=true')).items as object[];
  expect(packed).toHaveLength(1);
  expect(packed[0]).toMatchObject({
    litresOfPureAlcohol: { value: 2 },
    // 1.959964 × 0.05 L
    expandedUncertainty: { litresOfPureAlcohol: { value: 0.097998 } },
    packagedLotId: stock.packaged[0],
  });
  const first = await floor.get('/v1/accounts?limit=1');
  const second = await floor.get(`/v1/accounts?limit=1&cursor=${String(first.next)}`);
  expect([(first.items as object[]).length, (second.items as object[]).length, second.next]).toEqual([1, 1, null]);
});

test('a decimal that a double cannot hold goes along as text', () => {
  expect(toLitres('12.5')).toEqual({ value: 12.5, unit: 'L' });
  expect(toLitres('-0')).toEqual({ value: 0, unit: 'L' });
  expect(toLitres('999999999.999999')).toEqual({ value: 999999999.999999, unit: 'L' });
  expect(toLitres('12345678901234.567891')).toMatchObject({ exact: '12345678901234.567891' });
});
