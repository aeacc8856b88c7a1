import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { queriesOf } from '../support/queries.js';
import { TestService } from '../support/service.js';

interface Item {
  readonly code: string;
  readonly detail: string;
  readonly settle: string;
  readonly links: readonly string[];
  readonly at?: string;
}

const clock = new SteppableClock(new Date('2026-03-20T08:00:00Z'));
let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const litres = (value: number) => ({ value, unit: 'L' });
const MARCH: [string, string] = ['2026-03-01', '2026-04-01'];

async function attention(floor: Floor, query = ''): Promise<Item[]> {
  const answer = await floor.get(`/v1/attention${query}`);
  const items = answer.items as Item[];
  items.forEach((item) => expect([item.settle.length > 0, item.links.length > 0]).toEqual([true, true]));
  return items;
}

const codes = async (floor: Floor): Promise<string[]> => (await attention(floor)).map(({ code }) => code);

const wash = async (floor: Floor, name: string, gravities: [day: number, value: number][]) => {
  const vesselId = await floor.vessel(name);
  const lotId = await floor.lot('sugar-ferment', { code: `W-${name}` });
  const [first, ...rest] = gravities;
  await floor.gravity(lotId, first[1], `2026-03-${String(first[0]).padStart(2, '0')}T08:00:00Z`);
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: litres(100),
    occurredAt: `2026-03-${String(first[0]).padStart(2, '0')}T09:00:00Z`,
  });
  for (const [day, value] of rest) {
    await floor.gravity(lotId, value, `2026-03-${String(day).padStart(2, '0')}T08:00:00Z`);
  }
  return { lotId, vesselId };
};

test('nothing wants a person where nothing is', async () => {
  expect(await attention(await Floor.open(service, [MARCH]))).toEqual([]);
});

test('ferments: a reading that is due, a terminal gravity, one that never began', async () => {
  const floor = await Floor.open(service, [MARCH]);
  const { lotId } = await wash(floor, 'A', [
    [2, 1.04],
    [10, 1.01],
  ]);
  // The next reading was due 48 hours after that of 10 March.
  expect(await attention(floor)).toEqual([
    {
      code: 'gravity-overdue',
      detail: 'Lot W-A in A ferments, and its last gravity is more than 48 hours old.',
      settle: 'Take a gravity.',
      links: [`/v1/lots/${lotId}/readings`],
      at: '2026-03-12T08:00:00.000Z',
      premisesId: floor.premisesId,
    },
  ]);
  await floor.gravity(lotId, 0.998, '2026-03-17T08:00:00Z');
  await floor.gravity(lotId, 0.998, '2026-03-19T08:00:00Z');
  expect(await attention(floor)).toMatchObject([
    {
      code: 'terminal-gravity',
      detail: 'Lot W-A in A has reached its terminal gravity.',
      at: '2026-03-19T08:00:00.000Z',
    },
  ]);
  await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', occurredAt: '2026-03-19T09:00:00Z' });
  expect(await attention(floor)).toEqual([]);

  await wash(floor, 'B', [
    [14, 1.04],
    [19, 1.04],
  ]);
  expect(await attention(floor)).toMatchObject([
    { code: 'fermentation-stalled', detail: 'Lot W-B in B has not begun to ferment.' },
  ]);
});

test('a vessel that holds more than it can, after its capacity was put right', async () => {
  const floor = await Floor.open(service, [MARCH]);
  const { vesselId } = await wash(floor, 'A', [[19, 1.04]]);
  await service.expect(200, 'patch', `/v1/vessels/${vesselId}`, {
    key: floor.key,
    headers: { 'if-match': '"v1"' },
    body: { capacity: litres(80) },
  });
  expect(await attention(floor)).toMatchObject([
    {
      code: 'vessel-over-capacity',
      detail: 'A can hold 80 L, and by the books it holds 100 L of lot W-A.',
      links: [`/v1/vessels/${vesselId}`],
    },
  ]);
});

test('calibrations that ended or end soon; not the one before, nor that of a retired instrument', async () => {
  const floor = await Floor.open(service, [MARCH]);
  const instrument = async (name: string, validUntil: string) => {
    const id = String((await floor.post('/v1/instruments', { name, kind: 'hydrometer', scale: 'sg-20-20' })).id);
    const regions = [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0002 }];
    await floor.post(`/v1/instruments/${id}/calibrations`, { performedOn: '2025-03-01', validUntil, regions });
    return id;
  };
  await instrument('H1', '2026-03-19');
  await instrument('H2', '2026-03-20');
  // 30 days after 20 March are 19 April.
  await instrument('H3', '2026-04-19');
  await instrument('H4', '2026-04-20');
  const renewed = await instrument('H5', '2026-03-10');
  await floor.post(`/v1/instruments/${renewed}/calibrations`, {
    performedOn: '2026-03-05',
    validUntil: '2027-03-04',
    regions: [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0002 }],
  });
  const retired = await instrument('H6', '2026-03-10');
  await service.expect(200, 'patch', `/v1/instruments/${retired}`, {
    key: floor.key,
    headers: { 'if-match': '"v1"' },
    body: { retired: true },
  });
  expect((await attention(floor)).map(({ code, detail }) => [code, detail])).toEqual([
    [
      'calibration-lapsed',
      'The calibration of H1 ended on 19 March 2026. Its readings are taken with the default uncertainty.',
    ],
    ['calibration-ending', 'The calibration of H2 ends on 20 March 2026.'],
    ['calibration-ending', 'The calibration of H3 ends on 19 April 2026.'],
  ]);
});

test('periods to close and to open', async () => {
  const floor = await Floor.open(service, [['2026-02-01', '2026-03-01']]);
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  expect(await attention(floor)).toMatchObject([
    {
      code: 'period-to-close',
      detail:
        'The period of Mill Lane, 1 February 2026 to 28 February 2026, both days included, has ended and is open.',
      links: [`/v1/periods/${id}/closing`, `/v1/periods/${id}/closing-check`],
    },
    { code: 'period-to-open', at: '2026-03-01T00:00:00.000Z' },
  ]);
  await floor.post('/v1/periods', { premisesId: floor.premisesId, month: '2026-03' });
  expect(await codes(floor)).toEqual(['period-to-close']);
  await floor.post(`/v1/periods/${id}/closing`, {});
  expect(await codes(floor)).toEqual([]);
});

test('the proof of an export, entered when it comes; a count without a reason', async () => {
  const floor = await Floor.open(service, [['2026-02-01', '2026-04-01']]);
  const facts = { mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4 };
  const { packaged } = await openStock(floor, '2026-02-01T08:00:00Z', [], [{ ...facts, percent: 4, strengthU: 0.05 }]);
  const move = async (kind: string, occurredAt: string, more: object = {}) =>
    String(
      (
        await floor.post('/v1/movements', {
          kind,
          packagedLotId: packaged[0],
          count: 10,
          occurredAt,
          counterparty: 'A buyer (invented)',
          evidence: { document: `DOC-${kind}` },
          ...more,
        })
      ).id,
    );
  const exported = await move('export', '2026-02-10T12:00:00Z');
  const reversed = await move('export', '2026-02-11T12:00:00Z');
  await floor.post(`/v1/operations/${reversed}/reversal`, { reasonCode: 'did-not-happen' });
  await move('export', '2026-02-12T12:00:00Z', { evidence: { document: 'DOC-2', proof: 'PROOF-2' } });
  const released = await move('release', '2026-02-13T12:00:00Z');
  // 30 days before 20 March 08:00 are 18 February 08:00.
  await move('dispatch-suspended', '2026-02-18T09:00:00Z');
  expect(await attention(floor)).toMatchObject([
    {
      code: 'proof-missing',
      detail: 'Of the export to A buyer (invented) of 10 February 2026, document DOC-export, no proof has come.',
      links: [`/v1/movements/${exported}/proof`, `/v1/movements/${exported}`, '/v1/open-proofs'],
      at: '2026-02-10T12:00:00.000Z',
    },
  ]);
  const proof = { proof: 'PROOF-1' };
  for (const [id, status, code] of [
    [released, 409, 'conflict'],
    [reversed, 409, 'conflict'],
    ['018f0000-0000-7000-8000-000000000000', 404, 'not-found'],
  ] as const) {
    const refused = await service.call('post', `/v1/movements/${id}/proof`, { key: floor.key, body: proof });
    expect([refused.status, problemOf(refused).code]).toEqual([status, code]);
  }
  await floor.post(`/v1/movements/${exported}/proof`, { proof: 'PROOF-0' });
  expect(await floor.post(`/v1/movements/${exported}/proof`, proof)).toEqual({ movementId: exported, ...proof });
  expect((await floor.get(`/v1/movements/${exported}`)).evidence).toEqual({
    document: 'DOC-export',
    proof: 'PROOF-1',
  });
  expect(await attention(floor)).toEqual([]);

  // 100 less 10 exported, 10 exported, 10 released and 10 dispatched are 60; 58 are counted, 1 L short.
  await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    occurredAt: '2026-03-01T12:00:00Z',
    counts: [{ packagedLotId: packaged[0], count: 58 }],
  });
  expect(await attention(floor)).toMatchObject([
    {
      code: 'count-difference-unexplained',
      detail: 'The stock-take of B differs from the books by -1 L without a reason.',
    },
  ]);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});

test('steps of the plan that are overdue, also before anything is charged', async () => {
  const floor = await Floor.open(service, [MARCH]);
  const recipe = await floor.post('/v1/recipes', {
    name: 'Sugar ferment (invented)',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: litres(100),
      steps: [
        { kind: 'heat', temperature: { value: 80, unit: 'Cel' }, after: { value: 0, unit: 'h' } },
        { kind: 'rack', after: { value: 400, unit: 'd' } },
      ],
    },
  });
  const { id, code } = await floor.post('/v1/lots', {
    premisesId: floor.premisesId,
    recipeVersion: { recipeId: recipe.id, number: 1 },
  });
  clock.set(new Date('2026-03-20T09:00:00Z'));
  expect(await attention(floor)).toMatchObject([
    {
      code: 'step-overdue',
      detail: `Step 1 of lot ${String(code)} is overdue: Heat to 80 °C.`,
      links: [`/v1/lots/${String(id)}/steps`],
    },
  ]);
  await floor.post(`/v1/lots/${String(id)}/steps`, { number: 1 });
  expect(await attention(floor)).toEqual([]);
});

test('the number of queries does not grow; one kind alone; one premises alone', async () => {
  const floor = await Floor.open(service, [MARCH]);
  const least = await queriesOf(() => floor.get('/v1/attention'));
  await wash(floor, 'A', [[2, 1.04]]);
  await wash(floor, 'B', [[3, 1.04]]);
  await wash(floor, 'C', [
    [2, 1.04],
    [10, 0.998],
    [14, 0.998],
  ]);
  expect(await queriesOf(() => floor.get('/v1/attention'))).toBe(least);
  expect(await codes(floor)).toEqual(['terminal-gravity', 'gravity-overdue', 'gravity-overdue']);
  expect((await attention(floor, '?code=terminal-gravity')).map(({ code }) => code)).toEqual(['terminal-gravity']);
  const { id } = await floor.post('/v1/premises', { name: 'Barn', timeZone: 'Europe/London' });
  expect(await attention(floor, `?premisesId=${String(id)}`)).toEqual([]);
  const other = await Floor.open(service, [MARCH]);
  expect(await attention(other)).toEqual([]);
});
