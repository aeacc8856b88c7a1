import type { NewReturnMapping, ReturnStartingPoint } from '../../src/excise/returns/mappings/return-mappings.dto.js';
import type { PeriodReturn } from '../../src/excise/returns/pages/return.dto.js';
import { definition } from '../../src/excise/returns/pages/return-pdf.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { textsOn } from '../support/page-text.js';
import { TestService } from '../support/service.js';
import type { Played } from './returns-month.js';
import { playMonth } from './returns-month.js';

type Json = Record<string, unknown>;

let service: TestService;
let filedInUk: { readonly floor: Floor; readonly month: Played; readonly made: PeriodReturn; readonly path: string };
const clock = new SteppableClock(new Date('2025-03-31T21:00:00Z'));
let starts: ReturnStartingPoint[];

beforeAll(async () => {
  service = await TestService.start({ clock });
}, 120_000);
afterAll(() => service.stop());

/** A producer with one of the ready-made rules of duty, changed where a return needs rates, and its month. */
async function producer(
  key: string,
  change: (set: Json) => Json = (set) => set,
): Promise<{ floor: Floor; month: Played }> {
  const floor = await Floor.open(service, [
    ['2025-02-01', '2025-03-01'],
    ['2025-03-01', '2025-04-01'],
  ]);
  const offered = (await floor.get('/v1/duty-rule-sets/starting-points')).items as { key: string; ruleSet: Json }[];
  const found = offered.find((each) => each.key === key);
  await floor.post('/v1/duty-rule-sets', change(structuredClone(found?.ruleSet ?? {})));
  const month = await playMonth(floor);
  starts = (await floor.get('/v1/return-mappings/starting-points')).items as unknown as ReturnStartingPoint[];
  return { floor, month };
}

const start = (key: string): NewReturnMapping =>
  structuredClone(starts.find((each) => each.key === key)?.mapping) as unknown as NewReturnMapping;

/** The form for beer alone: gin and bought materials are named as left out. */
const beerOnly = (mapping: NewReturnMapping): NewReturnMapping => {
  const only = { categories: ['beer'] };
  return {
    ...mapping,
    lines: mapping.lines.map((line) => ({
      ...line,
      ...(line.figures === undefined ? {} : { figures: line.figures.map((term) => ({ ...term, ...only })) }),
      ...(line.duty === undefined
        ? {}
        : { duty: line.duty.map((term) => (term.part === 'releases' ? { ...term, ...only } : term)) }),
    })),
    leavesOut: ['gin'],
  };
};

async function filed(
  floor: Floor,
  month: Played,
  mapping: NewReturnMapping,
): Promise<{ made: PeriodReturn; path: string }> {
  const { id } = await floor.post('/v1/return-mappings', mapping as unknown as Json);
  const path = `/v1/periods/${month.periodId}/returns/${String(id)}`;
  const { body } = await service.expect(200, 'get', `${path}?format=pdf`, { key: floor.key });
  // One page, whatever the form: the objects of the PDF's pages are plain text.
  expect((body as Buffer).toString('latin1').match(/\/Type \/Page\b/g)).toHaveLength(1);
  const made = (await floor.get(path)) as unknown as PeriodReturn;
  const texts = textsOn(definition({ made, hash: 'a'.repeat(64), at: new Date('2025-04-02T10:00:00Z') }).content);
  // No names of properties and no placeholders on the page.
  expect(texts.filter((text) => /\b(?!hL)[a-z]+[A-Z]|\b(null|undefined|NaN)\b|\[object/.test(text))).toEqual([]);
  return { made, path };
}

const valuesOf = ({ lines }: PeriodReturn): Record<string, string> =>
  Object.fromEntries(
    lines.flatMap(({ line, values }) =>
      values
        .filter(({ value }) => Number(value) !== 0)
        .map(({ column, degree, value }) => [
          [line, column, degree].filter((each) => each !== undefined).join(' '),
          value,
        ]),
    ),
  );

test('the month as a US page: every line by hand from the operations, in barrels of 31 gallons', async () => {
  // The rate is from memory; the report of operations has no money.
  const { floor, month } = await producer('us-barrels', (set) => {
    (set.categories as Json[])[0].rates = [{ band: 'beer', from: '1993-01-01', amount: 16 }];
    return set;
  });
  const { made } = await filed(floor, month, beerOnly(start('us-brewers-report')));
  const v = month.mixing;
  // Litres, by line and column.
  const hand: Record<string, Record<string, number>> = {
    // 590 bottles of 0.5 L and ten kegs of 50 L from February.
    1: { d: 500, f: 295 },
    // 1000 L of wort were 980 L by the dip.
    2: { b: 980 },
    3: { b: 30 + v },
    // One keg was opened, and half a litre lost.
    4: { b: 49.5 },
    6: { c: 502, e: 404.6 },
    7: { f: 10 },
    9: { d: 500 },
    10: { f: 400 },
    // 374 bottles of the old lot where the books had 372.
    11: { f: 1 },
    13: { b: 980 + 30 + v + 49.5, c: 502, d: 1000, e: 404.6, f: 295 + 10 + 400 + 1 },
    14: { d: 300, f: 250 + 20 },
    15: { f: 5 },
    16: { f: 50 },
    19: { f: 30 },
    // Ten kegs and 2 L lost; 800 bottles with 2 mL too much in each, and 3 L lost.
    22: { b: 502 },
    23: { b: 404.6 },
    24: { d: 49.5 },
    25: { c: 500 },
    26: { e: 400 },
    27: { f: 2 },
    28: { f: 4 },
    // Trub and a spill; the two runs; the opened keg; what was dropped.
    30: { b: 10 + 1, c: 2, d: 0.5, e: 3, f: 3 },
    // 307 bottles of the new lot where the books had 310.
    31: { f: 1.5 },
    // The dip found 90 L; two bottles more were released in February than were entered; 1.6 L above the nominal volume of the bottles.
    32: { b: 970 + 30 + v - 502 - 404.6 - 90, e: 1.6, f: 1 },
    33: { b: 90 - 1 + 49.5, d: 650, f: (372 + 307) * 0.5 },
    34: { b: 980 + 30 + v + 49.5, c: 502, d: 1000, e: 404.6, f: 706 },
  };
  const barrels = (litres: number) => (Math.round((litres / 117.347765304) * 100) / 100).toFixed(2);
  const expected = Object.fromEntries(
    Object.entries(hand).flatMap(([line, columns]) => [
      ...Object.entries(columns).map(([column, litres]) => [`${line} ${column}`, barrels(litres)]),
      [`${line} g`, barrels(Object.values(columns).reduce((sum, litres) => sum + litres, 0))],
    ]),
  );
  expect(valuesOf(made)).toEqual(
    Object.fromEntries(Object.entries(expected).filter(([, value]) => Number(value) !== 0)),
  );
  expect(made.ties.map(({ balances }) => balances)).toEqual(Array.from({ length: 10 }, () => true));
  expect(made.flags).toEqual([]);
  // Gin is left out on purpose, and nothing of the beer is forgotten.
  expect(new Set(made.unmapped.map(({ category, leftOut }) => `${category} ${leftOut}`))).toEqual(
    new Set(['gin true']),
  );
}, 120_000);

test('the month as a UK page: standard rate, draught relief, an earlier return put right, goods returned', async () => {
  // Rates of February 2025; the draught relief of 3.00 GBP a litre of alcohol is invented.
  const { floor, month } = await producer('uk-litre-of-alcohol', (set) => {
    const [beer, other] = set.categories as Json[];
    other.rates = beer.rates;
    beer.relief = {
      name: 'draught relief',
      kind: 'per-unit',
      amount: 3,
      mode: 'up',
      places: 2,
      bands: ['3.5-8.4'],
      minimumContainer: { value: 20, unit: 'L' },
      forDispense: true,
    };
    return set;
  });
  const { made, path } = await filed(floor, month, start('uk-alcohol-duty-return'));
  expect(valuesOf(made)).toEqual({
    // 500 and 10 bottles of 5.3 %, 40 of 4.8 %: 255 L x 0.053 + 20 L x 0.048 = 14.475 L; x 21.78 = 315.2655.
    'B2 litres': '275.00',
    'B2 alcohol': '14.4750',
    'B2 duty': '315.26',
    // Six kegs of 50 L for dispense: 300 x 0.053 = 15.9; x 18.78 = 298.602.
    'B6 litres': '300.00',
    'B6 alcohol': '15.9000',
    'B6 duty': '298.60',
    // Twenty bottles of gin: 14 L x 0.372 = 5.208; x 32.79 = 170.77032.
    'O4 litres': '14.00',
    'O4 alcohol': '5.2080',
    'O4 duty': '170.77',
    'T1 duty': '784.63',
    // February: 10 bottles of 4.8 % were 5.2272, cut 5.22; twelve are 6.27264, cut 6.27.
    'U litres': '1.00',
    'U alcohol': '0.0480',
    'U duty': '1.05',
    // Twenty bottles came back: 10 x 0.053 = 0.53; x 21.78 = 11.5434.
    'W litres': '10.00',
    'W alcohol': '0.5300',
    'W duty': '11.54',
    // Three bottles were missing: 1.5 L x 0.053 = 0.0795; x 21.78 = 1.73151.
    'X litres': '1.50',
    'X alcohol': '0.0795',
    'X duty': '1.73',
    'T2 duty': '775.87',
  });
  expect([made.unmapped, made.flags, made.status]).toEqual([[], [], 'draft']);
  filedInUk = { floor, month, made, path };
}, 120_000);

test('the month as an Australian page: by tariff subitem, litres of alcohol cut to 0.1', async () => {
  const { floor, month } = await producer('au-litres-of-alcohol', (set) => {
    for (const category of set.categories as { code: string; rates?: Json[] }[]) {
      const band = category.code === 'beer' ? 'above-1.15' : 'all';
      category.rates = [{ band, from: '2019-01-01', amount: 57.79 }];
    }
    return set;
  });
  const mapping = start('au-excise-return');
  // ATO, March 2023: 57.79 AUD a litre of alcohol; the amount is cut to the cent.
  const duty = { line: '1.10 duty', label: 'Duty', unit: 'money', rounding: [{ mode: 'cut', places: 2 }] } as const;
  const { made } = await filed(floor, month, {
    ...mapping,
    currency: 'AUD',
    lines: [
      ...mapping.lines,
      { ...duty, rounding: [...duty.rounding], lines: [{ line: '1.10', rounded: true, factor: 57.79 }] },
    ],
  });
  expect(valuesOf(made)).toEqual({
    // 255 L x (5.3 - 1.15) % + 20 L x (4.8 - 1.15) % = 10.5825 + 0.73 = 11.3125.
    '1.10': '11.3',
    // Kegs of 50 L: 300 x 4.15 % = 12.45.
    '1.11': '12.4',
    // Gin, the whole strength: 14 x 37.2 % = 5.208.
    '2 and 3': '5.2',
    // 11.3 x 57.79 = 653.027.
    '1.10 duty': '653.02',
  });
  expect(made.unmapped.map(({ figure, money }) => [figure, money])).toEqual([
    ['returned', expect.any(String)],
    ['under-declared', expect.any(String)],
    ['deficiency', undefined],
  ]);
}, 120_000);

test('the month as a German page: hectolitres by whole degree, the tax cut a row', async () => {
  const { floor, month } = await producer('de-plato', (set) => {
    (set.categories as Json[])[0].takes = ['beer'];
    return set;
  });
  const { made } = await filed(floor, month, beerOnly(start('de-beer-tax-return')));
  expect(valuesOf(made)).toEqual({
    // 1.046 is 11.4 °P: 20 L; 0.2 x 11 x 0.787 = 1.7314.
    '1 hl 11': '0.20',
    '1 tax 11': '1.73',
    // 1.052 is 12.8 °P; with 30 L of water to 970 L of it 12.5: 555 L; 5.55 x 12 x 0.787 = 52.4142.
    '1 hl 12': '5.55',
    '1 tax 12': '52.41',
    '2 tax': '54.14',
    // February: 0.05 x 11 x 0.787 = 0.43285, cut 0.43; 0.06 x 11 x 0.787 = 0.51942, cut 0.51.
    '3 tax': '0.08',
    // 10 L came back: 0.1 x 12 x 0.787 = 0.9444.
    '5 tax': '0.94',
    // Three bottles were missing: 0.015 x 12 x 0.787 = 0.14166.
    '6 tax': '0.14',
    '7 tax': '53.42',
  });
}, 120_000);

test('a mapping that cannot be filled in without doubt is refused plainly, and nothing is stored', async () => {
  const { floor } = await producer('de-plato', (set) => {
    (set.categories as Json[])[0].takes = ['beer'];
    return set;
  });
  const row = { line: '1', label: 'Removed', figures: [{ figures: ['released'] }] };
  const form = { name: 'A form', formTitle: 'A form', sources: [], unit: 'L' };
  const beer = { line: '1', label: 'Beer', figures: [{ figures: ['released'], categories: ['beer'] }] };
  const money = { line: '2', label: 'Tax', unit: 'money', duty: [{ part: 'releases' }] };
  const bad: [string, Json, string, string][] = [
    [
      'a line twice',
      { ...form, lines: [row, { ...row, figures: [{ figures: ['samples'] }] }] },
      'twice',
      '/lines/1/line',
    ],
    ['a figure mapped twice', { ...form, lines: [row, { ...row, line: '2' }] }, 'twice', '/lines/1/figures/0'],
    ['a category in none', { ...form, lines: [beer] }, 'category-in-none', '/lines'],
    [
      'a category that the producer has not',
      { ...form, lines: [{ ...row, figures: [{ figures: ['released'], categories: ['cider'] }] }] },
      'unknown-category',
      '/lines/0/figures/0/categories/0',
    ],
    [
      'a category that the rules have not',
      { ...form, lines: [{ line: '1', label: 'X', duty: [{ part: 'releases', dutyCategories: ['wine'] }] }] },
      'unknown-category',
      '/lines/0/duty/0/dutyCategories/0',
    ],
    ['a line that takes nothing', { ...form, lines: [{ line: '1', label: 'X' }] }, 'required', '/lines/0'],
    ['money without a currency', { ...form, lines: [money] }, 'required', '/currency'],
    ['litres as money', { ...form, currency: 'EUR', unit: 'money', lines: [row] }, 'contradictory', '/lines/0/figures'],
    [
      'a line that is not there',
      { ...form, lines: [{ line: '1', label: 'X', lines: [{ line: '9' }] }] },
      'unknown-line',
      '/lines/0/lines/0/line',
    ],
    [
      'a circle',
      { ...form, lines: ['1', '2'].map((line, i) => ({ line, label: 'X', lines: [{ line: i === 0 ? '2' : '1' }] })) },
      'contradictory',
      '/lines/0/lines',
    ],
    [
      'a column that is not there',
      { ...form, lines: [{ ...row, columns: ['z'] }] },
      'unknown-column',
      '/lines/0/columns/0',
    ],
  ];
  const before = await service.rowCounts();
  for (const [what, body, rule, pointer] of bad) {
    const { errors } = (await floor.post('/v1/return-mappings', body, 422)) as { errors: Json[] };
    expect([what, errors[0].rule, errors[0].pointer]).toEqual([what, rule, pointer]);
  }
  expect(await service.rowCounts()).toEqual(before);

  // Said on purpose, both are taken; the next body of the name is its next version, and a version is retired with its tag.
  const twice = { ...row, line: '2', figures: [{ figures: ['released'], repeated: true }] };
  await floor.post('/v1/return-mappings', { ...form, lines: [row, twice] });
  const second = await floor.post('/v1/return-mappings', { ...form, lines: [beer], leavesOut: ['gin'] });
  expect(second.number).toBe(2);
  const path = `/v1/return-mappings/${String(second.id)}`;
  const retire = (headers: Record<string, string>, status: number) =>
    service.expect(status, 'patch', path, { key: floor.key, body: { retired: true }, headers });
  await retire({}, 428);
  await retire({ 'if-match': '"v7"' }, 412);
  await retire({ 'if-match': '"v1"' }, 200);
  expect((await floor.get(path)).retiredAt).toBeDefined();
}, 120_000);

test('a return of a closed month comes from the frozen report: the same lines, the same bytes every time', async () => {
  const { floor, month, made, path } = filedInUk;
  clock.set(new Date('2025-04-01T09:00:00Z'));
  await floor.post(`/v1/periods/${month.periodId}/closing`, {});
  const get = async () => (await service.expect(200, 'get', path, { key: floor.key })).text;
  const closed = await get();
  expect({ ...(JSON.parse(closed) as PeriodReturn), status: made.status, reportHash: made.reportHash }).toEqual(made);
  // What is entered later for the closed month does not touch it.
  const [goods] = (await floor.get('/v1/packaged-lots?lotMark=B-2')).items as Json[];
  const april = { premisesId: floor.premisesId, startsOn: '2025-04-01', endsBefore: '2025-05-01' };
  await floor.post('/v1/periods', april);
  const sample = { kind: 'sample', packagedLotId: goods.id, count: 1, occurredAt: '2025-04-01T08:00:00Z' };
  await floor.post('/v1/movements', sample);
  expect(await get()).toBe(closed);
  // The CSV has the same values, and says that it is an example.
  const csv = (await service.expect(200, 'get', `${path}?format=csv`, { key: floor.key })).text;
  expect(csv).toContain('Example, not advice; local regulations and licensed practice decide.');
  expect(csv).toMatch(/^lines,.*,B6,"?Beer, 3.5 to 8.4 %, draught"?,duty,.*,money,GBP,298.6,298.60,/m);
}, 120_000);
