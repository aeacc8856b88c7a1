import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { recordReference } from '../support/reference-log.js';
import { bootModules, clientOf } from '../support/http.js';

interface Quantity {
  value: number;
  unit: string;
}
interface Water {
  ions: Record<string, Quantity>;
  added: Record<string, Quantity>;
  hardness: Quantity;
  alkalinity: Quantity;
  warnings: string[];
}

let app: NestFastifyApplication;
beforeAll(async () => {
  app = await bootModules(PlatformModule, CalculationsModule);
});
afterAll(async () => {
  await app.close();
});

const q = (value: number, unit: string): Quantity => ({ value, unit });
const mg = (value: number): Quantity => q(value, 'mg/L');

async function water(body: object): Promise<Water> {
  const response = await clientOf(app).post('/v1/calculations/brewing-water').send(body);
  expect([response.status, response.status === 200 ? '' : response.text]).toEqual([200, '']);
  return response.body as Water;
}
const oneGram = (salt: string) => water({ volume: q(1, 'L'), salts: [{ salt, mass: q(1, 'g') }] });

let largest = 0;

// mg of ions from 1 g in 1 L: whole molar masses as they stand on bottles of reagent (from memory), the ions' by hand from atomic weights.
test.each([
  ['calcium-sulfate-dihydrate', 172.17, { calcium: 40.08, sulfate: 96.06 }],
  ['calcium-sulfate-anhydrous', 136.14, { calcium: 40.08, sulfate: 96.06 }],
  ['calcium-chloride-dihydrate', 147.01, { calcium: 40.08, chloride: 70.9 }],
  ['calcium-chloride-anhydrous', 110.98, { calcium: 40.08, chloride: 70.9 }],
  ['magnesium-sulfate-heptahydrate', 246.47, { magnesium: 24.305, sulfate: 96.06 }],
  ['magnesium-sulfate-anhydrous', 120.37, { magnesium: 24.305, sulfate: 96.06 }],
  ['magnesium-chloride-hexahydrate', 203.3, { magnesium: 24.305, chloride: 70.9 }],
  ['sodium-chloride', 58.44, { sodium: 22.99, chloride: 35.45 }],
  ['sodium-bicarbonate', 84.01, { sodium: 22.99, bicarbonate: 61.017 }],
  ['calcium-carbonate', 100.09, { calcium: 40.08, bicarbonate: 122.03 }],
] as const)('1 g/L of %s', async (salt, molarMass, gives) => {
  const { added, ions } = await oneGram(salt);
  expect(ions).toEqual(added);
  for (const [ion, { value }] of Object.entries(added)) {
    const byHand = (1000 * ((gives as Record<string, number>)[ion] ?? 0)) / molarMass;
    expect([ion, Math.abs(value - byHand) <= 0.0005 * byHand]).toEqual([ion, true]);
    if (byHand > 0) largest = Math.max(largest, (100 * Math.abs(value - byHand)) / byHand);
  }
});

test('the largest deviation is kept for the page of methods', () => {
  expect(largest).toBeGreaterThan(0);
  recordReference({
    table: 'Water salts: molar masses of reagents',
    rows: 10,
    largestDeviation: largest,
    tolerance: 0.05,
    unit: '%',
    source: 'labels of reagents (from memory)',
  });
});

test('salts and the water before add up; hardness and alkalinity as calcium carbonate', async () => {
  const { ions, hardness, alkalinity, warnings } = await water({
    volume: q(200, 'L'),
    base: { calcium: mg(20), bicarbonate: mg(61) },
    salts: [
      { salt: 'calcium-chloride-dihydrate', mass: q(20, 'g') },
      { salt: 'calcium-sulfate-dihydrate', mass: q(0.015, 'kg') },
    ],
  });
  // 100 mg/L CaCl2·2H2O: 27.26 Ca, 48.23 Cl. 75 mg/L CaSO4·2H2O: 17.46 Ca, 41.85 SO4.
  expect(ions['calcium'].value).toBeCloseTo(20 + 27.26 + 17.46, 1);
  expect(ions['chloride'].value).toBeCloseTo(48.23, 1);
  expect(ions['sulfate'].value).toBeCloseTo(41.85, 1);
  expect(ions['sodium']).toEqual(mg(0));
  // 2.497 mg CaCO3 for a mg of Ca; 61.017 mg of bicarbonate are half a mole of CaCO3 in mg, 50.04.
  expect(hardness.value).toBeCloseTo(64.72 * 2.4973, 0);
  expect(alkalinity.value).toBeCloseTo(50.03, 1);
  expect(warnings.join(' ')).not.toMatch(/do not balance/);
  expect(warnings.join(' ')).toMatch(/anhydrous or dihydrate/);
});

test('an ounce in gallons is the same water as its grams in litres', async () => {
  const us = await water({ volume: q(10, '[gal_us]'), salts: [{ salt: 'sodium-chloride', mass: q(1, '[oz_av]') }] });
  const si = await water({
    volume: q(37.85411784, 'L'),
    salts: [{ salt: 'sodium-chloride', mass: q(28.349523125, 'g') }],
  });
  expect(us.ions).toEqual(si.ions);
});

test('an analysis whose charges do not balance, gypsum that does not dissolve and salty water are told', async () => {
  const said = await water({
    volume: q(100, 'L'),
    base: { calcium: mg(200) },
    salts: [
      { salt: 'calcium-sulfate-dihydrate', mass: q(300, 'g') },
      { salt: 'sodium-chloride', mass: q(100, 'g') },
      { salt: 'calcium-carbonate', mass: q(1, 'g') },
    ],
  });
  const text = said.warnings.join(' ');
  // 200 mg/L of calcium are 9.98 meq/L.
  expect(text).toMatch(/positive charges exceed the others by 9.98 meq\/L/);
  expect(text).toMatch(/do not dissolve at 20 °C.*only in acid or with CO2.*sodium is above 200.*2020\/2184/s);
});

test.each([
  [
    'more salt than water takes',
    { salts: [{ salt: 'sodium-chloride', mass: q(3, 'kg') }] },
    422,
    'out-of-range',
    '/salts',
  ],
  [
    'a salt that is not named',
    { salts: [{ salt: 'gypsum', mass: q(1, 'g') }] },
    400,
    'validation-failed',
    '/salts/0/salt',
  ],
  ['an ion in g/L', { salts: [], base: { calcium: q(1, 'g/L') } }, 400, 'validation-failed', '/base/calcium/unit'],
  [
    'an ion that is not counted',
    { salts: [], base: { potassium: mg(1) } },
    400,
    'validation-failed',
    '/base/potassium',
  ],
  ['no water', { salts: [], volume: q(0, 'L') }, 422, 'out-of-range', '/volume/value'],
  [
    'a mass in gal',
    { salts: [{ salt: 'sodium-chloride', mass: q(1, 'gal') }] },
    400,
    'unit-unknown',
    '/salts/0/mass/unit',
  ],
])('refused: %s', async (_what, change, status, code, pointer) => {
  const response = await clientOf(app)
    .post('/v1/calculations/brewing-water')
    .send({ volume: q(100, 'L'), ...change });
  const { errors } = response.body as { errors: { pointer: string }[] };
  expect([response.status, (response.body as { code: string }).code, errors[0].pointer]).toEqual([
    status,
    code,
    pointer,
  ]);
});
