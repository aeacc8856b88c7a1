import { roundingGroundsOf } from '../../src/excise/duty/starting-points/rounding-grounds.js';
import { STARTING_POINTS } from '../../src/excise/duty/starting-points/starting-points.js';
import { readReferenceCsv } from '../support/reference-files.js';
import { calculate, line, startingSet, withRate } from './rules-support.js';

const TAKEN = { line: ['product', 'release'], day: ['day'], period: ['return-line'] };

test('every step of every ready-made set says what its rounding is put on, and takes it there', () => {
  for (const start of STARTING_POINTS) {
    const grounds = new Map(roundingGroundsOf(start).map((each) => [each.step, each]));
    const steps = start.ruleSet.categories.flatMap(({ rounding = [] }) => rounding);
    expect([start.key, new Set(grounds.keys())]).toEqual([start.key, new Set(steps.map(({ name }) => name))]);
    for (const { name, grouping = 'line' } of steps) {
      expect([start.key, name, TAKEN[grouping]]).toEqual([
        start.key,
        name,
        expect.arrayContaining([grounds.get(name)?.taken]),
      ]);
    }
  }
});

test('the published rules say so: rows of strength-rounding-rules.csv', () => {
  const rows = readReferenceCsv('excise/strength-rounding-rules.csv');
  const rule = (jurisdiction: string, topic: string): string =>
    rows.find((row) => row.jurisdiction === jurisdiction && row.topic === topic)?.rule ?? '';
  expect(rule('UK', 'strength rounding for duty')).toContain('cut down to one decimal, never up');
  expect(rule('UK', 'duty sum')).toContain('cut down to the penny');
  expect(rule('US', 'keg / case rounding')).toMatch(/each removal to 5 decimals.*DAY sum is rounded to 2 decimals/);
  expect(rule('US', 'proof rounding')).toContain('nearest tenth of a degree');
  expect(rule('AU', 'rounding')).toMatch(/litres of alcohol per line cut to 1 decimal.*cut to the cent/);
  expect(rule('DE', 'beer tax basis')).toContain('decimals dropped (whole degrees)');
});

// Three releases of one line: what is rounded once, and what three times. Each by hand.
const three = (key: string, litres: number, more: Omit<Parameters<typeof line>[0], 'litres'> = {}) => {
  const rated = { 'au-litres-of-alcohol': 57.79, 'us-barrels': 18 }[key];
  const set = rated === undefined ? startingSet(key) : withRate(startingSet(key), 'beer', '2020-01-01', rated, 'AUD');
  return calculate(set, ...[1, 2, 3].map(() => line({ dutyDate: '2025-03-05', ...more, litres })));
};

test('United Kingdom: the strength of a product is cut, the money of the line of the return once', () => {
  // 1 L of 4.99 %: 4.9 %; 0.049 x 21.78 = 1.06722. Three: 3.20166, cut 3.20; each cut would make 3.18.
  const { lines, money } = three('uk-litre-of-alcohol', 1, { declared: 4.99 });
  expect([lines[0].strengthPercent.toFixed(), money[0].amount.toFixed()]).toEqual(['4.9', '3.2']);
});

test('United States: each removal to 5 decimals, the day to 2, the tax on the rounded day', () => {
  // 30 L are 0.25565 barrel (27 CFR 25.156). Three: 0.76695, the day 0.77; 0.77 x 18 = 13.86.
  const { groups, money } = three('us-barrels', 30);
  expect(groups[0].days.map(({ quantityRaw, quantity }) => [quantityRaw.toFixed(), quantity.toFixed()])).toEqual([
    ['0.76695', '0.77'],
  ]);
  expect(money[0].amount.toFixed()).toBe('13.86');
});

test('United States: the proof gallons of each gauge are rounded to 0.1, not the sum of the period', () => {
  // 12 L of 40 %: 3.160 wine gallons at 60 °F x 0.799 = 2.525, so 2.5 each and 7.5 in all; the sum of 7.575 would be 7.6.
  const { lines, groups } = three('us-proof-gallons', 12, { declared: 40, category: 'spirits' });
  expect(Number(lines[0].raw)).toBeCloseTo(2.525, 2);
  expect([lines[0].quantity?.toFixed(), groups[0].quantity.toFixed()]).toEqual(['2.5', '7.5']);
});

test('Australia: the litres of alcohol of the line of the return are cut once, then its money', () => {
  // ATO: 85.2 L of 5 % are 3.2802 above 1.15 %. Three: 9.8406, cut 9.8; each cut would make 9.6. 9.8 x 57.79 = 566.342.
  const { groups, money } = three('au-litres-of-alcohol', 85.2, { declared: 5 });
  expect([groups[0].quantityRaw.toFixed(), groups[0].quantity.toFixed()]).toEqual(['9.8406', '9.8']);
  expect(money[0].amount.toFixed()).toBe('566.34');
});

test('Germany: the degree of a product is cut, the tax of the row of the return once', () => {
  // 0.25 hL of 11.9 °P: 0.25 x 11 x 0.787 = 2.16425. Three: 6.49275, cut 6.49; each cut would make 6.48.
  const { groups, money } = three('de-plato', 25, { plato: 11.9 });
  expect([groups[0].degree?.toFixed(), money[0].amount.toFixed()]).toEqual(['11', '6.49']);
});
