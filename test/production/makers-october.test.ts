import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { conditioningByHand, HAND_TOLERANCE, platoByHand, strengthByHand } from './makers-october-hand.js';

// A maker's October: two sugar ferments, one spirit base, bottles and kegs, with the mistakes that people make. The tests follow one another.

type Json = Record<string, unknown>;
interface Quantity {
  readonly value: number;
  readonly unit: string;
}

const clock = new SteppableClock(new Date('2026-10-01T06:00:00Z'));
let service: TestService;
let floor: Floor;
let person: string;
/** Ids that later days need, by what they are. */
const made: Record<string, string> = {};

beforeAll(async () => {
  service = await TestService.start({ clock });
  floor = await Floor.open(service, []);
  person = String((await floor.post('/v1/people', { name: 'A. Maker' })).id);
});
afterAll(() => service.stop());

const litres = (value: number): Quantity => ({ value, unit: 'L' });
const percent = (value: number): Quantity => ({ value, unit: '%' });
const kilograms = (value: number): Quantity => ({ value, unit: 'kg' });
const at = (day: number, hour = 9): string =>
  `2026-10-${String(day).padStart(2, '0')}T${String(hour).padStart(2, '0')}:00:00Z`;
const sg = (value: number): Json => ({ kind: 'gravity', gravity: { value, scale: 'sg-20-20' } });
const valueOf = (quantity: unknown): number => (quantity as Quantity).value;
const codesOf = (answer: Json): string[] => ((answer.flags ?? []) as { code: string }[]).map(({ code }) => code);

/** Moves the clock to noon of a day of October. */
const noonOf = (day: number): void => clock.set(new Date(at(day, 12)));

/** A mistake: it is refused, with this code, at this place, and nothing is stored. */
async function refused(path: string, body: Json, code: string, pointer?: string): Promise<Json> {
  const before = await service.rowCounts();
  const answer = await service.call('post', path, { key: floor.key, body });
  const problem = problemOf(answer) as unknown as Json & { errors?: { pointer: string }[] };
  expect([path, problem.code, ...(pointer === undefined ? [] : [problem.errors?.[0].pointer])]).toEqual([
    path,
    code,
    ...(pointer === undefined ? [] : [pointer]),
  ]);
  expect(await service.rowCounts()).toEqual(before);
  return problem;
}

const attention = async (): Promise<string[]> =>
  ((await floor.get('/v1/attention')).items as { code: string }[]).map(({ code }) => code);
const contents = async (vessel: string): Promise<Json> =>
  (await floor.get(`/v1/vessels/${made[vessel]}`)).contents as Json;
const of = (lot: string, what: string): string => `/v1/lots/${made[lot]}/${what}`;

test('1 October: the month is opened one day short, taken back, and opened as a month', async () => {
  const { premisesId } = floor;
  const wrong = await floor.post('/v1/periods', { premisesId, startsOn: '2026-10-01', endsBefore: '2026-10-31' });
  expect([wrong.lastDay, codesOf(wrong)]).toEqual(['2026-10-30', ['month-end-outside']]);
  expect(await floor.post('/v1/undo', {})).toMatchObject({ kind: 'period', id: wrong.id });
  const right = await floor.post('/v1/periods', { premisesId, month: '2026-10' });
  expect(right.inWords).toBe('1 October 2026 to 31 October 2026, both days included');
  made.period = String(right.id);
});

test('1 October: vessels, sugar, finings and spirit come in', async () => {
  const vessel = async (name: string, kind: string, capacity: number) =>
    String(
      (await floor.post('/v1/vessels', { premisesId: floor.premisesId, name, kind, capacity: litres(capacity) })).id,
    );
  made.FV1 = await vessel('FV 1', 'fermenter', 200);
  made.FV2 = await vessel('FV 2', 'fermenter', 60);
  made.MT1 = await vessel('MT 1', 'mixing-tank', 400);
  const material = async (name: string, kind: string, quantity: Json, more: Json = {}) => {
    const { id: materialId } = await floor.post('/v1/materials', { name, kind, ...more });
    const lot = { materialId, premisesId: floor.premisesId, code: `${name}-1`, occurredAt: at(1, 5), ...quantity };
    return String((await floor.post('/v1/material-lots', lot)).id);
  };
  made.sugar = await material('Sugar', 'sugar', { mass: kilograms(50) });
  made.finings = await material('Finings', 'fining', { volume: litres(1) });
  made.flavouring = await material('Lemon', 'flavouring', { volume: litres(1) });
  made.spirit = await material('Neutral spirit', 'spirit', { volume: litres(25) }, { strength: percent(96) });
  const instrument = async (name: string, kind: string, more: Json = {}) =>
    String((await floor.post('/v1/instruments', { name, kind, ...more })).id);
  made.hydrometer = await instrument('H 1', 'hydrometer', { scale: 'sg-20-20' });
  made.refractometer = await instrument('R 1', 'refractometer', { scale: 'plato' });
  const recipe = await floor.post('/v1/recipes', {
    name: 'Lemon ferment (invented)',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: litres(181),
      fermentables: [{ kind: 'sucrose', mass: kilograms(18.9) }],
      finalGravity: { value: 0.997, scale: 'sg-20-20' },
      steps: [
        { kind: 'heat', temperature: { value: 80, unit: 'Cel' }, duration: { value: 15, unit: 'min' } },
        { kind: 'cool', temperature: { value: 23, unit: 'Cel' }, after: { value: 1, unit: 'h' } },
        { kind: 'pitch-yeast', after: { value: 2, unit: 'h' } },
      ],
    },
  });
  const lot = async (more: Json) =>
    String((await floor.post('/v1/lots', { premisesId: floor.premisesId, ...more })).id);
  made.lemon = await lot({ code: 'LEMON-1', recipeVersion: { recipeId: recipe.id, number: 1 } });
  made.plain = await lot({ code: 'PLAIN-1', category: 'sugar-ferment' });
  made.gin = await lot({ code: 'SPIRIT-1', category: 'spirit-drink' });
});

test('2 October: 679 L do not go into 200 L; a gravity of 31 is none; heated, cooled and pitched', async () => {
  noonOf(2);
  const charge = {
    vesselId: made.FV1,
    materials: [{ materialLotId: made.sugar, mass: kilograms(18.9) }],
    occurredAt: at(2),
  };
  const over = await refused(of('lemon', 'charges'), { ...charge, volume: litres(679) }, 'over-capacity', '/vesselId');
  expect(over.detail).toContain('FV 1 can hold 200 L. With this entry it would hold 679 L');
  await floor.post(of('lemon', 'charges'), { ...charge, volume: litres(181) });
  await refused(of('lemon', 'readings'), { ...sg(31), takenAt: at(2) }, 'out-of-range', '/gravity/value');
  const near = await refused(
    of('lemon', 'readings'),
    { ...sg(1.31), takenAt: at(2) },
    'out-of-range',
    '/gravity/value',
  );
  expect(near.detail).toContain('did you mean 1.031?');
  const original = await floor.post(of('lemon', 'readings'), {
    ...sg(1.04),
    takenAt: at(2, 10),
    instrumentId: made.hydrometer,
    sampleTemperature: { value: 20, unit: 'Cel' },
    degassed: true,
  });
  // 18.9 kg in 181 L are 104 g/L, 10.0 °P: SG 1.040, as planned.
  expect(platoByHand(1.04)).toBeCloseTo(9.99, 1);
  expect(codesOf(original)).not.toContain('original-far-from-plan');

  const steps = of('lemon', 'steps');
  const heated = await floor.post(steps, {
    number: 1,
    temperature: { value: 80, unit: 'Cel' },
    duration: { value: 15, unit: 'min' },
    personId: person,
  });
  expect([heated.inWords, (heated.cautions as string[])[0]]).toEqual([
    'Heat to 80 °C for 15 min',
    expect.stringContaining('Hot liquid scalds'),
  ]);
  // Due at 10:00 and 11:00, one and two hours after the charge; it is noon.
  expect(await attention()).toEqual(['step-overdue', 'step-overdue']);
  await floor.post(steps, { number: 2, occurredAt: at(2, 10), personId: person });
  await floor.post(steps, { number: 3, occurredAt: at(2, 11), personId: person });
  expect(await attention()).toEqual([]);
});

test('2 October: the second ferment, its original gravity by refractometer', async () => {
  const gallons = { vesselId: made.FV2, volume: { value: 11, unit: 'gal' }, occurredAt: at(2) };
  const whose = await refused(of('plain', 'charges'), gallons, 'unit-unknown', '/volume/unit');
  expect(whose.detail).toContain('US `[gal_us]` or imperial `[gal_br]`?');
  // 11 imperial gallons of 4.54609 L are 50.00699 L.
  const charged = await floor.post(of('plain', 'charges'), { ...gallons, volume: { value: 11, unit: '[gal_br]' } });
  expect(valueOf(charged.volume)).toBeCloseTo(11 * 4.54609, 5);
  expect(await floor.post('/v1/undo', {})).toMatchObject({ kind: 'operation', id: charged.operationId });
  // 18.9 kg of the 50 are in the first tank: of 31.1 kg, 35.1 are 4 too many.
  const sugar = { vesselId: made.FV2, volume: litres(50), occurredAt: at(2) };
  const overdrawn = await floor.post(of('plain', 'charges'), {
    ...sugar,
    materials: [{ materialLotId: made.sugar, mass: kilograms(35.1) }],
  });
  expect(codesOf(overdrawn)).toEqual(['stock-below-zero']);
  expect(await attention()).toEqual(['stock-below-zero']);
  expect(await floor.post('/v1/undo', {})).toMatchObject({ kind: 'operation', id: overdrawn.operationId });
  const right = { ...sugar, materials: [{ materialLotId: made.sugar, mass: kilograms(6.4) }] };
  expect(codesOf(await floor.post(of('plain', 'charges'), right))).toEqual([]);
  // 50 kg less 18.9 and 6.4.
  const stock = await floor.get(`/v1/material-lots/${made.sugar}`);
  expect(stock.onHand).toMatchObject(kilograms(24.7));
  expect(await attention()).toEqual([]);
  const plato = { kind: 'gravity', gravity: { value: 12, scale: 'plato' }, instrumentId: made.refractometer };
  const first = await floor.post(of('plain', 'readings'), { ...plato, takenAt: at(2, 10) });
  expect(codesOf(first)).not.toContain('gravity-rising');
  made.plainOriginal = String(first.id);
});

test('4 and 5 October: readings that cannot be, or hardly: flagged, confirmed, taken back, refused', async () => {
  noonOf(5);
  const enter = (lot: string, body: Json, day: number) =>
    floor.post(of(lot, 'readings'), { ...body, takenAt: at(day) });
  await enter('lemon', { ...sg(1.02), instrumentId: made.hydrometer }, 4);
  const rising = await enter('lemon', sg(1.025), 5);
  expect(codesOf(rising)).toContain('gravity-rising');
  const confirmed = await enter('lemon', { ...sg(1.025), confirm: ['gravity-rising'], personId: person }, 5);
  const [flag] = (confirmed.flags as { code: string; confirmedBy?: Json }[]).filter(
    ({ code }) => code === 'gravity-rising',
  );
  expect(flag.confirmedBy).toMatchObject({ personId: person });
  // It was the other tank after all: both are taken back, the last first.
  expect(await floor.post('/v1/undo', {})).toMatchObject({ kind: 'reading', id: confirmed.id });
  expect(await floor.post('/v1/undo', {})).toMatchObject({ kind: 'reading', id: rising.id });
  const otherTank = await enter('lemon', { ...sg(1.012), vesselId: made.FV2 }, 5);
  expect(codesOf(otherTank)).toContain('vessel-holds-another-lot');
  await floor.post(`/v1/readings/${String(otherTank.id)}/strike`, { reasonCode: 'wrong-lot' });
  const warm = await enter('lemon', { kind: 'temperature', quantity: { value: 73, unit: 'Cel' } }, 5);
  expect(codesOf(warm)).toContain('temperature-unit');
  await floor.post(`/v1/readings/${String(warm.id)}/strike`, {
    reasonCode: 'typing-error',
    replacement: { kind: 'temperature', quantity: { value: 73, unit: '[degF]' } },
  });

  await enter('plain', sg(1.02), 5);
  const refraction = { kind: 'gravity', gravity: { value: 5.9, scale: 'plato' }, instrumentId: made.refractometer };
  const refusal = await refused(of('plain', 'readings'), { ...refraction, takenAt: at(5) }, 'method-not-applicable');
  expect(refusal.detail).toContain('alcohol refracts');

  await enter('lemon', sg(1.014), 5);
  const mid = await floor.post(of('lemon', 'findings'), { method: 'mass-balance', occurredAt: at(5, 10) });
  expect([mid.standing, codesOf(mid)]).toEqual(['provisional', ['fermenting']]);
});

test('14 October: finings end nothing; the gravity stands still; the gauge of a wrong decimal point needs a reason', async () => {
  noonOf(12);
  await floor.post(of('lemon', 'readings'), { ...sg(0.997), takenAt: at(12) });
  expect((await contents('FV1')).state).toBe('fermenting');
  noonOf(14);
  const { items } = (await floor.get('/v1/lots?code=lemon-1')) as { items: { id: string }[] };
  expect(items.map(({ id }) => id)).toEqual([made.lemon]);
  const fined = await floor.post(of('lemon', 'additions'), {
    vesselId: made.FV1,
    purpose: 'fining',
    materialLotId: made.finings,
    volume: { value: 90, unit: 'mL' },
    occurredAt: at(12, 10),
  });
  // 0.09 L in 181 L are 0.05 %, less than a thousandth.
  expect([fined.booked, codesOf(fined)]).toEqual(['negligible', []]);
  const last = await floor.post(of('lemon', 'readings'), { ...sg(0.997), takenAt: at(14) });
  made.lemonFinal = String(last.id);
  expect(await contents('FV1')).toMatchObject({ state: 'terminal', liquid: { next: { code: 'finding-of-record' } } });
  expect(await attention()).toEqual(['terminal-gravity', 'gravity-overdue']);
  expect(await floor.get(of('lemon', 'fermentation'))).toMatchObject({ state: 'terminal' });

  const gauge = { vesselId: made.FV1, standardUncertainty: litres(0.5), occurredAt: at(14, 10) };
  // 1,770 L for 177; 5 % of 181 L are 9.05 L.
  const doubted = await refused(
    of('lemon', 'gauges'),
    { ...gauge, volume: litres(1770) },
    'reason-needed',
    '/reasonCode',
  );
  expect(doubted.detail).toContain('1,770 L were measured; up to 9.05 L of difference needs no reason');
  const insists = { ...gauge, volume: litres(1770), reasonCode: 'measuring-error' };
  await refused(of('lemon', 'gauges'), insists, 'over-capacity', '/vesselId');
  const gauged = await floor.post(of('lemon', 'gauges'), { ...gauge, volume: litres(177) });
  expect([valueOf(gauged.bookVolume), valueOf(gauged.difference), codesOf(gauged)]).toEqual([181, -4, []]);

  const found = await floor.post(of('lemon', 'findings'), { method: 'mass-balance', occurredAt: at(14, 11) });
  made.lemonFinding = String(found.id);
  expect([found.standing, codesOf(found)]).toEqual(['of-record', []]);
  const strength = valueOf(found.strength);
  expect(Math.abs(strength - strengthByHand(1.04, 0.997))).toBeLessThan(HAND_TOLERANCE);
  const tank = await contents('FV1');
  expect(tank).toMatchObject({ state: 'finished', liquid: { volume: litres(177), standing: 'of-record' } });
  // 177 L at that strength.
  expect(valueOf((tank.liquid as Json).pureAlcohol)).toBeCloseTo(1.77 * strength, 4);
  expect(await attention()).toEqual(['gravity-overdue']);
});

test('14 October: the second tank in the wrong order: the finding before the gauge', async () => {
  await floor.post(of('plain', 'readings'), { ...sg(0.999), takenAt: at(12) });
  await floor.post(of('plain', 'readings'), { ...sg(0.999), takenAt: at(14) });
  const found = await floor.post(of('plain', 'findings'), { method: 'mass-balance', occurredAt: at(14, 9) });
  expect([found.standing, codesOf(found)]).toEqual(['of-record', ['gauge-first']]);
  const gauge = { vesselId: made.FV2, standardUncertainty: litres(0.2), volume: litres(49), occurredAt: at(14, 10) };
  const gauged = await floor.post(of('plain', 'gauges'), gauge);
  expect(codesOf(gauged)).toEqual(['gauged-after-finding']);
  // Produced on 50 L, and 1 L of it taken back: what 49 L hold.
  const strength = valueOf(found.strength);
  expect(valueOf(((await contents('FV2')).liquid as Json).pureAlcohol)).toBeCloseTo(0.49 * strength, 4);
  const { lines } = (await floor.get(`/v1/periods/${made.period}/report`)) as {
    lines: { line: string; fermented: Quantity }[];
  };
  const fermented = (line: string) => lines.find((each) => each.line === line)?.fermented.value ?? 0;
  const lemon = 1.77 * valueOf(((await contents('FV1')).liquid as Json).strength);
  expect(fermented('produced') + fermented('re-measurement')).toBeCloseTo(lemon + 0.49 * strength, 3);
  expect(await attention()).toEqual([]);
});

test('16 October: sixty bottles; the rest stays, and a lost tank is asked about', async () => {
  noonOf(16);
  const declared = percent(Number(strengthByHand(1.04, 0.997).toFixed(1)));
  const run = { vesselId: made.FV1, container: 'bottle', nominalVolume: litres(0.5), declaredStrength: declared };
  const lost = { ...run, count: 60, lotMark: 'LEMON-A', emptied: true, occurredAt: at(16, 9) };
  const asked = await refused(of('lemon', 'packagings'), lost, 'reason-needed', '/reasonCode');
  // 177 L less 60 half litres.
  expect(asked.detail).toContain('147 L of 177 L would be the loss of this run');
  const still = await floor.post(of('lemon', 'packagings'), { ...lost, emptied: undefined });
  // The model of a sugar wash alone is good to 3 % of the strength: twice that is more than the 0.3 % vol of the label.
  expect([valueOf(still.rest), valueOf(still.loss), codesOf(still)]).toEqual([147, 0, ['label-in-doubt']]);
  made.still = String(still.packagedLotId);

  const conditioned = await floor.post(of('lemon', 'packagings'), {
    ...run,
    count: 100,
    lotMark: 'LEMON-B',
    declaredStrength: percent(Number((strengthByHand(1.04, 0.997) + conditioningByHand(6)).toFixed(1))),
    conditioning: { sugar: 'sucrose', gramsPerLitre: 6 },
    occurredAt: at(16, 10),
  });
  made.conditioned = String(conditioned.packagedLotId);
  const [before, after] = [valueOf(still.strength), valueOf(conditioned.strength)];
  // 6 g/L of sucrose.
  expect(after - before).toBeCloseTo(conditioningByHand(6), 1);
  const kept = await floor.get(`/v1/packaged-lots/${made.conditioned}`);
  expect(valueOf(kept.strength)).toBeCloseTo(after, 6);

  const kegs = await floor.post(of('lemon', 'packagings'), {
    ...run,
    container: 'keg',
    nominalVolume: litres(30),
    count: 3,
    serials: ['K-1', 'K-2', 'K-3'],
    lotMark: 'LEMON-K',
    occurredAt: at(16, 11),
  });
  made.kegs = String(kegs.packagedLotId);
  // 147 L less 100 half litres and three kegs of 30 L.
  expect(valueOf(kegs.rest)).toBe(7);
  expect(await contents('FV1')).toMatchObject({ state: 'finished', liquid: { volume: litres(7) } });
});

test('17 October: released by what is declared and by serial; the trace has every addition', async () => {
  noonOf(17);
  const release = { kind: 'release', occurredAt: at(17) };
  const bottles = await floor.post('/v1/movements', { ...release, packagedLotId: made.still, count: 24 });
  made.release = String(bottles.id);
  // 24 half litres.
  expect(valueOf(bottles.litres)).toBe(12);
  const again = await floor.post('/v1/movements', { ...release, packagedLotId: made.still, count: 24 });
  expect(codesOf(again)).toContain('entered-twice');
  expect(await floor.post('/v1/undo', {})).toMatchObject({ kind: 'operation', id: again.id });
  // 60 filled, 24 released once.
  expect((await floor.get(`/v1/packaged-lots/${made.still}`)).onHand).toBe(36);
  const unnamed = { ...release, packagedLotId: made.kegs, count: 2 };
  const asked = await refused('/v1/movements', unnamed, 'validation-failed', '/serials');
  expect(asked.errors).toMatchObject([{ rule: 'serials-needed', needed: 2 }]);
  await floor.post('/v1/movements', { ...release, packagedLotId: made.kegs, serials: ['K-2'] });
  const { items } = (await floor.get('/v1/packaged-lots?lotMark=lemon-k')) as {
    items: { id: string; onHand: number }[];
  };
  expect(items.map(({ id, onHand }) => [id, onHand])).toEqual([[made.kegs, 2]]);
  const trace = JSON.stringify(await floor.get(of('lemon', 'trace')));
  for (const id of [made.sugar, made.finings]) {
    expect(trace).toContain(id);
  }
});

test('19 October: the final gravity was misread: one call, and the label no longer holds', async () => {
  noonOf(19);
  const correction = { reasonCode: 'misread', replacement: sg(1.003) };
  const path = `/v1/readings/${made.lemonFinal}/correction`;
  const before = await service.rowCounts();
  const preview = await floor.post(path, { ...correction, dryRun: true }, 200);
  expect(await service.rowCounts()).toEqual(before);
  const done = await floor.post(path, correction);
  const [found] = done.findings as Json[];
  expect((preview.findings as Json[])[0].strength).toEqual(found.strength);
  expect(Math.abs(valueOf(found.strength) - strengthByHand(1.04, 1.003))).toBeLessThan(HAND_TOLERANCE);
  // 6 points less attenuation are some 0.8 % vol, more than the 0.3 % of the label.
  expect(strengthByHand(1.04, 0.997) - strengthByHand(1.04, 1.003)).toBeGreaterThan(0.3 + 2 * HAND_TOLERANCE);
  const labels = await attention();
  expect(labels.filter((code) => code === 'label-does-not-hold')).toHaveLength(3);
  const check = await floor.get(`/v1/periods/${made.period}/closing-check`);
  expect(JSON.stringify(check.findings)).toContain('label-does-not-hold');
});

test('20 October: carbonation above three volumes is warned of; a spirit base to five per cent', async () => {
  noonOf(20);
  const carbonation = await floor.post(
    '/v1/calculations/carbonation',
    {
      volumesOfCO2: 3.5,
      temperature: { value: 4, unit: 'Cel' },
    },
    200,
  );
  expect(JSON.stringify(carbonation)).toMatch(/burst/i);
  const charge = {
    vesselId: made.MT1,
    spirits: [{ materialLotId: made.spirit, volume: litres(10) }],
    occurredAt: at(20),
  };
  const over = await refused(
    of('gin', 'spirit-charges'),
    { ...charge, water: litres(20_000) },
    'over-capacity',
    '/vesselId',
  );
  expect(over.detail).toContain('MT 1 can hold 400 L');
  const mixed = await floor.post(of('gin', 'spirit-charges'), { ...charge, targetStrength: percent(5) });
  // 10 L at 96 % hold 9.6 L of pure alcohol; at 5 % that is 192 L.
  expect([valueOf(mixed.pureAlcohol), valueOf(mixed.volume)]).toEqual([expect.closeTo(9.6, 6), expect.closeTo(192, 2)]);
  // Less water than the difference of the volumes would do: mixing 96 % down contracts by some 0.28 L in 100 L of the result.
  expect(valueOf(mixed.water)).toBeGreaterThan(182);
  expect(valueOf(mixed.water)).toBeLessThan(182 + 192 * 0.004);
  await floor.post(of('gin', 'additions'), {
    vesselId: made.MT1,
    purpose: 'flavouring',
    materialLotId: made.flavouring,
    volume: litres(0.5),
    occurredAt: at(20, 10),
  });
  expect(await contents('MT1')).toMatchObject({ state: 'finished', liquid: { lotCode: 'SPIRIT-1' } });
});

test('2 November: the month is closed, its books hold, and what is left to do is said', async () => {
  clock.set(new Date('2026-11-02T08:00:00Z'));
  expect(await attention()).toEqual(expect.arrayContaining(['period-to-close', 'period-to-open']));
  const closing = await floor.post(`/v1/periods/${made.period}/closing`, {});
  expect(closing.reconciliation).toMatchObject({ balances: true });
  const { premisesId } = floor;
  await floor.post('/v1/periods', { premisesId, month: '2026-11' });
  expect(await attention()).not.toContain('period-to-close');
  await expectBooksHold(service, floor.producerId, floor.key);
});
