import type { GravityScale } from '../../../src/alcoholometry/liquids/gravity-scales.js';
import { gravityDropFactor, gravityDropTable } from '../../../src/alcoholometry/strength/gravity-drop-table.js';
import { massBalance } from '../../../src/alcoholometry/strength/mass-balance.js';
import { compareFindings } from '../../../src/alcoholometry/strength/compare.js';
import { readReferenceCsv } from '../../support/reference-files.js';
import { Comparison, recordReference } from '../../support/reference-log.js';
import { refusalOf } from '../../support/refusal.js';

const rows = readReferenceCsv('excise/hmrc-og-factor.csv');
const sg = (value: number) => ({ value, scale: 'sg-20-20' as GravityScale });

describe('gravity drop by the factor table', () => {
  it('has every row of the published table at every tenth of a point', () => {
    const comparison = new Comparison();
    for (const row of rows) {
      const [from, to] = [Number(row.og_minus_pg_from), Number(row.og_minus_pg_to)];
      for (let tenth = Math.round(from * 10); tenth <= Math.round(to * 10); tenth += 1) {
        comparison.add(gravityDropFactor(tenth / 10).factor, Number(row.factor_f));
      }
    }
    recordReference({
      table: 'HMRC factor table: factor at every tenth of a point',
      ...comparison,
      tolerance: 0,
      unit: '1',
      source: rows[0].source,
    });
    expect(rows).toHaveLength(11);
    expect(comparison.rows).toBe(1008);
    expect(comparison.largestDeviation).toBe(0);
  });

  it('ends each row within a tenth of the strength printed beside it', () => {
    const comparison = new Comparison();
    for (const row of rows) {
      const printed = Number(/([\d.]+)$/.exec(row.abv_range_as_published)?.[1]);
      comparison.add(Number(row.og_minus_pg_to) * Number(row.factor_f), printed);
    }
    recordReference({
      table: 'HMRC factor table: strength printed at the end of each row',
      ...comparison,
      tolerance: 0.1,
      unit: '% vol',
      source: rows[0].source,
      note: 'printed to a tenth, in part cut and in part rounded',
    });
    expect(comparison.largestDeviation).toBeLessThanOrEqual(0.1);
  });

  it('rounds the drop to a tenth first', () => {
    expect(gravityDropFactor(46.549)).toEqual({ roundedDropPoints: 46.5, factor: 0.13 });
    expect(gravityDropFactor(46.55)).toEqual({ roundedDropPoints: 46.6, factor: 0.131 });
    // 1.0480 less 1.00145 is 46.55 in decimals and a hair less in binary.
    expect(gravityDropFactor(1000 * (1.048 - 1.00145)).roundedDropPoints).toBe(46.6);
    expect(gravityDropFactor(100.74).factor).toBe(0.135);
  });

  it('multiplies and rounds nothing after that', () => {
    const finding = gravityDropTable({ original: sg(1.048), final: sg(1.001) });
    expect(finding.roundedDropPoints).toBe(47);
    expect(finding.strengthPercent.value).toBeCloseTo(47 * 0.131, 12);
    expect(finding.method.id).toBe('gravity-drop-table');
  });

  it('carries the uncertainty of the drop, its rounding, the factor and the model', () => {
    // Both read at 20 °C exactly, so that the temperature has no part in the sum.
    const exactly20 = { sampleTemperatureC: 20, temperatureComponents: [] };
    const { strengthPercent } = gravityDropTable({
      original: { ...sg(1.048), ...exactly20 },
      final: { ...sg(1.001), ...exactly20 },
      model: { kind: 'malt' },
    });
    const points = (0.131 * Math.SQRT2) / Math.sqrt(3);
    const byHand = Math.hypot(points, (0.131 * 0.05) / Math.sqrt(3), (47 * 0.0005) / Math.sqrt(3), 0.024 * 47 * 0.131);
    expect(strengthPercent.standard).toBeCloseTo(byHand, 6);
    expect(strengthPercent.budget.reduce((sum, line) => sum + line.share, 0)).toBeCloseTo(1, 12);
  });

  it('flags a drop within its uncertainty of a step', () => {
    const fine = (origin: string) => [{ name: 'calibration', standardUncertainty: 1e-4, origin }];
    const at = (og: number) => {
      const original = { ...sg(og), components: fine('h/high') };
      return gravityDropTable({ original, final: { ...sg(1), components: fine('h/low') } }).warnings;
    };
    const flagged = (warnings: readonly string[]): boolean => warnings.some((text) => text.includes('step'));
    expect(flagged(at(1.0466))).toBe(true);
    expect(flagged(at(1.042))).toBe(false);
  });

  it('agrees with the mass balance within U, and says that no more is shown', () => {
    const input = { original: sg(1.065), final: sg(0.99) };
    const comparison = compareFindings(massBalance(input), gravityDropTable(input));
    expect(comparison.agree).toBe(true);
    expect(comparison.normalisedError).toBeLessThan(1);
    expect(comparison.statement).toContain('does not make either better');
  });

  it.each([
    ['above 100.7', 1.1008, 1, 'beyond-table'],
    ['below zero', 1.01, 1.012, 'final-above-original'],
  ])('refuses a drop %s', (_, og, fg, rule) => {
    expect(refusalOf(() => gravityDropTable({ original: sg(og), final: sg(fg) })).rule).toBe(rule);
  });

  it('refuses the bare drop out of range too', () => {
    expect(refusalOf(() => gravityDropFactor(100.75)).rule).toBe('beyond-table');
    expect(refusalOf(() => gravityDropFactor(-0.06)).rule).toBe('final-above-original');
    expect(refusalOf(() => gravityDropFactor(NaN)).rule).toBe('beyond-table');
  });
});
