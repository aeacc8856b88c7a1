import { waterDensityCipmKgM3, kellWaterKgM3 } from '../../src/alcoholometry/liquids/water.js';
import { readReferenceCsv } from '../support/reference-files.js';
import { Comparison, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

const rows = readReferenceCsv('physics/water-density-values.csv');

describe('density of water', () => {
  it.each([
    { table: 'CIPM 2001: water 0–40 °C', kind: 'published', count: 17, formula: waterDensityCipmKgM3, tolerance: 5e-5 },
    {
      table: 'IAPWS-95: water 0–40 °C',
      kind: 'computed with general library (IAPWS-95 at 101.325 kPa)',
      count: 12,
      formula: waterDensityCipmKgM3,
      tolerance: 1.2e-3,
    },
    {
      table: 'Reg. 2870/2000: water at 20 °C',
      kind: 'published (rounded, older scale)',
      count: 1,
      formula: kellWaterKgM3,
      tolerance: 5e-4,
    },
    {
      table: 'Kell, ITS-90 form: water at 0 °C',
      kind: 'published (Bettin-Spieweck ITS-90 form of Kell/Wagenbreth-Blanke, u=0.006)',
      count: 1,
      formula: kellWaterKgM3,
      tolerance: 5e-3,
    },
  ])('$table', ({ table, kind, count, formula, tolerance }) => {
    const comparison = new Comparison();
    const selected = rows.filter((row) => row.kind === kind);
    for (const row of selected) comparison.add(formula(Number(row.temp_C)), Number(row.rho_kg_m3));
    recordReference({ table, ...comparison, tolerance, unit: 'kg/m3', source: selected[0].source });
    expect(comparison.rows).toBe(count);
    expect(comparison.largestDeviation).toBeLessThanOrEqual(tolerance);
  });

  it('reads every row', () => expect(rows).toHaveLength(17 + 12 + 1 + 1));

  it('agrees between its two formulas within the stated uncertainty of Kell', () => {
    for (let t = 0; t <= 40; t += 1) {
      expect(Math.abs(kellWaterKgM3(t) - waterDensityCipmKgM3(t))).toBeLessThan(0.006);
    }
  });

  it('refuses what lies outside, with the range', () => {
    expect(refusalOf(() => waterDensityCipmKgM3(40.1)).details.range).toEqual([0, 40]);
    expect(refusalOf(() => waterDensityCipmKgM3(NaN)).rule).toBe('not-finite');
  });
});
