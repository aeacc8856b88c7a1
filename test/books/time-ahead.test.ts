import { readFile } from 'node:fs/promises';
import { AHEAD_MS, occurredAtOf } from '../../src/ledger/books/event.js';
import { COVERAGE_FACTOR } from '../../src/ledger/figures/figure.js';
import { coverageFactorOf } from '../../src/metrology/student.js';

const NOW = new Date('2026-04-02T09:00:00.000Z');

test('an event may lie five minutes ahead of the clock and not one millisecond more', () => {
  expect(occurredAtOf('2026-04-02T09:05:00.000Z', NOW)).toEqual(new Date('2026-04-02T09:05:00.000Z'));
  expect(() => occurredAtOf('2026-04-02T09:05:00.001Z', NOW)).toThrow('more than five minutes');
  expect(occurredAtOf(undefined, NOW)).toEqual(NOW);
});

test('the program and the database hold the same limit for times ahead', async () => {
  const post = await readFile('prisma/sql/50_post.sql', 'utf8');
  const minutes = [...post.matchAll(/occurred_at > v_at \+ interval '(\d+) minutes'/g)].map(([, each]) => Number(each));
  expect(minutes.map((each) => each * 60_000)).toEqual([AHEAD_MS]);
});

test('totals and findings without a limit of degrees of freedom have one coverage factor', () => {
  expect(COVERAGE_FACTOR).toBe('1.959964');
  expect(coverageFactorOf(Infinity)).toBeCloseTo(Number(COVERAGE_FACTOR), 6);
});
