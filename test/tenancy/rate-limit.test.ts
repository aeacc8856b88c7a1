import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ requestsPerMinute: 3 });
});
afterAll(() => service.stop());

const numberIn = (headers: Record<string, string>, name: string): number => Number(headers[name]);

test('a key has its number of requests in a minute; then 429 says when to go on, and another key is not touched', async () => {
  const [first, second] = [await service.newProducer('First'), await service.newProducer('Second')];
  const ask = (key: string) => service.call('get', '/v1/producer', { key });
  for (const remaining of [2, 1, 0]) {
    const { status, headers } = await ask(first.key);
    expect([status, numberIn(headers, 'ratelimit-limit'), numberIn(headers, 'ratelimit-remaining')]).toEqual([
      200,
      3,
      remaining,
    ]);
    expect(numberIn(headers, 'ratelimit-reset')).toBeGreaterThan(0);
    expect(numberIn(headers, 'ratelimit-reset')).toBeLessThanOrEqual(60);
  }
  const refused = await ask(first.key);
  expect([refused.status, (JSON.parse(refused.text) as { code: string }).code]).toEqual([429, 'rate-limited']);
  expect(numberIn(refused.headers, 'retry-after')).toBe(numberIn(refused.headers, 'ratelimit-reset'));
  expect(numberIn(refused.headers, 'ratelimit-remaining')).toBe(0);
  expect((await ask(second.key)).status).toBe(200);
});
