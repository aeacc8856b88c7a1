import { SteppableClock } from '../../src/platform/clock.js';
import { AppSession } from '../support/app-session.js';
import { Floor } from '../support/floor.js';
import { APRIL_2, MARCH } from '../support/full-producer.js';
import { TestService } from '../support/service.js';

let service: TestService;
let app: AppSession;
let mine: string;
let theirs: string;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  mine = (await Floor.open(service, [MARCH])).producerId;
  theirs = (await Floor.open(service, [MARCH])).producerId;
  app = await AppSession.open(service.database.appUrl);
});
afterAll(async () => {
  await app.close();
  await service.stop();
});

const at = `'2026-04-02T08:00:01Z'::timestamptz`;
const FUNCTIONS = [
  `post($1, '{}', ${at}, '{}', '{}')`,
  `settings_open($1, ${at}, '{}', '{}')`,
  `settings_close($1, '{"version":1}', '{}')`,
  `hold_head($1)`,
  `forget_person($1, gen_random_uuid())`,
];

test('a write for one producer out of a session that sees another is refused, whichever way it begins', async () => {
  const before = await service.rowCounts();
  await app.as(mine, async () => {
    for (const call of FUNCTIONS) {
      const refused = await app.client
        .query('SAVEPOINT s')
        .then(() => app.client.query(`SELECT ${call}`, [theirs]))
        .then(
          () => 'allowed',
          (error: Error) => error.message,
        );
      await app.client.query('ROLLBACK TO s');
      expect([call, refused]).toEqual([call, 'GAUGEBOOK {"code": "wrong-producer"}']);
    }
  });
  expect(await service.rowCounts()).toEqual(before);
});

test('for the producer that the session sees, or out of one that sees none, it is taken', async () => {
  for (const session of [mine, undefined, '']) {
    await app.as(session, async () => {
      expect(await app.refusal(`SELECT hold_head($1)`, mine)).toBe('allowed: 1 rows');
      expect(await app.refusal(`SELECT settings_open($1, ${at}, '{}', '{}')`, mine)).toBe('allowed: 1 rows');
    });
  }
});
