import fc from 'fast-check';
import { fromExtract, toExtract, type GravityScale } from '../../../src/alcoholometry/liquids/gravity-scales.js';
import { sucroseExcessKgM3 } from '../../../src/alcoholometry/liquids/sugar-solution.js';
import {
  conventionDifferencePlato,
  fermentedExcessKgM3,
  originalExtract,
  realExtract,
  solveComposition,
} from '../../../src/alcoholometry/strength/composition.js';
import { massBalance } from '../../../src/alcoholometry/strength/mass-balance.js';
import { readReferenceJson } from '../../support/reference-files.js';
import { Comparison, recordReference } from '../../support/reference-log.js';
import { refusalOf } from '../../support/refusal.js';

interface FermentationFile {
  datasets_published: {
    means: Record<string, [number, number, number, number]>;
    check_balling_OE_minus_listed: Record<string, number>;
    check_tabarie_RE_with_R22_and_ASBC: Record<'mass-made-up' | 'volume-made-up', Record<string, number>>;
    source: string;
  };
}

const { datasets_published: published } = readReferenceJson<FermentationFile>('physics/fermentation-extract.json');
const sets = Object.entries(published.means);
const sg = (value: number) => ({ value, scale: 'sg-20-20' as GravityScale });
const strengthOf = (og: number, fg: number): number =>
  massBalance({ original: sg(og), final: sg(fg) }).strengthPercent.value;

/** Real extract at which alcohol and extract together show this apparent extract. */
function realExtractOf(alcohol: number, apparent: number): number {
  const target = sucroseExcessKgM3(apparent / 100, 20);
  let [low, high] = [-5, 30];
  for (let i = 0; i < 60; i += 1) {
    const middle = (low + high) / 2;
    if (fermentedExcessKgM3(alcohol / 100, middle, 20) < target) low = middle;
    else high = middle;
  }
  return low;
}

describe('mass balance', () => {
  it('finds 9.93 ± 0.04 % vol from 1.0650 to 0.9900', () => {
    const finding = massBalance({
      original: { ...sg(1.065), sampleTemperatureC: 20 },
      final: { ...sg(0.99), sampleTemperatureC: 20 },
    });
    expect(Math.abs(finding.strengthPercent.value - 9.93)).toBeLessThanOrEqual(0.04);
    expect(finding.method.id).toBe('mass-balance');
    expect(finding.originalExtractPlato).toBeCloseTo(15.89, 2);
    expect(finding.apparentExtractPlato).toBeCloseTo(-2.61, 2);
    expect(finding.realExtractPlato).toBeCloseTo(0.87, 2);
    expect(finding.alcoholByMassPercent).toBeCloseTo(7.92, 2);
    expect(finding.apparentAttenuationPercent).toBeCloseTo(116.4, 1);
  });

  it('finds the alcohol of the published means within 0.1 % by mass', () => {
    const comparison = new Comparison();
    for (const [, [original, alcohol, , apparent]] of sets) {
      const found = solveComposition(original, sucroseExcessKgM3(apparent / 100, 20), 20);
      comparison.add(found.alcohol, alcohol);
    }
    recordReference({
      table: 'Published data-set means: alcohol by mass balance',
      ...comparison,
      tolerance: 0.08,
      unit: '% mass',
      source: published.source,
      note: 'three of five sets: the reference file does not carry the means of RPB-II and Navarro',
    });
    expect(comparison.rows).toBe(3);
    expect(comparison.largestDeviation).toBeLessThanOrEqual(0.08);
  });

  it('reproduces the checks on the same means: Balling, and Tabarié in both conventions', () => {
    const keyOf = (name: string): string => name.split(' ')[0];
    const balling = new Comparison();
    const byMass = new Comparison();
    const byVolume = new Comparison();
    const tabarie = published.check_tabarie_RE_with_R22_and_ASBC;
    for (const [name, [original, alcohol, extract, apparent]] of sets) {
      const key = keyOf(name);
      balling.add(originalExtract(alcohol, extract) - original, published.check_balling_OE_minus_listed[key]);
      const found = realExtractOf(alcohol, apparent);
      byMass.add(found, tabarie['mass-made-up'][key]);
      byVolume.add(found + conventionDifferencePlato(alcohol, found), tabarie['volume-made-up'][key]);
    }
    expect(balling.largestDeviation).toBeLessThanOrEqual(5e-4);
    // Those checks were made with the ASBC polynomial, which differs from SPS-4 by up to 0.012 °P.
    recordReference({
      table: 'Published data-set means: real extract by Tabarié, made up to mass',
      ...byMass,
      tolerance: 0.012,
      unit: '°P',
      source: published.source,
    });
    expect(byMass.largestDeviation).toBeLessThanOrEqual(0.012);
    recordReference({
      table: 'Published data-set means: real extract by Tabarié, made up to volume',
      ...byVolume,
      tolerance: 0.012,
      unit: '°P',
      source: published.source,
    });
    expect(byVolume.largestDeviation).toBeLessThanOrEqual(0.012);
  });

  it('satisfies Balling and Tabarié at once, at any temperature of the final reading', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 30, noNaN: true }),
        fc.double({ min: 0.02, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        (original, fermented, t) => {
          const alcohol = (fermented * original) / 2.2;
          const extract = realExtract(original, alcohol);
          const excess = fermentedExcessKgM3(alcohol / 100, extract, t);
          const found = solveComposition(original, excess, t);
          expect(Math.abs(found.alcohol - alcohol)).toBeLessThanOrEqual(1e-9 * alcohol);
          expect(originalExtract(found.alcohol, found.extract)).toBeCloseTo(original, 9);
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('rises with original and falls with final gravity', () => {
    const original = fc.double({ min: 1.02, max: 1.14, noNaN: true });
    fc.assert(
      fc.property(original, fc.double({ min: 0, max: 1, noNaN: true }), (og, part) => {
        const lowest = Math.max(0.984, 1 - 0.15 * (og - 1));
        const fg = lowest + part * (og - 0.002 - lowest);
        const strength = strengthOf(og, fg);
        expect(strengthOf(og + 0.001, fg)).toBeGreaterThan(strength);
        expect(strengthOf(og, fg + 0.001)).toBeLessThan(strength);
      }),
      { numRuns: 500 },
    );
  });

  it('gives the same on every scale, read at the temperature of the scale', () => {
    const expected = strengthOf(1.05, 1.01);
    for (const scale of ['plato', 'density-kg-m3', 'sg-15-15', 'sg-60f-60f'] as const) {
      const original = { value: fromExtract(toExtract(sg(1.05)).extractPlato, scale), scale };
      expect(massBalance({ original, final: sg(1.01) }).strengthPercent.value).toBeCloseTo(expected, 8);
    }
  });

  it('takes the temperature of the samples into account', () => {
    const original = sg(1.05);
    const warm = massBalance({ original: { ...original, sampleTemperatureC: 30 }, final: sg(1.01) });
    expect(warm.originalExtractPlato).toBeCloseTo(toExtract(sg(1.05285)).extractPlato, 2);
    const cold = massBalance({ original, final: { ...sg(1.01), sampleTemperatureC: 5 } });
    expect(cold.strengthPercent.value).toBeGreaterThan(strengthOf(1.05, 1.01));
  });

  it('finds nothing in what has not fermented', () => {
    const finding = massBalance({ original: sg(1.05), final: sg(1.05) });
    expect(finding.strengthPercent.value).toBeCloseTo(0, 9);
    expect(finding.strengthPercent.value).toBeGreaterThanOrEqual(0);
    expect(massBalance({ original: sg(1), final: sg(1) }).apparentAttenuationPercent).toBeUndefined();
  });

  it('warns of a real extract below zero within its uncertainty, and refuses it beyond', () => {
    const within = massBalance({ original: sg(1.04), final: sg(0.9905) });
    expect(within.realExtractPlato).toBeLessThan(0);
    expect(within.warnings.join(' ')).toContain('below zero but within');
    const refusal = refusalOf(() => massBalance({ original: sg(1.04), final: sg(0.985) }));
    expect(refusal.rule).toBe('readings-disagree');
    expect(refusal.details.realExtractPlato).toBeLessThan(0);
  });

  it('says what it took for granted', () => {
    const bare = massBalance({ original: sg(1.05), final: sg(1.01) });
    expect(bare.warnings).toHaveLength(3);
    const components = [{ name: 'calibration', standardUncertainty: 2e-4, origin: 'h1' }];
    const full = massBalance({
      original: { ...sg(1.05), sampleTemperatureC: 20, components },
      final: { ...sg(1.01), sampleTemperatureC: 20, components },
      model: { kind: 'malt' },
    });
    expect(full.warnings).toEqual([]);
  });

  it.each([
    ['final above original', 1.05, 1.051, 'final-above-original', 'finalGravity'],
    ['original under water', 0.995, 0.99, 'out-of-range', 'originalGravity'],
    ['a misplaced point', 1050, 1.01, 'suspicious-gravity', 'originalGravity.value'],
    ['a final gravity that no drink has', 1.05, 0.9, 'out-of-range', 'finalGravity.density'],
    ['not a number', 1.05, NaN, 'not-finite', 'finalGravity.value'],
  ])('refuses %s', (_, og, fg, rule, pointer) => {
    const refusal = refusalOf(() => massBalance({ original: sg(og), final: sg(fg) }));
    expect(refusal.rule).toBe(rule);
    expect(refusal.details.pointer).toBe(pointer);
  });

  it('refuses temperatures outside 0–40 °C', () => {
    const refusal = refusalOf(() =>
      massBalance({ original: sg(1.05), final: { ...sg(1.01), sampleTemperatureC: 41 } }),
    );
    expect(refusal.details).toMatchObject({ pointer: 'finalGravity.sampleTemperature', range: [0, 40] });
  });
});
