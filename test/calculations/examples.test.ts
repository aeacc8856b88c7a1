import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { readFileSync } from 'node:fs';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { OpenApiDocument } from '../../src/platform/openapi/document.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';
import { readReferenceJson } from '../support/reference-files.js';

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
  'brewing-water',
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

beforeAll(async () => {
  app = await bootModules(PlatformModule, CalculationsModule);
  cases = examplesIn(await app.get(OpenApiDocument).get());
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

test('every route of the calculations has its examples here', async () => {
  const { paths } = (await app.get(OpenApiDocument).get()) as unknown as { paths: Record<string, unknown> };
  const routes = Object.keys(paths).flatMap((path) => /^\/v1\/calculations\/(.+)$/.exec(path)?.[1] ?? []);
  expect(routes.sort()).toEqual([...PATHS].sort());
});

interface Published {
  readonly place: string;
  readonly value: number;
  readonly tolerance: number;
  readonly source: string;
}

const { cfr_30_61, cfr_30_64_a, cfr_30_51 } = readReferenceJson<{
  cfr_30_61: { true_proof: number };
  cfr_30_64_a: { wine_gallons: number; proof_gallons: number };
  cfr_30_51: { net_wine_gallons_60F: number; proof_gallons: number };
}>('physics/dilution-examples.json');
const byWeight = '27 CFR 30.64; the printed gallon per pound has five places';
const byVolume = '27 CFR 30.51; the printed factor has three places';

/** Figures of the examples that are published elsewhere, or follow by hand from published constants. `tolerance` is absolute. */
const PUBLISHED: readonly Published[] = [
  {
    place: 'proof/gaugedByWeight/wineGallons/value',
    value: cfr_30_64_a.wine_gallons,
    tolerance: 1e-4 * cfr_30_64_a.wine_gallons,
    source: byWeight,
  },
  {
    place: 'proof/gaugedByWeight/proofGallons',
    value: cfr_30_64_a.proof_gallons,
    tolerance: 1e-4 * cfr_30_64_a.proof_gallons,
    source: byWeight,
  },
  {
    place: 'proof/gaugedByVolume/wineGallons/value',
    value: cfr_30_51.net_wine_gallons_60F,
    tolerance: 5e-4 * cfr_30_51.net_wine_gallons_60F,
    source: byVolume,
  },
  {
    place: 'proof/gaugedByVolume/proofGallons',
    value: cfr_30_51.proof_gallons,
    tolerance: 5e-4 * cfr_30_51.proof_gallons,
    source: byVolume,
  },
  { place: 'proof/hydrometer/proof', value: cfr_30_61.true_proof, tolerance: 0.1, source: '27 CFR 30.61' },
  {
    place: 'strength/gravityDropTable/strength/value',
    value: 38 * 0.13,
    tolerance: 1e-9,
    source: 'HMRC Notice 226, 30.3: a drop of 38.0 points has the factor 0.130',
  },
  { place: 'strength/certificate/uncertainty/standard/value', value: 0.06 / 2, tolerance: 1e-12, source: 'u = U/k' },
  {
    place: 'uncertainty/dominantRectangular/standardUncertainty',
    value: Math.sqrt(3 + 10 ** 2),
    tolerance: 1e-9,
    source: 'JCGM 101, 9.2.4.2',
  },
  {
    place: 'uncertainty/dominantRectangular/expandedUncertainty',
    value: 19.9,
    tolerance: 0.05,
    source: 'JCGM 101, table 4: law of propagation',
  },
  {
    place: 'uncertainty/dominantRectangular/monteCarlo/symmetric/1',
    value: 17,
    tolerance: 0.3,
    source: 'JCGM 101, table 4: 17.0; the tolerance is for 20,000 draws',
  },
  {
    place: 'uncertainty/correlated/coverageFactor',
    value: 4.6,
    tolerance: 0.005,
    source: 'JCGM 100, table G.2, 4 and 99 %',
  },
  {
    place: 'energy/fromExtract/alcohol/value',
    value: 5 * 0.78924,
    tolerance: 0.0005,
    source: '5 mL of ethanol of 789.24 kg/m3 at 20 °C (OIML R 22)',
  },
  {
    place: 'energy/fromAnalysis/energy/0/value',
    value: 29 * 5 * 0.78924 + 17 * 2.8,
    tolerance: 0.01,
    source: 'Regulation (EU) 1169/2011, Annex XIV: 29 kJ/g and 17 kJ/g',
  },
  {
    place: 'carbonation/pressure/dissolved/value',
    value: 2.5 * 1.977,
    tolerance: 0.005,
    source: 'CO2 at 0 °C and 1 atm has 1.977 g/L (from memory)',
  },
  {
    place: 'conformity/conforms/acceptance/upper/value',
    value: 5.5 - 1.645 * 0.09,
    tolerance: 0.0001,
    source: 'JCGM 106, 8.3.2: guard band of 1.645 u at a risk of 5 %',
  },
  {
    place: 'comparison/agree/normalisedError',
    value: 0.15 / (2 * Math.hypot(0.13, 0.03)),
    tolerance: 1e-9,
    source: 'ISO/IEC 17043: E_n with U = 2u',
  },
];

function figureAt(place: string): unknown {
  const [path, name, ...steps] = place.split('/');
  const { response } = cases.find((each) => each.path === path && each.name === name) ?? {};
  return steps.reduce<unknown>((here, step) => (here as Record<string, unknown>)[step], response);
}

test.each(PUBLISHED)('the example $place agrees with $source', ({ place, value, tolerance }) => {
  const found = figureAt(place);
  expect(typeof found).toBe('number');
  expect(Math.abs((found as number) - value)).toBeLessThanOrEqual(tolerance);
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
