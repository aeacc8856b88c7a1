import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { readFileSync, writeFileSync } from 'node:fs';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { OpenApiDocument } from '../../src/platform/openapi/document.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';

interface Example {
  summary: string;
  value: Record<string, unknown>;
}
interface ExampleCase {
  path: string;
  name: string;
  summary: string;
  request: Record<string, unknown>;
  response: Record<string, unknown>;
}

let app: NestFastifyApplication;
let cases: ExampleCase[];

const PATHS = [
  'alcohol-water',
  'extract',
  'hydrometer-correction',
  'strength',
  'dilution',
  'blend',
  'carbonation',
  'conformity',
  'plan',
  'original-extract',
  'mixture',
  'addition',
  'conditioning',
  'volume',
  'proof',
  'energy',
  'uncertainty',
  'comparison',
  'model-bias',
  'fill-check',
];

/** The examples as the document shows them, request beside response. */
function examplesIn(document: unknown): ExampleCase[] {
  const { paths } = document as { paths: Record<string, { post?: Record<string, unknown> }> };
  return PATHS.flatMap((path) => {
    const operation = paths[`/v1/calculations/${path}`].post as {
      requestBody: { content: Record<string, { examples: Record<string, Example> }> };
      responses: Record<string, { content: Record<string, { examples: Record<string, Example> }> }>;
    };
    const requests = operation.requestBody.content['application/json'].examples;
    const responses = operation.responses['200'].content['application/json'].examples;
    expect(Object.keys(responses)).toEqual(Object.keys(requests));
    return Object.entries(requests).map(([name, { summary, value }]) => ({
      path,
      name,
      summary,
      request: value,
      response: responses[name].value,
    }));
  });
}

/** Compares two JSON values, numbers to 1e-9 relative. */
function expectClose(got: unknown, wanted: unknown, place: string): void {
  if (typeof wanted === 'number' && typeof got === 'number') {
    const error = Math.abs(got - wanted);
    expect([place, error <= 1e-9 * Math.max(Math.abs(wanted), 1e-6)]).toEqual([place, true]);
    return;
  }
  if (typeof wanted !== 'object' || wanted === null || typeof got !== 'object' || got === null) {
    expect([place, got]).toEqual([place, wanted]);
    return;
  }
  expect([place, Object.keys(got).sort()]).toEqual([place, Object.keys(wanted).sort()]);
  for (const [key, value] of Object.entries(wanted)) {
    expectClose((got as Record<string, unknown>)[key], value, `${place}/${key}`);
  }
}

/** With UPDATE_EXAMPLES=1 the answers in the source are written anew; the difference is then read by a person. */
async function rewrite(path: string): Promise<void> {
  const file = new URL(`../../src/calculations/examples/${path}.ts`, import.meta.url);
  const head = readFileSync(file, 'utf8').split('= {', 1)[0];
  const entries: Record<string, object> = {};
  for (const { name, summary, request } of cases.filter((each) => each.path === path)) {
    const { body } = await clientOf(app).post(`/v1/calculations/${path}`).send(request);
    entries[name] = { summary, request, response: body as object };
  }
  writeFileSync(file, `${head}= ${JSON.stringify(entries, null, 2)};\n`);
}

beforeAll(async () => {
  app = await bootModules(PlatformModule, CalculationsModule);
  cases = examplesIn(app.get(OpenApiDocument).get());
  if (process.env['UPDATE_EXAMPLES'] === '1') {
    for (const path of PATHS) await rewrite(path);
  }
});
afterAll(async () => {
  await app.close();
});

test.each(PATHS)('the examples of %s give the answers that the document shows', async (path) => {
  const ofPath = cases.filter((each) => each.path === path);
  expect(ofPath.length).toBeGreaterThan(0);
  for (const { name, request, response } of ofPath) {
    const answer = await clientOf(app).post(`/v1/calculations/${path}`).send(request);
    expect([name, answer.status]).toEqual([name, 200]);
    expectClose(answer.body, response, `${path}/${name}`);
    expect(answer.body).toMatchObject({
      method: { id: expect.any(String), version: expect.any(String), source: expect.any(String) },
      warnings: expect.any(Array),
    });
  }
});

test('every route of the calculations has its examples here', () => {
  const { paths } = app.get(OpenApiDocument).get() as unknown as { paths: Record<string, unknown> };
  const routes = Object.keys(paths).flatMap((path) => /^\/v1\/calculations\/(.+)$/.exec(path)?.[1] ?? []);
  expect(routes.sort()).toEqual([...PATHS].sort());
});

test('every method of strength has its example', () => {
  const methods = cases.filter(({ path }) => path === 'strength').map(({ request }) => request['method']);
  expect(new Set(methods)).toEqual(
    new Set(['mass-balance', 'gravity-drop-table', 'alcohol-density', 'alcoholometer', 'certificate']),
  );
});

test('every method that answers stands on the reference page of the documentation', () => {
  const page = readFileSync(new URL('../../docs/methods.md', import.meta.url), 'utf8');
  const ids = new Set(cases.map(({ response }) => (response['method'] as { id: string }).id));
  expect(ids.size).toBeGreaterThan(20);
  expect([...ids].filter((id) => !page.includes(`\`${id}\``))).toEqual([]);
});
