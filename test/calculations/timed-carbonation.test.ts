import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { CalculationsModule } from '../../src/calculations/calculations.module.js';
import { PlatformModule } from '../../src/platform/platform.module.js';
import { bootModules, clientOf } from '../support/http.js';

interface Quantity {
  value: number;
  unit: string;
}
interface Carbonation {
  gaugePressure: Quantity;
  volumesOfCO2: number;
  timed?: {
    setPressure: Quantity;
    startVolumesOfCO2: number;
    equilibriumVolumesOfCO2: number;
    lowerAfter: Record<'earliest' | 'expected' | 'latest', Quantity>;
    lowerTo: Quantity;
  };
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

async function carbonation(body: object): Promise<Carbonation> {
  const response = await clientOf(app).post('/v1/calculations/carbonation').send(body);
  expect([response.status, response.status === 200 ? '' : response.text]).toEqual([200, '']);
  return response.body as Carbonation;
}

/** 1 lbf/in² = 4.4482216152605 N / 6.4516e-4 m² (exact definitions). */
const PSI_KPA = 4.4482216152605 / 0.64516;

test('the pressure is answered in the unit that it is asked in, kPa else', async () => {
  const wanted = { temperature: q(4, 'Cel'), volumesOfCO2: 2.5 };
  const { gaugePressure: kPa } = await carbonation(wanted);
  expect(kPa.unit).toBe('kPa');
  const { gaugePressure: psi } = await carbonation({ ...wanted, pressureUnit: '[psi]' });
  expect(psi.unit).toBe('[psi]');
  expect(psi.value * PSI_KPA).toBeCloseTo(kPa.value, 8);
  const { gaugePressure: bar } = await carbonation({ ...wanted, atmosphericPressure: q(1.01325, 'bar') });
  expect(bar).toEqual(q(expect.closeTo(kPa.value / 100, 9) as number, 'bar'));
  const back = await carbonation({ temperature: q(4, 'Cel'), gaugePressure: psi });
  expect(back.gaugePressure.unit).toBe('[psi]');
  expect(back.volumesOfCO2).toBeCloseTo(2.5, 8);
});

test('above 3 volumes both carbonation and conditioning give the caution, and at 3 neither does', async () => {
  const glass = /Above 3 volumes ordinary beer bottles may burst/;
  const conditioning = async (volumesOfCO2: number): Promise<string> => {
    const body = { strength: q(5, '%'), volume: q(20, 'L'), sugar: 'sucrose', highestTemperature: q(18, 'Cel') };
    const response = await clientOf(app)
      .post('/v1/calculations/conditioning')
      .send({ ...body, volumesOfCO2 });
    return (response.body as Carbonation).warnings.join(' ');
  };
  const set = async (volumesOfCO2: number): Promise<string> =>
    (await carbonation({ temperature: q(4, 'Cel'), volumesOfCO2 })).warnings.join(' ');
  expect([await set(3.01), await conditioning(3.01)].every((text) => glass.test(text))).toBe(true);
  expect([await set(3), await conditioning(3)].some((text) => glass.test(text))).toBe(false);
  expect(await set(2)).toMatch(/At equilibrium/);
});

describe('a pressure that is set high for a time', () => {
  const wanted = { temperature: q(4, 'Cel'), volumesOfCO2: 2.5 };

  test('comes down when the gap to equilibrium has closed that far: computed by hand from the two equilibria', async () => {
    const high = await carbonation({ temperature: q(4, 'Cel'), gaugePressure: q(2, 'bar') });
    const flat = await carbonation({ temperature: q(4, 'Cel'), gaugePressure: q(0, 'bar') });
    const { timed, warnings, gaugePressure } = await carbonation({ ...wanted, timed: { gaugePressure: q(2, 'bar') } });
    expect(timed?.equilibriumVolumesOfCO2).toBeCloseTo(high.volumesOfCO2, 9);
    expect(timed?.startVolumesOfCO2).toBeCloseTo(flat.volumesOfCO2, 9);
    // The share of the gap that is still open at the target: (c_eq − c) / (c_eq − c_0) = ½^(t/T).
    const open = (high.volumesOfCO2 - 2.5) / (high.volumesOfCO2 - flat.volumesOfCO2);
    const halvings = -Math.log(open) / Math.log(2);
    expect(timed?.lowerAfter.expected).toEqual(q(expect.closeTo(24 * halvings, 8) as number, 'h'));
    expect(timed?.lowerAfter.earliest.value).toBeCloseTo(12 * halvings, 8);
    expect(timed?.lowerAfter.latest.value).toBeCloseTo(60 * halvings, 8);
    expect(timed?.lowerTo).toEqual(gaugePressure);
    expect(gaugePressure.unit).toBe('bar');
    expect(warnings[0]).toMatch(/^Lower the pressure after \d/);
    expect(warnings.join(' ')).toMatch(/common practice, no source.*Never set a high pressure on glass/s);
  });

  test('30 psi at 38 °F reach about 2.5 volumes in a day or two: common practice, no source', async () => {
    const { timed } = await carbonation({
      temperature: q(38, '[degF]'),
      volumesOfCO2: 2.5,
      timed: { gaugePressure: q(30, '[psi]') },
    });
    expect(timed?.lowerAfter.earliest.value).toBeGreaterThan(6);
    expect(timed?.lowerAfter.earliest.value).toBeLessThan(24);
    expect(timed?.lowerAfter.expected.value).toBeGreaterThan(12);
    expect(timed?.lowerAfter.expected.value).toBeLessThan(36);
  });

  test('a half-time of the container itself narrows the times to a quarter of it', async () => {
    const set = { gaugePressure: q(2, 'bar'), startVolumesOfCO2: 1.5 };
    const { timed } = await carbonation({ ...wanted, timed: { ...set, halfTime: q(90, 'min') } });
    const byDefault = await carbonation({ ...wanted, timed: set });
    const expected = timed?.lowerAfter.expected.value ?? NaN;
    expect(expected).toBeCloseTo((1.5 / 24) * (byDefault.timed?.lowerAfter.expected.value ?? NaN), 8);
    expect(timed?.lowerAfter.earliest.value).toBeCloseTo(0.75 * expected, 8);
    expect(timed?.lowerAfter.latest.value).toBeCloseTo(1.25 * expected, 8);
  });
});
