import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { CORRECTION_REASONS, LOSS_REASONS, REASONS, STRIKE_REASONS } from '../../src/tenancy/reasons/reason-codes.js';
import type { ReasonCode } from '../../src/tenancy/reasons/reason-codes.dto.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { readReferenceCsv } from '../support/reference-files.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
let bottles: string;
let lotId: string;
let vesselId: string;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const { packaged, lots, vessels } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 1000,
        nominalLitres: 0.33,
        declaredPercent: 4.5,
        percent: 4.6,
        strengthU: 0.1,
      },
    ],
  );
  [bottles, lotId, vesselId] = [packaged[0], lots[0], vessels[0]];
});
afterAll(() => service.stop());

const at = '2026-03-10T12:00:00Z';
const L = (value: number) => ({ value, unit: 'L' });

test('the list of reasons is answered as it is kept, each with its meaning and what it needs', async () => {
  const listed = (await floor.get('/v1/reason-codes')).items as ReasonCode[];
  expect(listed.map(({ code }) => code)).toEqual(REASONS.map(({ code }) => code));
  expect(new Set(listed.map(({ code }) => code)).size).toBe(listed.length);
  listed.forEach(({ meaning }) => expect(meaning).toMatch(/^[A-Z].+\.$/));
  const needs = Object.fromEntries(listed.map((each) => [each.code, each.needs]));
  expect(needs).toMatchObject({
    breakage: [],
    theft: ['occurredAt', 'evidence/report'],
    destruction: ['occurredAt', 'evidence/method', 'witness'],
    other: ['note'],
  });
  expect(listed.find(({ code }) => code === 'breakage')?.witness).toBe('possible');
  expect([LOSS_REASONS, CORRECTION_REASONS, STRIKE_REASONS].every((codes) => codes.includes('other'))).toBe(true);
});

test('a reason that a law asks something of names its row of the comparison', () => {
  const rows = new Set(readReferenceCsv('excise/movement-kinds.csv').map(({ kind }) => kind));
  REASONS.forEach(({ code, needs, reference }) => {
    expect([code, reference === undefined || rows.has(reference)]).toEqual([code, true]);
    expect([code, needs.length > 0 && code !== 'other']).toEqual([code, reference !== undefined]);
  });
});

const movement = (kind: string, more: object) => ({ kind, packagedLotId: bottles, count: 1, ...more });

test.each<[string, string, () => object, [string, RegExp][]]>([
  [
    'a code that is not of the list',
    '/v1/movements',
    () => movement('accidental-loss', { occurredAt: at, reasonCode: 'hose-burst' }),
    [['/reasonCode', /one of breakage/]],
  ],
  [
    'a theft without the number of the report',
    '/v1/movements',
    () => movement('theft', { occurredAt: at, reasonCode: 'theft' }),
    [['/evidence/report', /reported to the police/]],
  ],
  [
    'stolen on the way, without the number',
    '/v1/movements',
    () => movement('transit-loss', { occurredAt: at, reasonCode: 'theft', evidence: { document: 'D-1' } }),
    [['/evidence/report', /reason "theft" needs it/]],
  ],
  [
    'a destruction without witness and method',
    '/v1/movements',
    () => movement('destruction', { occurredAt: at, reasonCode: 'past-date' }),
    [
      ['/evidence/method', /how it was destroyed/],
      ['/witness', /who saw it/],
    ],
  ],
  [
    'another reason without a text',
    '/v1/movements',
    () => movement('accidental-loss', { occurredAt: at, reasonCode: 'other' }),
    [['/note', /in words/]],
  ],
  [
    'a witness of what nobody need see',
    '/v1/movements',
    () => movement('accidental-loss', { occurredAt: at, reasonCode: 'evaporation', witness: 'W' }),
    [['/witness', /whose reason takes one/]],
  ],
  [
    'a theft found by a count',
    '/v1/stock-takes',
    () => ({
      premisesId: floor.premisesId,
      occurredAt: at,
      counts: [{ packagedLotId: bottles, count: 990, reasonCode: 'theft' }],
    }),
    [['/counts/0/evidence/report', /entered as a movement/]],
  ],
  [
    'another reason of a count without its explanation',
    '/v1/stock-takes',
    () => ({
      premisesId: floor.premisesId,
      occurredAt: at,
      counts: [{ packagedLotId: bottles, count: 990, reasonCode: 'other' }],
    }),
    [['/counts/0/explanation', /in words/]],
  ],
  [
    'another reason of a gauge without a note',
    '/v1/lots/{lot}/gauges',
    () => ({ vesselId, volume: L(80), occurredAt: at, reasonCode: 'other' }),
    [['/note', /in words/]],
  ],
  [
    'a reversal for another reason without a note',
    '/v1/operations/{lot}/reversal',
    () => ({ reasonCode: 'other' }),
    [['/note', /in words/]],
  ],
  [
    'a correction for another reason without a note',
    '/v1/movements',
    () => movement('release', { occurredAt: at, corrects: { operationId: lotId, reasonCode: 'other' } }),
    [['/corrects/note', /in words/]],
  ],
])('%s is refused: each thing that is missing is named, and nothing is stored', async (_, path, body, errors) => {
  const before = await service.rowCounts();
  const answer = await service.call('post', path.replace('{lot}', lotId), { key: floor.key, body: body() });
  const problem = problemOf(answer);
  expect([answer.status, problem.code]).toEqual([400, 'validation-failed']);
  expect(problem.errors?.map(({ pointer }) => pointer)).toEqual(errors.map(([pointer]) => pointer));
  errors.forEach(([, words], index) => expect(problem.errors?.[index].detail).toMatch(words));
  expect(await service.rowCounts()).toEqual(before);
});

test('a setting with an unknown reason is refused', async () => {
  const producer = await service.expect(200, 'get', '/v1/producer', { key: floor.key });
  const body = { settings: { chargeableLosses: [{ line: 'stock-difference', freeReasons: ['misfortune'] }] } };
  const headers = { 'if-match': String(producer.headers.etag) };
  const refused = await service.call('patch', '/v1/producer', { key: floor.key, body, headers });
  expect(refused.status).toBe(400);
  expect(JSON.stringify(refused.body)).toContain('/settings/chargeableLosses/0/freeReasons/0');
});

test('with what they need they are stored; a text alone frees a shortage from nothing, a breakage does', async () => {
  const seen = { witness: 'W (invented)' };
  const move = (kind: string, count: number, more: object) =>
    floor.post('/v1/movements', { ...movement(kind, more), count, occurredAt: at });
  await move('accidental-loss', 2, { reasonCode: 'breakage', ...seen });
  await move('theft', 3, { reasonCode: 'theft', evidence: { report: 'REPORT-1' } });
  await move('destruction', 4, { reasonCode: 'destruction', evidence: { method: 'poured off' }, ...seen });
  await move('destruction', 1, { reasonCode: 'spoilage', evidence: { method: 'poured off', approval: 'APP-1' } });
  const take = (count: number, day: string, more: object) =>
    floor.post('/v1/stock-takes', {
      premisesId: floor.premisesId,
      occurredAt: `2026-03-${day}T12:00:00Z`,
      counts: [{ packagedLotId: bottles, count, ...more }],
    });
  // 990 of 1000 are on hand; 4 are missing for another reason, then 3 for a breakage.
  await take(986, '20', { reasonCode: 'other', explanation: 'nobody knows' });
  await take(983, '21', { reasonCode: 'breakage' });
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const { deficiency } = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  // 4 × 0.33 L by hand.
  expect(deficiency.lines).toMatchObject([
    { line: 'stock-difference', lost: { value: 1.32 }, litres: { value: 1.32 } },
  ]);
});
