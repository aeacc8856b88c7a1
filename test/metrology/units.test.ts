import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { canonicalText, decimalOf, parseCanonical, sumOf, toPlaces6HalfEven } from '../../src/metrology/decimals.js';
import { toBase, toBookLitres, unitsOf, type Property } from '../../src/metrology/units.js';
import { refusalOf } from '../support/refusal.js';

describe('units', () => {
  test.each<[Property, number, string, number]>([
    ['volume', 1, '[gal_us]', 3.785411784],
    ['volume', 128, '[foz_us]', 3.785411784],
    ['volume', 8, '[pt_us]', 3.785411784],
    ['volume', 8, '[pt_br]', 4.54609],
    ['volume', 1, '[gal_br]', 4.54609],
    ['volume', 2, 'hL', 200],
    ['volume', 750, 'mL', 0.75],
    ['volume', 1, 'm3', 1000],
    ['mass', 1, '[lb_av]', 0.45359237],
    ['mass', 16, '[oz_av]', 0.45359237],
    ['mass', 250, 'g', 0.25],
    ['temperature', 60, '[degF]', 15.555555555555555],
    ['temperature', -40, '[degF]', -40],
    ['temperature', 20, 'Cel', 20],
    ['pressure', 1, 'bar', 100],
    // 4.4482216152605 N on 6.4516 cm².
    ['pressure', 1, '[psi]', 4448.2216152605 / 645.16],
    ['fraction', 5, '%', 5],
    ['density', 998.2, 'kg/m3', 998.2],
  ])('%s: %d %s is %d in the base unit', (property, value, unit, expected) => {
    expect(toBase(property, { value, unit })).toBeCloseTo(expected, 12);
  });

  test('a unit outside the list is refused, naming the list', () => {
    const refusal = refusalOf(() => toBase('volume', { value: 1, unit: 'l' }));
    expect(refusal).toMatchObject({ rule: 'unknown-unit', details: { pointer: 'volume/unit' } });
    expect(refusal.details.allowed).toEqual([
      'L',
      'mL',
      'hL',
      'm3',
      '[gal_us]',
      '[foz_us]',
      '[pt_us]',
      '[gal_br]',
      '[pt_br]',
    ]);
    expect(refusal.message).toContain('[gal_us]');
    expect(refusalOf(() => toBase('mass', { value: 1, unit: 'L' }, 'waterMass')).details.pointer).toBe(
      'waterMass/unit',
    );
    expect(refusalOf(() => toBase('mass', { value: 1, unit: 'constructor' })).rule).toBe('unknown-unit');
    expect(refusalOf(() => toBase('mass', { value: 1, unit: '' })).rule).toBe('unknown-unit');
    expect(refusalOf(() => toBase('mass', { value: NaN, unit: 'kg' })).rule).toBe('not-finite');
    expect(refusalOf(() => toBase('volume', { value: 1e308, unit: 'm3' })).rule).toBe('not-finite');
  });
});

describe('litres of the books', () => {
  test('exact, half-even to six places, and it says when digits were dropped', () => {
    const booked = (value: number, unit: string): [string, boolean] => {
      const { litres, rounded } = toBookLitres({ value, unit });
      return [litres.toFixed(), rounded];
    };
    expect(booked(5, '[gal_us]')).toEqual(['18.927059', true]);
    expect(booked(1000, '[gal_us]')).toEqual(['3785.411784', false]);
    expect(booked(0.1, 'L')).toEqual(['0.1', false]);
    expect(toBookLitres({ value: 0.0005, unit: 'mL' }).litres.toFixed()).toBe('0');
    expect(toBookLitres({ value: 0.0015, unit: 'mL' }).litres.toFixed()).toBe('0.000002');
    expect(toBookLitres({ value: new Decimal('0.0000025'), unit: 'L' }).litres.toFixed()).toBe('0.000002');
  });

  test('agrees with whole-number arithmetic, every unit', () => {
    // Litres times 10¹³, from the gallons: the smallest scale on which every factor is a whole number.
    const gallonUs = 37854117840000n;
    const gallonBr = 45460900000000n;
    const factors: Record<string, bigint> = {
      L: 10n ** 13n,
      mL: 10n ** 10n,
      hL: 10n ** 15n,
      m3: 10n ** 16n,
      '[gal_us]': gallonUs,
      '[foz_us]': gallonUs / 128n,
      '[pt_us]': gallonUs / 8n,
      '[gal_br]': gallonBr,
      '[pt_br]': gallonBr / 8n,
    };
    expect(Object.keys(factors)).toEqual(unitsOf('volume'));
    expect((gallonUs / 128n) * 128n).toBe(gallonUs);
    fc.assert(
      fc.property(fc.constantFrom(...unitsOf('volume')), fc.integer({ min: -1e8, max: 1e8 }), (unit, thousandths) => {
        const scaled = BigInt(thousandths) * factors[unit];
        const size = scaled < 0n ? -scaled : scaled;
        const divisor = 10n ** 10n;
        const rest = size % divisor;
        const down = size / divisor;
        const up = rest * 2n > divisor || (rest * 2n === divisor && down % 2n === 1n) ? 1n : 0n;
        const millionths = (down + up) * (scaled < 0n ? -1n : 1n);
        const { litres, rounded } = toBookLitres({ value: thousandths / 1000, unit });
        expect(litres.times(1e6).toFixed()).toBe(canonicalText(new Decimal(millionths.toString())));
        expect(rounded).toBe(rest !== 0n);
      }),
      { numRuns: 500 },
    );
  });

  test('refusals', () => {
    expect(refusalOf(() => toBookLitres({ value: 1e6, unit: 'm3' })).rule).toBe('out-of-range');
    expect(refusalOf(() => toBookLitres({ value: NaN, unit: 'L' })).rule).toBe('not-finite');
    expect(refusalOf(() => toBookLitres({ value: 1, unit: 'kg' }, 'draw')).details.pointer).toBe('draw/unit');
  });
});

describe('decimals', () => {
  test('canonical text and its reading are inverses', () => {
    fc.assert(
      fc.property(
        fc.bigInt({ min: -(10n ** 15n), max: 10n ** 15n }),
        fc.integer({ min: 0, max: 6 }),
        (units, places) => {
          const value = new Decimal(units.toString()).dividedBy(10 ** places);
          const text = canonicalText(value);
          expect(parseCanonical(text).equals(value)).toBe(true);
          expect(canonicalText(parseCanonical(text))).toBe(text);
        },
      ),
    );
  });

  test('no exponent, no trailing zero, no minus zero', () => {
    expect(['1e-10', '1.50', '-0', '1e20', '-0.100'].map((text) => canonicalText(new Decimal(text)))).toEqual([
      '0.0000000001',
      '1.5',
      '0',
      '100000000000000000000',
      '-0.1',
    ]);
  });

  test.each([
    '',
    ' 1',
    '1.',
    '.5',
    '01',
    '1.0',
    '-0',
    '+1',
    '1e3',
    '0x1',
    'NaN',
    'Infinity',
    '1,5',
    '1\n',
    '--1',
    '1'.repeat(43),
  ])('refused as not canonical: %j', (text) => {
    expect(refusalOf(() => parseCanonical(text, 'amount'))).toMatchObject({
      rule: 'not-canonical',
      details: { pointer: 'amount' },
    });
  });

  test('half-even to six places', () => {
    const rounded = ['0.0000005', '0.0000015', '-0.0000025', '1.2345678', '0.00000050000001'].map((text) =>
      canonicalText(toPlaces6HalfEven(new Decimal(text))),
    );
    expect(rounded).toEqual(['0', '0.000002', '-0.000002', '1.234568', '0.000001']);
  });

  test('sums are exact and do not depend on the order', () => {
    expect(canonicalText(sumOf(['0.1', '0.2', '-0.3'].map((text) => new Decimal(text))))).toBe('0');
    expect(canonicalText(sumOf([]))).toBe('0');
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -1e9, max: 1e9 })), (millionths) => {
        const values = millionths.map((x) => new Decimal(x).dividedBy(1e6));
        const total = millionths.reduce((sum, x) => sum + BigInt(x), 0n);
        expect(sumOf(values).times(1e6).toFixed()).toBe(total.toString());
        expect(sumOf(values.toReversed()).equals(sumOf(values))).toBe(true);
      }),
    );
    expect(refusalOf(() => sumOf([new Decimal(NaN)])).rule).toBe('not-finite');
    expect(refusalOf(() => decimalOf(Infinity)).rule).toBe('not-finite');
  });
});
