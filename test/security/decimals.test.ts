import { SteppableClock } from '../../src/platform/clock.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import type { ProblemBody } from '../support/problem.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { otherForms, writeBodies } from '../support/write-bodies.js';

let service: TestService;
let own: FullProducer;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  own = await fullProducer(service);
});
afterAll(() => service.stop());

/** The sum of 0.1 and 0.2 as a double (IEEE 754); 17 significant digits. */
const SUM = 0.1 + 0.2;

type Path = readonly (string | number)[];

/** The paths of all numbers of a body. */
function numbersIn(value: unknown, path: Path = []): Path[] {
  if (typeof value === 'number') return [path];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) => numbersIn(inner, [...path, name]));
}

/** A copy of a body with one of its values replaced. */
function withValue(body: unknown, [first, ...rest]: Path, value: unknown): unknown {
  if (first === undefined) return value;
  if (Array.isArray(body)) {
    return body.map((entry: unknown, index) => (String(index) === first ? withValue(entry, rest, value) : entry));
  }
  const object = body as Record<string, unknown>;
  return { ...object, [first]: withValue(object[String(first)], rest, value) };
}

test('no number of a write is taken with 17 decimals: it is refused by its own name, and nothing is stored', async () => {
  const forms = [
    ...Object.entries(writeBodies(own)).map(([route, body]) => ({ route, body })),
    ...otherForms(own),
    // A plan computes and stores nothing.
  ].filter(({ route }) => !route.endsWith('/plans'));
  const counts = await service.rowCounts();
  const taken: string[] = [];
  let asked = 0;
  for (const { route, body } of forms) {
    const [method, path] = route.split(' ');
    const resource = path.split('/')[2];
    const address = path.replace('{id}', own.ids[resource as keyof FullProducer['ids']]);
    for (const number of numbersIn(body)) {
      const call = service.call(method.toLowerCase() as 'post' | 'patch', address, { key: own.floor.key });
      const answer = await call.send(withValue(body, number, SUM) as object);
      const pointer = `/${number.join('/')}`;
      const errors = answer.status >= 400 ? ((problemOf(answer) as ProblemBody).errors ?? []) : [];
      asked++;
      if (!errors.some((error) => error.pointer === pointer)) {
        taken.push(`${route} ${pointer}: ${answer.status} ${answer.text.slice(0, 200)}`);
      }
    }
  }
  expect(taken).toEqual([]);
  expect(asked).toBeGreaterThan(50);
  expect(await service.rowCounts()).toEqual(counts);
});

test('a computation takes what a double holds, 17 digits and all, and its own answer', async () => {
  const ask = (body: object) =>
    service.call('post', '/v1/calculations/alcohol-water', { key: own.floor.key }).send(body);
  const temperature = { value: 20, unit: 'Cel' };
  const first = await ask({ temperature, volumeFraction: { value: SUM, unit: '%' } });
  expect([first.status, first.text]).toEqual([200, expect.any(String)]);
  const { massFraction } = first.body as { massFraction: { value: number; unit: string } };
  expect((await ask({ temperature, massFraction })).status).toBe(200);
});
