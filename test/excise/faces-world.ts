import { randomUUID } from 'node:crypto';
import { Calendar } from '../../src/demo/client/calendar.js';
import { logbook } from '../../src/demo/logbook/logbook.js';
import type { Transport } from '../../src/demo/client/transport.js';
import { World } from '../../src/demo/client/world.js';
import type { SteppableClock } from '../../src/platform/clock.js';
import type { TestService } from '../support/service.js';

const METHODS = { GET: 'get', POST: 'post', PATCH: 'patch' } as const;

/** The two invented months, both closed, entered in the time of the events. */
export async function playedMonths(
  service: TestService,
  clock: SteppableClock,
  now: Date,
): Promise<{ key: string; world: World }> {
  const calendar = new Calendar(now, 'Europe/London');
  clock.set(new Date(calendar.at(0, 1, '06:30')));
  const { key } = await service.app
    .get(service.program.ProducersService)
    .found({ name: 'Mill Lane Drinks (invented)', simulated: true });
  const transport: Transport = async ({ method, path, headers, body }) => {
    const call = service.call(METHODS[method], path, { headers });
    const answer = await (body === undefined ? call : call.type('application/json').send(body));
    return { status: answer.status, text: answer.text };
  };
  const world = new World({ transport, key, runId: randomUUID(), calendar });
  for (const entry of logbook(world, { closeSecond: true }).entries) {
    clock.set(new Date(Math.max(clock.now().getTime(), Date.parse(entry.at) + 60_000)));
    await entry.run();
  }
  return { key, world };
}
