import { readFileSync } from 'node:fs';

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');

const rows = read('docs/officer-questions.md')
  .split('\n')
  .flatMap((line) => /^\| +(\d+) +\| (.+?) +\| (.+?) +\|$/.exec(line) ?? [])
  .filter((_, index) => index % 4 === 1);

test('the page has the twenty questions, and each is run', () => {
  expect(rows.map(Number)).toEqual(Array.from({ length: 20 }, (_, index) => index + 1));
  const tests = read('test/officer/figures.test.ts') + read('test/officer/records.test.ts');
  const asked = [...tests.matchAll(/^test\('(\d+):/gm)].map(([, number]) => number);
  expect(asked.map(Number).sort((a, b) => a - b)).toEqual(rows.map(Number));
});

test('every call that the page names is there', () => {
  const { paths } = JSON.parse(read('openapi/openapi.json')) as { paths: Record<string, { get?: unknown }> };
  const calls = [...read('docs/officer-questions.md').matchAll(/`GET (\/v1[^`?]*)/g)].map(([, path]) => path);
  expect(calls.length).toBeGreaterThan(15);
  for (const path of calls) expect([path, paths[path]?.get !== undefined]).toEqual([path, true]);
});
