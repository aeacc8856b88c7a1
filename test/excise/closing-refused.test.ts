import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
let closed: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B', category: 'beer', count: 10, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  [{ id: closed }] = (await floor.get('/v1/periods')).items as { id: string }[];
  await floor.post(`/v1/periods/${closed}/closing`, {});
});
afterAll(() => service.stop());

const UNKNOWN = '018f0000-0000-7000-8000-000000000000';

test('premises stay in their time zone, so that no closed period moves: refused, and nothing is stored', async () => {
  const path = `/v1/premises/${floor.premisesId}`;
  const premises = await service.expect(200, 'get', path, { key: floor.key });
  const bytes = (await service.expect(200, 'get', `/v1/periods/${closed}/report`, { key: floor.key })).text;
  const period = await floor.get(`/v1/periods/${closed}`);
  const before = await service.rowCounts();
  const refused = await service.call('patch', path, {
    key: floor.key,
    headers: { 'if-match': String(premises.headers.etag) },
    body: { timeZone: 'Pacific/Auckland' },
  });
  expect([refused.status, problemOf(refused).code]).toEqual([400, 'validation-failed']);
  expect(problemOf(refused).errors).toMatchObject([{ pointer: '/timeZone', rule: 'unknown-property' }]);
  expect(await service.rowCounts()).toEqual(before);
  expect(await floor.get(path)).toEqual(premises.body);
  expect(await floor.get(`/v1/periods/${closed}`)).toEqual(period);
  expect((await service.expect(200, 'get', `/v1/periods/${closed}/report`, { key: floor.key })).text).toBe(bytes);
});

test('a report, a face or a page that is not there', async () => {
  const refusals: [string, Record<string, string>, number, string][] = [
    [`/v1/periods/${UNKNOWN}/report`, {}, 404, 'not-found'],
    [`/v1/periods/${UNKNOWN}/report?format=pdf`, {}, 404, 'not-found'],
    [`/v1/periods/${UNKNOWN}/report/print-state`, {}, 404, 'not-found'],
    [`/v1/periods/${UNKNOWN}/evidence`, {}, 404, 'not-found'],
    [`/v1/periods/${UNKNOWN}/changes`, {}, 404, 'not-found'],
    [`/v1/periods/${UNKNOWN}/closing-check`, {}, 404, 'not-found'],
    ['/v1/periods/march/report', {}, 400, 'validation-failed'],
    [`/v1/periods/${closed}/report?format=xlsx`, {}, 400, 'validation-failed'],
    [`/v1/periods/${closed}/report?face=pdf`, {}, 400, 'validation-failed'],
    [`/v1/periods/${closed}/report`, { accept: 'application/vnd.ms-excel' }, 406, 'not-acceptable'],
    ['/v1/periods?cursor=nowhere', {}, 400, 'cursor-malformed'],
    [`/v1/operations?periodId=${UNKNOWN}&cursor=nowhere`, {}, 400, 'cursor-malformed'],
  ];
  const before = await service.rowCounts();
  for (const [path, headers, status, code] of refusals) {
    const refused = await service.call('get', path, { key: floor.key, headers });
    expect([path, refused.status, problemOf(refused).code]).toEqual([path, status, code]);
  }
  expect(await service.rowCounts()).toEqual(before);
});
