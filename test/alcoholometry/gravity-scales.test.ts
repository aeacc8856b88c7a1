import fc from 'fast-check';
import {
  fromExtract,
  GRAVITY_SCALES,
  toExtract,
  type Gravity,
  type GravityScale,
} from '../../src/alcoholometry/liquids/gravity-scales.js';
import { Comparison, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

const convertGravity = (gravity: Gravity, scale: GravityScale): Gravity => ({
  value: fromExtract(toExtract(gravity).extractPlato, scale),
  scale,
});

const sg = (value: number) => ({ value, scale: 'sg-20-20' as const });

describe('gravity scales', () => {
  it('convert into each other and back to 1e-9 relative, −5 to 60 °P', () => {
    const scale = fc.constantFrom(...GRAVITY_SCALES);
    fc.assert(
      fc.property(fc.double({ min: -5, max: 60, noNaN: true }), scale, scale, (plato, from, to) => {
        const gravity = { value: fromExtract(plato, from), scale: from };
        const there = convertGravity(gravity, to);
        const back = convertGravity(there, from);
        expect(there.scale).toBe(to);
        expect(Math.abs(back.value - gravity.value)).toBeLessThanOrEqual(1e-9 * Math.abs(gravity.value) + 1e-11);
        expect(Math.abs(toExtract(there).extractPlato - plato)).toBeLessThanOrEqual(1e-9 * Math.abs(plato) + 1e-10);
      }),
      { numRuns: 2000 },
    );
  });

  it('agrees with the ASBC polynomial within 0.012 °P to 25 °P', () => {
    const comparison = new Comparison();
    for (let gravity = 1; gravity <= 1.1057; gravity += 0.001) {
      const asbc = -616.868 + 1111.14 * gravity - 630.272 * gravity ** 2 + 135.997 * gravity ** 3;
      comparison.add(toExtract(sg(gravity)).extractPlato, asbc);
    }
    recordReference({
      table: 'ASBC polynomial: °P from SG 20/20',
      ...comparison,
      tolerance: 0.012,
      unit: '°P',
      source: 'ASBC polynomial as quoted in the reference file, 0–25 °P',
    });
    expect(comparison.largestDeviation).toBeLessThanOrEqual(0.012);
  });

  it('agrees with the NBS polynomial to 40 °P within the differences that the reference file lists', () => {
    for (const [extract, allowed] of [
      [10, 0.0012],
      [20, 0.012],
      [40, 0.0221],
    ]) {
      const g = fromExtract(extract, 'sg-20-20');
      const nbs = 182.46007 * g ** 3 - 775.68212 * g ** 2 + 1262.7794 * g - 669.56218;
      expect(Math.abs(nbs - extract)).toBeLessThanOrEqual(allowed);
    }
  });

  it('reads 0.990 as −2.6 °P, a convention', () => {
    expect(toExtract(sg(0.99)).extractPlato).toBeCloseTo(-2.6, 1);
    expect(toExtract(sg(1)).extractPlato).toBeCloseTo(0, 10);
  });

  it('makes specific gravity apparent: the ratio of true densities is another number', () => {
    const { densityKgM3At20 } = toExtract(sg(1.05));
    expect(densityKgM3At20 / toExtract(sg(1)).densityKgM3At20).not.toBeCloseTo(1.05, 5);
    expect((densityKgM3At20 - 1.2) / (toExtract(sg(1)).densityKgM3At20 - 1.2)).toBeCloseTo(1.05, 12);
  });

  it('keeps 15/15 and 60/60 °F above 20/20 for the same solution', () => {
    const at15 = convertGravity(sg(1.05), 'sg-15-15').value;
    const at60 = convertGravity(sg(1.05), 'sg-60f-60f').value;
    expect(at15).toBeGreaterThan(at60);
    expect(at60).toBeGreaterThan(1.05);
    expect(at15 - 1.05).toBeLessThan(0.001);
  });

  it.each([
    [10.32, 'sg-20-20', 1.032],
    [1032, 'sg-20-20', 1.032],
    [103.2, 'sg-15-15', 1.032],
    [990, 'sg-60f-60f', 0.99],
    [1.032, 'density-kg-m3', 1032],
    [31, 'sg-20-20', 1.031],
    [1.31, 'sg-15-15', 1.031],
    [1.4, 'sg-20-20', 1.04],
  ] as const)('refuses %d on %s and suggests %d', (value, scale, suggestion) => {
    const refusal = refusalOf(() => toExtract({ value, scale }));
    expect(refusal.rule).toBe('suspicious-gravity');
    expect(refusal.details.suggestion).toBe(suggestion);
  });

  it.each([
    [0.98, 'sg-20-20'],
    [1.3001, 'sg-20-20'],
    [12.5, 'sg-20-20'],
    [-5.001, 'plato'],
    [60.001, 'plato'],
    [900, 'density-kg-m3'],
    [0, 'sg-20-20'],
  ] as const)('refuses %d on %s with the range', (value, scale) => {
    const refusal = refusalOf(() => toExtract({ value, scale }));
    expect(refusal.rule).toBe('out-of-range');
    expect(refusal.details.range).toHaveLength(2);
  });

  it.each(['brix', 'constructor', 'toString', '__proto__'])('refuses the scale %s', (scale) => {
    const refusal = refusalOf(() => toExtract({ value: 1, scale: scale as GravityScale }));
    expect(refusal.rule).toBe('unknown-scale');
    expect(refusal.details.allowed).toEqual(GRAVITY_SCALES);
  });

  it('refuses what is no number', () => {
    expect(refusalOf(() => toExtract(sg(NaN))).rule).toBe('not-finite');
    expect(refusalOf(() => toExtract(sg(Infinity))).rule).toBe('not-finite');
  });
});
