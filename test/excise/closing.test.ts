import { createHash } from 'node:crypto';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { clientOf } from '../support/http.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
const clock = new SteppableClock(new Date('2026-04-02T08:00:00Z'));
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const QUARTER: [string, string][] = [
  ['2026-01-01', '2026-02-01'],
  ['2026-02-01', '2026-03-01'],
  ['2026-03-01', '2026-04-01'],
];

interface Producer {
  floor: Floor;
  periods: string[];
  bottles: string;
}

async function quarter(count = 1000, periods = QUARTER): Promise<Producer> {
  const floor = await Floor.open(service, periods);
  const { packaged } = await openStock(
    floor,
    `${periods[0][0]}T08:00:00Z`,
    [],
    [{ mark: 'B-1', category: 'beer', count, nominalLitres: 0.33, declaredPercent: 4.5, percent: 4.6, strengthU: 0.1 }],
  );
  const listed = (await floor.get('/v1/periods')).items as { id: string }[];
  return { floor, periods: listed.map(({ id }) => id), bottles: packaged[0] };
}

const release = (bottles: string, count: number, occurredAt: string) => ({
  kind: 'release',
  packagedLotId: bottles,
  count,
  occurredAt,
});
const close = (floor: Floor, id: string, headers: Record<string, string> = {}) =>
  service.call('post', `/v1/periods/${id}/closing`, { key: floor.key, headers });
const bytesOf = async (floor: Floor, id: string): Promise<string> =>
  (await service.expect(200, 'get', `/v1/periods/${id}/report`, { key: floor.key })).text;
const reportOf = async (floor: Floor, id: string) => JSON.parse(await bytesOf(floor, id)) as PeriodReport;

test('three months: each opens on what the last one closed on, in order, and stays byte for byte what it was', async () => {
  const { floor, periods, bottles } = await quarter();
  const [january, february, march] = periods;
  await floor.post('/v1/movements', release(bottles, 10, '2026-01-15T12:00:00Z'));
  await floor.post('/v1/movements', release(bottles, 20, '2026-02-15T12:00:00Z'));
  await floor.post('/v1/movements', release(bottles, 30, '2026-03-15T12:00:00Z'));

  const openFebruary = await reportOf(floor, february);
  expect(openFebruary.opening.source).toBe('open-period');
  const early = await close(floor, february);
  expect([early.status, problemOf(early).code]).toEqual([409, 'conflict']);

  const closed = await close(floor, january);
  expect(closed.status).toBe(201);
  const bytes = await bytesOf(floor, january);
  expect(createHash('sha256').update(bytes).digest('hex')).toBe(closed.body.reportHash);
  const frozen = JSON.parse(bytes) as PeriodReport;
  expect(frozen.status).toBe('closed');
  expect(frozen.closing.litres.value).toBe(326.7);
  expect({ sequence: frozen.trail.sequence, hash: frozen.trail.hash }).toEqual(closed.body.head);

  for (const [id, before] of [
    [february, january],
    [march, february],
  ]) {
    const answer = await close(floor, id);
    expect(answer.status).toBe(201);
    const [now, then] = [await reportOf(floor, id), await reportOf(floor, before)];
    const { source, periodId, reportHash, ...figures } = now.opening;
    expect({ source, periodId }).toEqual({ source: 'frozen-report', periodId: before });
    expect(reportHash).toBe(
      createHash('sha256')
        .update(await bytesOf(floor, before))
        .digest('hex'),
    );
    expect(figures).toEqual(then.closing);
    expect(now.reconciliation.balances).toBe(true);
    expect(now.opening.expandedUncertainty).toEqual(then.closing.expandedUncertainty);
  }
  expect((await reportOf(floor, march)).closing.litres.value).toBe(310.2);
  // What is drawn in February and later does not reach back into January.
  expect(frozen.closing.litresOfPureAlcohol.value).toBe(15.0282);
  expect(openFebruary.opening.litres).toEqual(frozen.closing.litres);

  expect(await bytesOf(floor, january)).toBe(bytes);
  const period = await floor.get(`/v1/periods/${january}`);
  expect(period).toMatchObject({ state: 'closed', report: { hash: closed.body.reportHash } });
  const { createApp, AppModule } = service.program;
  const again = await createApp({
    root: AppModule.with({ client: service.client, clock, tenancy: { requestsPerMinute: 1_000_000 } }),
  });
  const restarted = await clientOf(again)
    .get(`/v1/periods/${january}/report`)
    .set('authorization', `Bearer ${floor.key}`);
  await again.close();
  expect(restarted.text).toBe(bytes);
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
});

test('an entry into a closed period, before the first or after the last one is refused and nothing is stored', async () => {
  const { floor, periods, bottles } = await quarter();
  expect((await close(floor, periods[0])).status).toBe(201);
  const before = await service.rowCounts();
  const refusals = [
    ['2026-01-15T12:00:00Z', 'period-closed'],
    ['2026-01-31T23:59:59.999Z', 'period-closed'],
    ['2025-12-31T23:59:59.999Z', 'period-not-open'],
    ['2026-04-01T00:00:00Z', 'period-not-open'],
  ];
  for (const [occurredAt, code] of refusals) {
    const body = release(bottles, 1, occurredAt);
    const refused = await service.call('post', '/v1/movements', { key: floor.key, body });
    expect([occurredAt, refused.status, problemOf(refused).code]).toEqual([occurredAt, 409, code]);
  }
  expect(await service.rowCounts()).toEqual(before);
  await floor.post('/v1/movements', release(bottles, 1, '2026-02-01T00:00:00Z'));
});

test('a period is closed after its end only, once only, and by who may', async () => {
  const { floor, periods } = await quarter(10, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const brewer = await floor.post('/v1/keys', { name: 'Brewer', role: 'brewer' });
  const may = await service.call('post', `/v1/periods/${periods[0]}/closing`, { key: String(brewer.key) });
  expect(problemOf(may).code).toBe('forbidden');
  expect((await close(floor, periods[0])).status).toBe(201);
  const twice = await close(floor, periods[0]);
  expect([twice.status, problemOf(twice).code]).toEqual([409, 'period-closed']);
  const before = await service.rowCounts();
  const early = await close(floor, periods[1]);
  expect([early.status, problemOf(early).code]).toEqual([409, 'period-not-ended']);
  const unknown = await close(floor, '018f0000-0000-7000-8000-000000000000');
  expect(unknown.status).toBe(404);
  expect(await service.rowCounts()).toEqual(before);
});

test('closings at once make one report; the same key replays it', async () => {
  const { floor, periods } = await quarter();
  const answers = await Promise.all(Array.from({ length: 8 }, () => close(floor, periods[0])));
  expect(answers.map(({ status }) => status).sort()).toEqual([201, ...Array.from({ length: 7 }, () => 409)]);
  answers.filter(({ status }) => status === 409).forEach((each) => expect(problemOf(each).code).toBe('period-closed'));
  const keyed = await Promise.all(
    Array.from({ length: 8 }, () => close(floor, periods[1], { 'idempotency-key': 'close-february' })),
  );
  const hashes = new Set(keyed.map(({ body }) => (body as { reportHash: string }).reportHash));
  expect([keyed.map(({ status }) => status), hashes.size]).toEqual([Array.from({ length: 8 }, () => 201), 1]);
  expect(keyed.filter(({ headers }) => headers['idempotency-replayed'] === 'true')).toHaveLength(7);
});

test('closing races with fifty postings: each is in the frozen report or refused', async () => {
  const { floor, periods, bottles } = await quarter();
  const posts = Array.from({ length: 50 }, (_, n) =>
    service.call('post', '/v1/movements', {
      key: floor.key,
      body: release(bottles, 1, `2026-01-15T12:00:${String(n).padStart(2, '0')}Z`),
    }),
  );
  const [closing, ...answers] = await Promise.all([
    new Promise((resolve) => setTimeout(resolve, 60)).then(() => close(floor, periods[0])),
    ...posts,
  ]);
  expect(closing.status).toBe(201);
  const taken = answers.filter(({ status }) => status === 201).map(({ body }) => (body as { id: string }).id);
  const refused = answers.filter(({ status }) => status !== 201);
  refused.forEach((each) => expect(problemOf(each).code).toBe('period-closed'));
  const report = await reportOf(floor, periods[0]);
  expect(new Set(report.duty.releases.map(({ operationId }) => operationId))).toEqual(new Set(taken));
  expect(report.duty.releases).toHaveLength(50 - refused.length);
  expect(report.reconciliation.balances).toBe(true);
});

/** What the database's owner can do and nobody else: change a row behind the triggers. */
const asOwner = (producerId: string, table: string, change: string) =>
  withConnection(service.database.ownerUrl, async (connection) => {
    await connection.query(`SELECT set_config('app.producer', '${producerId}', false)`);
    await connection.query(`ALTER TABLE ${table} DISABLE TRIGGER USER`);
    const { rowCount } = await connection.query(change);
    await connection.query(`ALTER TABLE ${table} ENABLE TRIGGER USER`);
    return rowCount;
  });

test('one posting altered as the owner makes closing refuse, and the check names it', async () => {
  const { floor, periods, bottles } = await quarter();
  const moved = await floor.post('/v1/movements', release(bottles, 10, '2026-01-15T12:00:00Z'));
  const changed = await asOwner(
    floor.producerId,
    'posting',
    `UPDATE posting SET litres = litres - 0.000001 WHERE operation_id = '${String(moved.id)}' AND litres < 0`,
  );
  expect(changed).toBe(1);
  const before = await service.rowCounts();
  const refused = await close(floor, periods[0]);
  expect([refused.status, problemOf(refused).code]).toEqual([409, 'trail-broken']);
  expect(JSON.stringify(refused.body)).toContain(`posting ${String(moved.id)} line`);
  const check = await floor.get(`/v1/periods/${periods[0]}/closing-check`);
  expect(check.ready).toBe(false);
  const findings = check.findings as { code: string; blocks: boolean; detail: string }[];
  expect(findings.filter(({ code }) => code === 'trail-fault').map(({ detail }) => detail)).toEqual(
    expect.arrayContaining([expect.stringContaining(`posting ${String(moved.id)} line`)]),
  );
  expect(await service.rowCounts()).toEqual(before);
});

test('a whole operation and its balances altered alike still differ from the trail', async () => {
  const { floor, periods, bottles } = await quarter();
  const moved = await floor.post('/v1/movements', release(bottles, 10, '2026-01-15T12:00:00Z'));
  await asOwner(
    floor.producerId,
    'posting',
    `UPDATE posting SET litres = 2 * litres WHERE operation_id = '${String(moved.id)}'`,
  );
  await asOwner(
    floor.producerId,
    'balance',
    `UPDATE balance b SET litres = (SELECT sum(p.litres) FROM posting p WHERE p.producer_id = b.producer_id AND p.account_id = b.account_id)`,
  );
  const refused = await close(floor, periods[0]);
  expect([refused.status, problemOf(refused).code]).toEqual([409, 'trail-broken']);
});

test('a balance that is not its postings is a fault, and a frozen report altered is one too', async () => {
  const { floor, periods } = await quarter();
  await asOwner(floor.producerId, 'balance', `UPDATE balance SET litres = litres + 1 WHERE litres > 0`);
  const refused = await close(floor, periods[0]);
  expect(problemOf(refused).code).toBe('trail-broken');
  await asOwner(floor.producerId, 'balance', `UPDATE balance SET litres = litres - 1 WHERE litres > 0`);
  expect((await close(floor, periods[0])).status).toBe(201);
  await asOwner(floor.producerId, 'report', `UPDATE report SET bytes = replace(bytes, '"beer"', '"bear"')`);
  const next = await close(floor, periods[1]);
  expect(problemOf(next).code).toBe('trail-broken');
  expect(JSON.stringify(next.body)).toContain('report ');
});

test('the check before closing lists what is open, unexplained or late', async () => {
  const floor = await Floor.open(service, [
    ['2026-02-01', '2026-03-01'],
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const { packaged } = await openStock(
    floor,
    '2026-02-01T08:00:00Z',
    [{ vessel: 'F1', category: 'cider', litres: 100, volumeU: 0.5 }],
    [{ mark: 'B', category: 'beer', count: 10, nominalLitres: 0.33, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  await floor.post('/v1/movements', release(packaged[0], 1, '2026-02-10T12:00:00Z'));
  const [february, march, april] = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  const codes = async (id: string) => {
    const check = await floor.get(`/v1/periods/${id}/closing-check`);
    const findings = check.findings as { code: string; blocks: boolean }[];
    return [check.ready, findings.map(({ code }) => code)];
  };
  expect(await codes(february)).toEqual([true, ['in-process-without-finding', 'late-entries', 'head-incomplete']]);
  expect(await codes(march)).toEqual([false, ['earlier-period-open', 'in-process-without-finding', 'head-incomplete']]);
  expect(await codes(april)).toEqual([
    false,
    ['not-ended', 'earlier-period-open', 'in-process-without-finding', 'head-incomplete'],
  ]);
  expect((await close(floor, february)).status).toBe(201);
  expect(await codes(february)).toEqual([false, ['already-closed', 'in-process-without-finding', 'late-entries']]);
  expect(await codes(march)).toEqual([true, ['in-process-without-finding', 'head-incomplete']]);
});
