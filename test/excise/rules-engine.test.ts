import { percent } from '../../src/excise/duty/rules/rule-set.js';
import fc from 'fast-check';
import { dutyOf } from '../../src/excise/duty/rules/duty.js';
import type { RuleSet } from '../../src/excise/duty/rules/rule-set.js';
import { Exact } from '../../src/metrology/decimals.js';
import { DEFAULT_RULE_SET } from '../../src/excise/duty/starting-points/plain.js';
import { line, named, calculate, startingSet, withCategory, withRate } from './rules-support.js';

const UK = withRate(startingSet('uk-litre-of-alcohol'), 'beer', '2026-01-01', 20);
const by = (rule: RuleSet['strengthForDuty']): RuleSet => ({ ...UK, strengthForDuty: rule });
const codes = (set: RuleSet, facts: Parameters<typeof line>[0]) => {
  const [{ band, strengthFrom, strengthPercent, flags, candidates }] = calculate(set, line(facts)).lines;
  return {
    band: band?.code,
    strengthFrom,
    strength: strengthPercent.toFixed(),
    flags: flags.map(({ code }) => code),
    candidates,
  };
};

describe('which strength counts', () => {
  const facts = { litres: 100, declared: 4.5, measured: [4.78, 0.1] } as const;
  test.each([
    [{ rule: 'declared' }, 'declared', '4.5'],
    [{ rule: 'measured' }, 'measured', '4.7'],
    [{ rule: 'greater-of-declared-and-measured' }, 'measured', '4.7'],
    [{ rule: 'declared-unless-measured-above', tolerance: percent(0.28) }, 'declared', '4.5'],
    [{ rule: 'declared-unless-measured-above', tolerance: percent(0.27) }, 'measured', '4.7'],
  ] as const)('%j', (rule, strengthFrom, strength) => {
    expect(codes(by(rule), facts)).toMatchObject({ strengthFrom, strength, band: '3.5-8.4', flags: [] });
  });

  test('the greater is the declared one where less is measured; what was not measured is said', () => {
    expect(codes(by({ rule: 'greater-of-declared-and-measured' }), { ...facts, measured: [4.2, 0.1] })).toMatchObject({
      strengthFrom: 'declared',
      strength: '4.5',
    });
    expect(codes(by({ rule: 'measured' }), { litres: 1, declared: 4.5 }).flags).toEqual(['no-measured-strength']);
  });

  test('measured and declared further apart than the tolerance of the label', () => {
    const set = { ...UK, labelTolerance: percent(0.28) };
    expect(codes(set, facts).flags).toEqual([]);
    expect(codes(set, { ...facts, measured: [4.781, 0.1] }).flags).toEqual(['outside-label-tolerance']);
  });
});

describe('a label in another band', () => {
  const UNTOLERANT = { ...UK, labelTolerance: undefined };

  test('is flagged though the label decides, beside the producer’s own tolerance', () => {
    const found = codes(UNTOLERANT, { litres: 100, declared: 3.4, measured: [5, 0.34], ownTolerance: new Exact(0.3) });
    expect(found).toMatchObject({ band: '1.3-3.4', flags: ['outside-label-tolerance', 'measured-in-another-band'] });
  });

  test('is flagged where the measured strength decides', () => {
    const found = codes(by({ rule: 'measured' }), { litres: 100, declared: 3.4, measured: [5, 0.34] });
    expect(found).toMatchObject({ band: '3.5-8.4', flags: ['measured-in-another-band'] });
  });

  test('is not flagged where the interval reaches the band of the label', () => {
    expect(codes(UNTOLERANT, { litres: 100, declared: 3.4, measured: [3.84, 0.34] }).flags).toEqual([
      'measured-in-another-band',
    ]);
    expect(codes(UNTOLERANT, { litres: 100, declared: 3.4, measured: [3.83, 0.34] }).flags).toEqual([
      'band-edge-within-uncertainty',
    ]);
  });

  test('the tolerance of the rule set counts before the producer’s own', () => {
    const set = { ...UK, labelTolerance: percent(0.5) };
    const found = { litres: 100, declared: 4.5, measured: [4.9, 0.1] as const, ownTolerance: new Exact(0.3) };
    expect(codes(set, found).flags).toEqual([]);
    expect(codes(UNTOLERANT, found).flags).toEqual(['outside-label-tolerance']);
  });
});

describe('degrees Plato', () => {
  test('a line of the return is the hectolitres of one whole degree: its money is cut, not that of a release', () => {
    // By hand: 12 °P, 30 L + 30 L + 40 L = 1 hL: 12 × 0.787 = 9.444, cut to 9.44; each release alone 2.83 + 2.83 + 3.77 = 9.43.
    // 11 °P, 2.5 hL: 2.5 × 11 × 0.787 = 21.6425, cut to 21.64.
    const releases = [
      ...[30, 30, 40].map((litres) => line({ litres, plato: 12.4 })),
      line({ litres: 250, plato: 11.9 }),
    ];
    const { groups, money } = calculate(startingSet('de-plato'), ...releases);
    expect(groups.map((each) => [each.degree?.toFixed(), each.quantity.toFixed(), each.money?.toFixed()])).toEqual([
      ['11', '27.5', '21.64'],
      ['12', '12', '9.44'],
    ]);
    expect(money[0].amount.toFixed()).toBe('31.08');
  });
});

describe('an edge inside the interval', () => {
  test('is flagged and left undecided where the measured strength counts: alcohol is counted, money is not', () => {
    const lineAtEdge = line({ litres: 100, declared: 3.4, measured: [3.45, 0.06] });
    const result = calculate(by({ rule: 'measured' }), lineAtEdge);
    expect(result.lines[0].flags.map(({ code }) => code)).toEqual(['band-undecided']);
    expect(result.lines[0].candidates).toEqual(['1.3-3.4', '3.5-8.4']);
    const [group] = result.groups;
    expect([group.band, group.quantity.toFixed(), group.money]).toEqual([undefined, '3.4', undefined]);
    expect([result.money, result.complete]).toEqual([[], false]);
  });

  test('is flagged and decided by the label where the label counts', () => {
    expect(codes(UK, { litres: 1, declared: 3.4, measured: [3.45, 0.06] })).toMatchObject({
      band: '1.3-3.4',
      flags: ['band-edge-within-uncertainty'],
    });
  });

  test('just clear of the edge the band is decided; on the edge it is not', () => {
    const at = (percent: number) =>
      codes(by({ rule: 'measured' }), { litres: 1, declared: 3.4, measured: [percent, 0.06] });
    expect(at(3.4399)).toMatchObject({ band: '1.3-3.4', flags: [] });
    expect(at(3.44)).toMatchObject({ band: undefined, flags: ['band-undecided'] });
    expect(at(3.56)).toMatchObject({ band: '3.5-8.4', flags: ['measured-in-another-band'] });
  });

  test('a declared strength above the whole interval decides by the greater of the two', () => {
    const set = by({ rule: 'greater-of-declared-and-measured' });
    expect(codes(set, { litres: 1, declared: 3.6, measured: [3.45, 0.06] })).toMatchObject({ band: '3.5-8.4' });
    expect(codes(set, { litres: 1, declared: 3.4, measured: [3.45, 0.06] })).toMatchObject({
      flags: ['band-undecided'],
    });
  });
});

describe('the duty date', () => {
  const dated = withCategory(UK, 'beer', {
    rates: UK.categories[0].bands
      .filter(({ untaxed }) => untaxed !== true)
      .flatMap(({ code }) => [
        { band: code, from: '2026-01-01', before: '2026-02-01', amount: 10 },
        { band: code, from: '2026-02-01', before: '2026-03-01', amount: 20 },
      ]),
  });
  const on = (dutyDate: string) => calculate(dated, line({ litres: 100, dutyDate }));

  test('picks the rate, the last day of one and the first of the next', () => {
    expect(['2026-01-31', '2026-02-01'].map((day) => on(day).money[0].amount.toFixed())).toEqual(['50', '100']);
  });

  test('after the last rate: no money, and it says so', () => {
    const after = on('2026-03-01');
    expect([after.money, after.complete, after.lines[0].flags[0].code]).toEqual([[], false, 'no-rate']);
  });

  test('picks the rule set: the one that began last, of one day the later version, the plain one before all', () => {
    const sets = [
      DEFAULT_RULE_SET,
      named({ ...UK, validFrom: '2026-01-01' }, '1'),
      named({ ...UK, validFrom: '2026-03-01' }, '2'),
      named({ ...UK, validFrom: '2026-03-01' }, '3'),
      named({ ...UK, validFrom: '2026-02-01' }, '4'),
    ];
    const days = ['2025-12-31', '2026-01-01', '2026-02-10', '2026-03-01'];
    const { lines, groups } = dutyOf(
      sets,
      days.map((dutyDate) => line({ litres: 1, dutyDate })),
    );
    expect(lines.map(({ set }) => [set.id, set.version])).toEqual([
      ['declared-strength', '1'],
      ['set-1', '1'],
      ['set-4', '4'],
      ['set-3', '3'],
    ]);
    expect(groups).toHaveLength(4);
  });
});

describe('order of rounding', () => {
  test('sum then cut is not cut then sum: the grouping is the rule’s', () => {
    const cut = (grouping: 'line' | 'day' | 'period') =>
      calculate(
        withCategory(startingSet('plain-litre-of-alcohol'), 'all', {
          rounding: [{ name: 'cut', basis: 'litres-of-alcohol', mode: 'cut', places: 0, grouping }],
        }),
        ...['2026-03-01', '2026-03-01', '2026-03-02', '2026-03-02'].map((dutyDate) => line({ litres: 18, dutyDate })),
      ).groups[0].quantity.toFixed();
    // 0.9 litres of alcohol each.
    expect(['line', 'day', 'period'].map((each) => cut(each as 'line'))).toEqual(['0', '2', '3']);
  });

  test('money by day is calculated from the rounded sum of the day', () => {
    const set = withCategory(withRate(startingSet('us-barrels'), 'beer', '2026-01-01', 3.5, 'USD'), 'beer', {
      rounding: [
        { name: 'removal', basis: 'barrels', mode: 'half-up', places: 5 },
        { name: 'day', basis: 'barrels', mode: 'half-up', places: 2, grouping: 'day' },
        { name: 'tax of the day', basis: 'money', mode: 'half-up', places: 2, grouping: 'day' },
      ],
    });
    const kegs = ['2026-03-02', '2026-03-01'].map((dutyDate) => line({ litres: 50, dutyDate }));
    const [group] = calculate(set, ...kegs, line({ litres: 30, dutyDate: '2026-03-01' })).groups;
    // 0.42608 + 0.25565 = 0.68173 → 0.68 → 2.38; 0.43 → 1.505 → 1.51.
    expect(group.days.map(({ day, quantity, money }) => [day, quantity.toFixed(), money?.toFixed()])).toEqual([
      ['2026-03-01', '0.68', '2.38'],
      ['2026-03-02', '0.43', '1.51'],
    ]);
    expect(group.money?.toFixed()).toBe('3.89');
  });

  test('without any step nothing is rounded: the sum of the raw values, whatever the lines', () => {
    const set = withRate(startingSet('plain-litre-of-alcohol'), 'all', '2026-01-01', 21.78);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 1e9 }), fc.integer({ min: 0, max: 100_000 })), {
          minLength: 1,
          maxLength: 8,
        }),
        (all) => {
          const lines = all.map(([microlitres, strength]) =>
            line({ litres: new Exact(microlitres).dividedBy(1e6).toFixed(), declared: strength / 1000 }),
          );
          const { groups, money } = calculate(set, ...lines);
          const alcohol = all.reduce(
            (sum, [microlitres, strength]) => sum + BigInt(microlitres) * BigInt(strength),
            0n,
          );
          expect(groups[0].quantity.times(1e11).toFixed()).toBe(alcohol.toString());
          expect(money[0].amount.times(1e13).toFixed()).toBe((alcohol * 2178n).toString());
        },
      ),
    );
  });
});

describe('relief', () => {
  const relieved = withCategory(UK, 'beer', {
    relief: {
      name: 'discount up to the penny',
      kind: 'percentage',
      amount: 33.3333,
      mode: 'up',
      places: 2,
      minimumContainer: { value: 20, unit: 'L' },
      forDispense: true,
    },
  });

  test('is rounded up at its named step and taken off the rate, only where container and dispense fit', () => {
    const keg = { litres: 100, containerL: 20, forDispense: true };
    const { groups } = calculate(
      relieved,
      line(keg),
      line({ ...keg, containerL: 19.999999 }),
      line({ ...keg, forDispense: false }),
    );
    // 20 × 33.3333 % = 6.66666 → 6.67; 20 − 6.67 = 13.33; 5 litres of alcohol.
    expect(
      groups.map((each) => [each.relieved, each.rate?.toFixed(), each.money?.toFixed(), each.lines.length]),
    ).toEqual([
      [false, '20', '200', 2],
      [true, '13.33', '66.65', 1],
    ]);
    const [step] = groups[1].rateSteps;
    expect([step.step.name, step.raw.toFixed(), step.rounded.toFixed()]).toEqual([
      'discount up to the penny',
      '6.66666',
      '6.67',
    ]);
  });

  test('never makes a rate negative', () => {
    const more = withCategory(relieved, 'beer', {
      relief: { name: 'r', kind: 'per-unit', amount: 25, mode: 'up', places: 2 },
    });
    expect(calculate(more, line({ litres: 100 })).money[0].amount.toFixed()).toBe('0');
  });
});

test('what no category takes is named and not calculated; a band without duty has no money and lacks nothing', () => {
  const only = { ...UK, categories: UK.categories.slice(0, 1) };
  const other = calculate(only, line({ litres: 1, category: 'cider' }));
  expect([other.lines[0].flags[0].code, other.groups, other.complete]).toEqual(['no-category', [], false]);
  const weak = calculate(UK, line({ litres: 100, declared: 1.29 }));
  expect([weak.groups[0].untaxed, weak.groups[0].quantity.toFixed(), weak.money, weak.complete]).toEqual([
    true,
    '1.2',
    [],
    true,
  ]);
});

test('without an original extract the Plato basis says so and calculates nothing', () => {
  const { lines, groups } = calculate(startingSet('de-plato'), line({ litres: 100 }));
  expect([lines[0].quantity, lines[0].flags[0].code, groups]).toEqual([undefined, 'no-original-extract', []]);
});

test('one hectolitre per cent is one litre of pure alcohol, and a hundred litres of it one hectolitre', () => {
  const facts = { litres: 12345, declared: 4.57 };
  const alcohol = calculate(startingSet('uk-litre-of-alcohol'), line(facts)).groups[0].quantity;
  const percent = calculate(startingSet('uk-hectolitre-percent'), line(facts)).groups[0].quantity;
  const hl = calculate(withCategory(startingSet('uk-litre-of-alcohol'), 'beer', { unit: 'hL' }), line(facts)).groups[0]
    .quantity;
  expect([percent.toFixed(), hl.times(100).toFixed()]).toEqual([alcohol.toFixed(), alcohol.toFixed()]);
});
