import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { TestService } from '../support/service.js';

const FOR_MS = 3_000;
const AT_ONCE = 64;

test('two producers interleaved over a pool of two: nobody is answered with the other’s', async () => {
  const service = await TestService.start({ clock: new SteppableClock(APRIL_2), poolSize: 2 });
  try {
    const both = [await fullProducer(service, 'A-LOT'), await fullProducer(service, 'B-LOT')];
    const marks = both.map(({ floor, ids }) => [floor.producerId, ...Object.values(ids)]);
    const until = Date.now() + FOR_MS;
    let answers = 0;
    const ask = ({ floor, ids }: FullProducer, turn: number) => {
      const { key } = floor;
      switch (turn % 6) {
        case 0:
          return service.call('get', '/v1/producer', { key });
        case 1:
          return service.call('get', '/v1/lots', { key });
        case 2:
          return service.call('get', '/v1/operations', { key });
        case 3:
          return service.call('post', '/v1/people', { key, body: { name: 'X' } });
        case 4:
          return service.call('get', `/v1/lots/${ids.lots}/readings`, { key });
        default:
          return service.call('post', `/v1/lots/${ids.lots}/readings`, {
            key,
            body: { kind: 'temperature', quantity: { value: 20, unit: 'Cel' }, vesselId: ids.vessels },
          });
      }
    };
    const caller = async (start: number): Promise<void> => {
      for (let turn = start; Date.now() < until; turn += 1) {
        const who = turn % 2;
        const answer = await ask(both[who], Math.floor(turn / 2));
        answers += 1;
        // So many at once may have to wait too long for one of two connections; a refusal is no bleed.
        expect([200, 201, 503]).toContain(answer.status);
        const others = marks[1 - who].filter((mark) => answer.text.includes(mark));
        expect(others).toEqual([]);
        if (answer.status === 200 && Math.floor(turn / 2) % 6 === 0) {
          expect(answer.body.id).toBe(both[who].floor.producerId);
        }
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, (_, n) => caller(n * 7)));
    expect(answers).toBeGreaterThan(AT_ONCE);
    for (const { floor } of both) {
      await expectBooksHold(service, floor.producerId, floor.key);
    }
  } finally {
    await service.stop();
  }
}, 120_000);
