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

test('every value that the page names is one of the answers', () => {
  const { components } = JSON.parse(read('openapi/openapi.json')) as { components: { schemas: unknown } };
  const known = new Set<string>();
  const collect = (node: unknown): void => {
    if (typeof node !== 'object' || node === null) return;
    const { properties = {}, enum: values = [] } = node as { properties?: object; enum?: unknown[] };
    for (const each of [...Object.keys(properties), ...values.map(String)]) known.add(each);
    Object.values(node).forEach(collect);
  };
  collect(components.schemas);
  const named = [...read('docs/officer-questions.md').matchAll(/`([a-z][A-Za-z.[\]-]*)`/g)].map(([, name]) => name);
  expect(named.length).toBeGreaterThan(30);
  const formats = ['csv', 'zip'];
  for (const name of named.filter((each) => !formats.includes(each))) {
    const parts = name.split('.').map((part) => part.replace('[]', ''));
    expect([name, parts.filter((part) => !known.has(part))]).toEqual([name, []]);
  }
});
