import { Pool } from 'pg';
import { SteppableClock } from '../../src/platform/clock.js';
import { APRIL_2 } from '../support/full-producer.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// A change of strength reaches goods on an account that is opened between its reading and its posting.

const litres = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });
const certified = (value: number) => ({
  method: 'certificate',
  certificate: { strength: percent(value), expandedUncertainty: percent(0.1), coverageFactor: 2 },
});

let [service, other]: TestService[] = [];
let database: Pool;
beforeAll(async () => {
  const clock = new SteppableClock(APRIL_2);
  service = await TestService.start({ clock });
  // A process of its own, so that neither waits for the other before the database does.
  other = await TestService.start({ clock, database: service.database });
  database = new Pool({ connectionString: service.database.superuserUrl, max: 2 });
});
afterAll(async () => {
  await database.end();
  await other.app.close();
  await other.client.$disconnect();
  await service.stop();
});

/** Waits until so many sessions wait for a lock. */
async function waiting(count: number): Promise<void> {
  for (let tries = 0; tries < 500; tries += 1) {
    const { rows } = await database.query<{ n: number }>(
      `SELECT count(*)::int AS n FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'`,
    );
    if (rows[0].n >= count) return;
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  throw new Error(`${count} sessions do not wait for a lock`);
}

async function releasedKeg(floor: Floor): Promise<{ lotId: string; packagedLotId: string }> {
  const [vesselId, lotId] = [await floor.vessel('T'), await floor.lot('mixed-drink')];
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: litres(100),
    standardUncertainty: litres(0.5),
    occurredAt: '2026-04-01T08:00:00Z',
  });
  await floor.post(`/v1/lots/${lotId}/findings`, { ...certified(5), occurredAt: '2026-04-01T09:00:00Z' });
  const { packagedLotId } = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'keg',
    nominalVolume: litres(20),
    count: 1,
    declaredStrength: percent(5),
    occurredAt: '2026-04-01T10:00:00Z',
  });
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId,
    count: 1,
    occurredAt: '2026-04-01T11:00:00Z',
  });
  return { lotId, packagedLotId: String(packagedLotId) };
}

/** Sends it now; fails if it is refused. */
const sent = (to: TestService, path: string, { key }: Floor, body: object): Promise<unknown> =>
  to.expect(201, 'post', path, { key, body });

test('a keg that comes back while a finding is computed has the new strength', async () => {
  const floor = await Floor.open(service, [['2026-04-01', '2026-05-01']]);
  const { lotId, packagedLotId } = await releasedKeg(floor);
  const holder = await database.connect();
  try {
    await holder.query('BEGIN');
    await holder.query('SELECT 1 FROM producer_head WHERE producer_id = $1 FOR UPDATE', [floor.producerId]);
    const returned = sent(other, '/v1/movements', floor, {
      kind: 'return',
      packagedLotId,
      volume: litres(10),
      dutyStatus: 'paid',
      occurredAt: '2026-04-01T12:00:00Z',
      counterparty: 'Harbour Inn (invented)',
    });
    await waiting(1);
    const found = sent(service, `/v1/lots/${lotId}/findings`, floor, {
      ...certified(6),
      occurredAt: '2026-04-01T13:00:00Z',
    });
    await waiting(2);
    await holder.query('COMMIT');
    await Promise.all([returned, found]);
  } finally {
    holder.release();
  }
  const { items } = (await floor.get('/v1/accounts?limit=200')) as { items: Record<string, unknown>[] };
  const paid = items.find((each) => each.dutyStatus === 'paid' && each.packagedLotId === packagedLotId);
  expect(paid).toMatchObject({ litres: { value: 10 }, fermented: { value: 0.6 } });
  expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true, faults: [] });
});
