import { SteppableClock } from '../src/platform/clock.js';
import { OPERATOR_KEY, TestService } from './support/service.js';

interface Operation {
  readonly operationId: string;
  readonly requestBody?: {
    readonly content: Readonly<Record<string, { readonly examples?: Readonly<Record<string, { value: object }>> }>>;
  };
}
interface Example {
  readonly operationId: string;
  readonly method: 'post' | 'patch' | 'put';
  readonly path: string;
  readonly values: readonly object[];
}

let service: TestService;
let bodies: Example[];
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  const { body } = await service.expect(200, 'get', '/openapi.json');
  const { paths } = body as { paths: Record<string, Record<string, Operation>> };
  bodies = Object.entries(paths).flatMap(([path, operations]) =>
    (['post', 'patch', 'put'] as const).flatMap((method) => {
      const json = operations[method]?.requestBody?.content['application/json'];
      return json === undefined
        ? []
        : [
            {
              operationId: operations[method].operationId,
              method,
              path,
              values: Object.values(json.examples ?? {}).map(({ value }) => value),
            },
          ];
    }),
  );
});
afterAll(() => service.stop());

test('every request body has an example', () => {
  expect(bodies.length).toBeGreaterThan(60);
  expect(bodies.filter(({ values }) => values.length === 0).map(({ operationId }) => operationId)).toEqual([]);
});

test('every example is a body that its route takes: it is refused for the ids that are not there, never for what it says', async () => {
  const { key } = await service.newProducer();
  const refused: string[] = [];
  for (const { operationId, method, path, values } of bodies) {
    for (const value of values) {
      const address = path.replace(/\{[a-z]+\}/gi, '0197a5b0-0000-7000-8000-000000000099');
      const isOperators = path === '/v1/producers' || path.startsWith('/v1/producers/');
      const response = await service.call(method, address, { key: isOperators ? OPERATOR_KEY : key, body: value });
      // Not found, in conflict with an empty producer, or without the ETag of what it changes: the body itself was taken.
      if (![200, 201, 404, 409, 412, 428].includes(response.status)) {
        refused.push(`${operationId}: ${response.status} ${JSON.stringify(response.body)}`);
      }
    }
  }
  expect(refused).toEqual([]);
});
