import { SteppableClock } from '../../src/platform/clock.js';
import { massBalanceExtracts } from '../../src/alcoholometry/strength/mass-balance-extracts.js';
import { massBalance } from '../../src/alcoholometry/strength/mass-balance.js';
import { toExtract } from '../../src/alcoholometry/liquids/gravity-scales.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

interface Figure {
  kind: string;
  value: number;
  unit: string;
  expandedUncertainty: number;
}
interface Comparison {
  lots: {
    lotId: string;
    clockFromKind: string;
    clockFrom: string;
    curve: { hours: number; extract: number }[];
    figures: Figure[];
    findingId?: string;
  }[];
  differences: (Figure & { isLarger: boolean; statement: string })[];
  warnings: string[];
}
interface Line {
  origin: string;
  contribution: number;
}

let service: TestService;
let floor: Floor;
let hydrometer: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  hydrometer = String((await floor.post('/v1/instruments', { name: 'H1', kind: 'hydrometer', scale: 'sg-20-20' })).id);
  await floor.post(`/v1/instruments/${hydrometer}/calibrations`, {
    performedOn: '2026-01-10',
    validUntil: '2027-01-09',
    regions: [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0005 }],
  });
});
afterAll(() => service.stop());

const START = Date.parse('2026-03-02T09:00:00Z');
const at = (hours: number): string => new Date(START + hours * 3_600_000).toISOString();

/** A lot with these gravities at these hours after its first, charged an hour after it. */
async function ferment(code: string, gravities: readonly (readonly [hours: number, sg: number])[]): Promise<string> {
  const lotId = await floor.lot('sugar-ferment', { code });
  const vesselId = await floor.vessel(`FV of ${code}`);
  for (const [index, [hours, sg]] of gravities.entries()) {
    await floor.gravity(lotId, sg, at(hours), { instrumentId: hydrometer });
    if (index === 0) {
      const volume = { value: 100, unit: 'L' };
      await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume, occurredAt: at(1) });
    }
  }
  const [last] = gravities.at(-1) ?? [0];
  await floor.post(`/v1/lots/${lotId}/findings`, {
    method: 'mass-balance',
    standing: 'of-record',
    occurredAt: at(last + 1),
  });
  return lotId;
}

const compare = async (a: string, b: string) =>
  (await floor.get(`/v1/lots/comparison?lots=${a},${b}`)) as unknown as Comparison;

test('two ferments on a common clock: drier by more than the uncertainty, sooner by less', async () => {
  const a = await ferment('A', [
    [0, 1.042],
    [48, 1.01],
    [96, 1.0],
    [168, 1.0],
  ]);
  const b = await ferment('B', [
    [0, 1.042],
    [24, 1.012],
    [72, 0.996],
    [144, 0.996],
  ]);
  const { lots, differences, warnings } = await compare(a, b);
  expect(lots.map(({ clockFromKind, curve }) => [clockFromKind, curve.map(({ hours }) => hours)])).toEqual([
    ['charge', [-1, 47, 95, 167]],
    ['charge', [-1, 23, 71, 143]],
  ]);
  const byKind = new Map(differences.map((each) => [each.kind, each]));

  // The strength: contributions of each origin by hand from the two findings as they are answered.
  const [of, ob] = await Promise.all(lots.map(({ findingId }) => floor.get(`/v1/findings/${String(findingId)}`)));
  const sums = new Map<string, number>();
  for (const [finding, sign] of [
    [of, -1],
    [ob, 1],
  ] as const) {
    for (const { origin, contribution } of finding.budget as Line[]) {
      sums.set(origin, (sums.get(origin) ?? 0) + sign * contribution);
    }
  }
  const u = Math.sqrt([...sums.values()].reduce((sum, c) => sum + c * c, 0));
  const strength = byKind.get('strength');
  const value = (finding: Record<string, unknown>) => (finding.strength as { value: number }).value;
  expect(strength?.value).toBeCloseTo(value(ob) - value(of), 4);
  expect((strength?.expandedUncertainty ?? 0) / u).toBeCloseTo(1.96, 2);
  const apart = lots.map(({ figures }) => figures.find(({ kind }) => kind === 'strength')?.expandedUncertainty ?? 0);
  expect(strength?.expandedUncertainty).toBeLessThan(0.8 * Math.hypot(...apart));

  // Real extract by the published shortcut 0.1808 OE + 0.8192 AE (from memory), apparent attenuation by its definition.
  const plato = (sg: number): number => toExtract({ value: sg, scale: 'sg-20-20' }).extractPlato;
  const [oe, aeA, aeB] = [plato(1.042), plato(1.0), plato(0.996)];
  const extract = byKind.get('real-extract');
  expect(extract?.value).toBeCloseTo(0.8192 * (aeB - aeA), 1);
  expect(extract).toMatchObject({ isLarger: true, unit: '°P' });
  expect(extract?.statement).toMatch(/^B is drier by 0\.8\d* ± 0\.\d+ °P\.$/);
  expect(byKind.get('apparent-attenuation')?.value).toBeCloseTo((100 * (aeA - aeB)) / oe, 1);

  // Terminal between 48 and 96 h, and between 24 and 72 h: middles 24 h apart, each rectangular with a half-width of 24 h.
  const time = byKind.get('time-to-terminal');
  expect(time?.value).toBeCloseTo(-24, 9);
  expect(time?.expandedUncertainty).toBeCloseTo(1.959964 * Math.SQRT2 * (24 / Math.sqrt(3)), 3);
  expect(time).toMatchObject({ isLarger: false });
  expect(time?.statement).toBe(
    'B reached terminal gravity sooner by 24 ± 38 h: not more than the uncertainty, so no difference is shown.',
  );
  expect(warnings).toHaveLength(1);

  // The other way round, every sign turns and nothing else.
  const back = await compare(b, a);
  expect(back.differences.map(({ kind, value: turned, isLarger }) => [kind, -turned, isLarger])).toEqual(
    differences.map(({ kind, value: straight, isLarger }) => [kind, straight, isLarger]),
  );
});

test('pitching is the zero of the clock where it is on record; a lot without a finding shows its curve only', async () => {
  const a = await ferment('C', [
    [0, 1.042],
    [48, 1.01],
    [96, 1.0],
    [168, 1.0],
  ]);
  await floor.post(`/v1/lots/${a}/steps`, { kind: 'pitch-yeast', occurredAt: at(4) });
  const lotId = await floor.lot('sugar-ferment', { code: 'D' });
  await floor.gravity(lotId, 1.05, at(0));
  const { lots, differences, warnings } = await compare(a, lotId);
  expect(lots[0].clockFromKind).toBe('pitching');
  expect(lots[0].clockFrom).toBe(at(4));
  expect(lots[0].curve[1].hours).toBe(44);
  expect([lots[1].clockFromKind, lots[1].curve.length, lots[1].figures]).toEqual(['first-gravity', 1, []]);
  expect(differences).toEqual([]);
  expect(warnings[0]).toBe('D has no strength finding yet.');
});

test('refused: one lot twice, one id only, a lot that is not there', async () => {
  const unknown = '018f0000-0000-7000-8000-000000000000';
  const lotId = await floor.lot();
  const refused = async (lots: string, status: number) =>
    (await service.expect(status, 'get', `/v1/lots/comparison?lots=${lots}`, { key: floor.key })).body as {
      code: string;
    };
  expect((await refused(`${lotId},${lotId}`, 400)).code).toBe('validation-failed');
  expect((await refused(lotId, 400)).code).toBe('validation-failed');
  expect((await refused(`${lotId},${unknown}`, 404)).code).toBe('not-found');
});

test('sensitivities of extract and attenuation against the whole computation with a changed reading', () => {
  const input = (original: number, final: number) => ({
    original: { value: original, scale: 'sg-20-20' as const },
    final: { value: final, scale: 'sg-20-20' as const },
  });
  const { realExtract, apparentAttenuation } = massBalanceExtracts(input(1.042, 0.998));
  const whole = massBalance(input(1.042, 0.998));
  expect(realExtract.value).toBeCloseTo(whole.realExtractPlato ?? NaN, 10);
  expect(apparentAttenuation.value).toBeCloseTo(whole.apparentAttenuationPercent ?? NaN, 10);
  const STEP = 1e-6;
  const slope = (of: (original: number, final: number) => number, which: 'original' | 'final'): number =>
    which === 'original'
      ? (of(1.042 + STEP, 0.998) - of(1.042 - STEP, 0.998)) / (2 * STEP)
      : (of(1.042, 0.998 + STEP) - of(1.042, 0.998 - STEP)) / (2 * STEP);
  const extractOf = (o: number, f: number) => massBalance(input(o, f)).realExtractPlato ?? NaN;
  const attenuationOf = (o: number, f: number) => massBalance(input(o, f)).apparentAttenuationPercent ?? NaN;
  const sensitivity = (budget: typeof realExtract.budget, name: string): number =>
    budget.find((line) => line.name.startsWith(name))?.sensitivity ?? NaN;
  for (const which of ['original', 'final'] as const) {
    expect(sensitivity(realExtract.budget, which) / slope(extractOf, which)).toBeCloseTo(1, 4);
    expect(sensitivity(apparentAttenuation.budget, which) / slope(attenuationOf, which)).toBeCloseTo(1, 3);
  }
});
