import fc from 'fast-check';
import { toExtract } from '../../src/alcoholometry/liquids/gravity-scales.js';
import {
  dextroseFromMonohydrateKg,
  dextroseSolutionDensityKgM3,
  sucroseMassFractionFromDensity,
  sucroseSolutionDensityKgM3,
  sucroseSolutionPartials,
} from '../../src/alcoholometry/liquids/sugar-solution.js';
import { readReferenceCsv } from '../support/reference-files.js';
import { Comparison, inPlaces, recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

type Row = Record<string, string>;

const rows = readReferenceCsv('physics/sugar-solution-density.csv');
const kgPerM3 = (row: Row): number => Number(row.published) * (row.quantity === 'density_g_cm3' ? 1000 : 1);
const sucrose = (row: Row): number => sucroseSolutionDensityKgM3(Number(row.mass_pct) / 100, Number(row.temp_C));
const dextrose = (row: Row): number => dextroseSolutionDensityKgM3(Number(row.mass_pct) / 100);
const isCrc = (row: Row): boolean => row.source.startsWith('CRC');

const tables: {
  table: string;
  pick: (row: Row) => boolean;
  compute: (row: Row) => number;
  count: number;
  tolerance: number;
  places?: number;
  note?: string;
}[] = [
  {
    table: 'CRC: sucrose at 20 °C, to 40 %',
    pick: (row) => row.solute === 'sucrose' && isCrc(row) && Number(row.mass_pct) <= 40,
    compute: sucrose,
    count: 21,
    tolerance: 0.12,
  },
  {
    table: 'CRC: sucrose at 20 °C, above 40 %',
    pick: (row) => row.solute === 'sucrose' && isCrc(row) && Number(row.mass_pct) > 40,
    compute: sucrose,
    count: 6,
    tolerance: 0.8,
    places: 1,
    note: 'older data; compared in the places of the stated 0.8 kg/m3',
  },
  {
    table: 'Toruń: sucrose at 15 and 20 °C',
    pick: (row) => row.solute === 'sucrose' && row.quantity === 'density_kg_m3',
    compute: sucrose,
    count: 51,
    tolerance: 0.09,
    places: 2,
    note: 'compared in the places of the stated 0.09 kg/m3',
  },
  {
    table: 'Cracow: sucrose at 18 °C',
    pick: (row) => row.solute === 'sucrose' && row.temp_C === '18',
    compute: sucrose,
    count: 6,
    tolerance: 0.12,
  },
  {
    table: 'CRC: dextrose at 20 °C',
    pick: (row) => row.solute === 'glucose',
    compute: dextrose,
    count: 27,
    tolerance: 0.054,
    note: 'fit through these rows, whose rounding is 0.05 kg/m3',
  },
  {
    table: 'CRC: fructose against the sucrose formula',
    pick: (row) => row.solute === 'fructose',
    compute: sucrose,
    count: 24,
    tolerance: 0.7,
    note: 'not modelled: what reading fructose on the sucrose scale costs',
  },
  {
    table: 'CRC: maltose against the sucrose formula',
    pick: (row) => row.solute === 'maltose',
    compute: sucrose,
    count: 27,
    tolerance: 0.95,
    note: 'not modelled: what reading maltose on the sucrose scale costs',
  },
];

describe('sugar solutions against the published tables', () => {
  it.each(tables)('$table', ({ table, pick, compute, count, tolerance, places, note }) => {
    const selected = rows.filter(pick);
    const comparison = new Comparison();
    for (const row of selected) comparison.add(compute(row), kgPerM3(row));
    recordReference({
      table,
      ...comparison,
      tolerance,
      places,
      unit: 'kg/m3',
      source: selected[0].source,
      note,
    });
    expect(comparison.rows).toBe(count);
    expect(inPlaces(comparison.largestDeviation, places)).toBeLessThanOrEqual(tolerance);
  });

  it('NBS/ASBC: apparent specific gravity of the °P scale within 0.012 °P', () => {
    const selected = rows.filter((row) => row.quantity.startsWith('apparent'));
    const comparison = new Comparison();
    for (const row of selected) {
      const gravity = { value: Number(row.published), scale: 'sg-20-20' as const };
      comparison.add(toExtract(gravity).extractPlato, Number(row.mass_pct));
    }
    recordReference({
      table: 'NBS/ASBC: °P from apparent SG 20/20',
      ...comparison,
      tolerance: 0.012,
      unit: '°P',
      source: selected[0].source,
    });
    expect(comparison.rows).toBe(5);
    expect(comparison.largestDeviation).toBeLessThanOrEqual(0.012);
  });

  it('every row of the file belongs to one table', () => {
    for (const row of rows) {
      const owners = tables.filter((table) => table.pick(row)).length + (row.quantity.startsWith('apparent') ? 1 : 0);
      expect([row.solute, row.mass_pct, row.temp_C, owners]).toEqual([row.solute, row.mass_pct, row.temp_C, 1]);
    }
  });
});

describe('inverses and slopes', () => {
  it('inverts sucrose to 1e-9 relative over the whole range', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.05, max: 0.85, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (w, t) => {
          const back = sucroseMassFractionFromDensity(sucroseSolutionDensityKgM3(w, t), t);
          expect(Math.abs(back - w)).toBeLessThanOrEqual(1e-9 * Math.abs(w) + 1e-14);
        },
      ),
      { numRuns: 2000 },
    );
  });

  it('has the slopes of its own values', () => {
    const [w, t, h] = [0.16, 31, 1e-4];
    const slopes = sucroseSolutionPartials(w, t);
    const perFraction = (sucroseSolutionDensityKgM3(w + h, t) - sucroseSolutionDensityKgM3(w - h, t)) / (2 * h);
    const perKelvin = (sucroseSolutionDensityKgM3(w, t + h) - sucroseSolutionDensityKgM3(w, t - h)) / (2 * h);
    expect(slopes.perMassFraction).toBeCloseTo(perFraction, 4);
    expect(slopes.perKelvin).toBeCloseTo(perKelvin, 6);
  });

  it('reads a dextrose wort 0.15 % too low at 10 % on the sucrose scale', () => {
    const shown = 100 * sucroseMassFractionFromDensity(dextroseSolutionDensityKgM3(0.1), 20);
    expect(shown - 10).toBeCloseTo(-0.15, 1);
    expect(shown).toBeLessThan(10);
  });

  it('takes the water off the monohydrate: 9.091 %', () => {
    expect(100 * (1 - dextroseFromMonohydrateKg(1))).toBeCloseTo(9.091, 3);
  });

  it.each([
    ['sugar below −5 %', () => sucroseSolutionDensityKgM3(-0.051, 20)],
    ['sugar above 85 %', () => sucroseSolutionDensityKgM3(0.851, 20)],
    ['over the boil', () => sucroseSolutionDensityKgM3(0.1, 100.1)],
    ['density of no solution', () => sucroseMassFractionFromDensity(900, 20)],
    ['dextrose above 60 %', () => dextroseSolutionDensityKgM3(0.61)],
  ])('refuses %s', (_, run) => {
    const refusal = refusalOf(run);
    expect(refusal.rule).toBe('out-of-range');
    expect(refusal.details.range).toHaveLength(2);
  });
});
