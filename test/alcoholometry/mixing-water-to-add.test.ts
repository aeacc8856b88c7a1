import { ethanolWaterDensityKgM3 } from '../../src/alcoholometry/liquids/ethanol-water.js';
import { mix } from '../../src/alcoholometry/mixing/mix.js';
import { partsBy100At60F, waterToReachPer100At60F } from '../support/water-to-reach.js';
import {
  densityAt60FKgM3,
  massFractionFromUsProof,
  proofGallonsPerPound,
  wineGallonsPerPound,
} from '../../src/alcoholometry/hydrometry/us-proof.js';
import { readReferenceCsv, readReferenceJson } from '../support/reference-files.js';
import { recordReference } from '../support/reference-log.js';
import { refusalOf } from '../support/refusal.js';

interface Examples {
  cfr_30_64_a: { wine_gal_per_lb: number; wine_gallons: number; proof_gal_per_lb: number; proof_gallons: number };
  cfr_30_51: { gross_wine_gallons: number; net_wine_gallons_60F: number; proof_gallons: number; r22_factor: number };
  cfr_30_66_example_a: {
    given: { proof: number; water: number };
    target: { proof: number; water: number };
    intermediate_ratio_used: number;
    answer_gal_per_100: number;
    r22_formula: { water_191: number; water_188: number; exact_add: number };
  };
  cfr_30_66_example_b: {
    given_proof: number;
    water_112: number;
    water_100_proof: number;
    answer_gal_per_100: number;
    r22_formula: { water_112: number; water_100: number; add: number };
  };
  ttb_drawback: { lb_per_gal_190proof: number; lb_per_gal_water: number };
  max_contraction: { value_pct: number; at_mass_pct: number; at_vol_pct: number };
}

const examples = readReferenceJson<Examples>('physics/dilution-examples.json');

describe('the published table of water to add (US gauging manual, table 6)', () => {
  const rows = readReferenceCsv('physics/dilution-table-water-to-add.csv').map((row) => ({
    from: Number(row.from_vol_pct),
    to: Number(row.to_vol_pct),
    published: Number(row.published_vol_water_per_100_vol),
    r22: Number(row.r22_formula_60F),
    suspected: row.note.includes('misprint'),
  }));
  const computed = rows.map((row) => ({ ...row, water: waterToReachPer100At60F(2 * row.from, 2 * row.to) }));
  const relative = computed.map(({ water, published }) => Math.abs(water / published - 1));

  test('every row: R 22 at 60 °F as computed independently, to its last digit', () => {
    let largest = 0;
    for (const { from, to, r22, water } of computed) {
      expect({ from, to, off: Math.abs(water - r22) <= 0.00051 }).toEqual({ from, to, off: true });
      largest = Math.max(largest, Math.abs(water - r22));
    }
    recordReference({
      table: 'Water to add, R 22 at 60 °F computed independently',
      rows: rows.length,
      largestDeviation: largest,
      tolerance: 0.00051,
      unit: 'volumes per 100',
      source: 'OIML R 22 at 60 °F, rule of 27 CFR 30.66',
    });
  });

  test('every row against the printed figure; suspected misprints are kept and named', () => {
    const sorted = [...relative].sort((a, b) => a - b);
    const median = sorted[Math.floor(sorted.length / 2)];
    expect(median).toBeLessThanOrEqual(0.0008);
    const sound = relative.filter((_, i) => !rows[i].suspected);
    const suspects = rows
      .map((row, i) => ({ ...row, deviation: relative[i] }))
      .filter(({ suspected }) => suspected)
      .map(({ from, to, published, r22, deviation }) => ({ cell: `${from} to ${to}`, published, r22, deviation }));
    expect(suspects.map(({ cell }) => cell)).toEqual(['55 to 50', '55 to 30']);
    for (const { deviation } of suspects) expect(deviation).toBeGreaterThan(Math.max(...sound));
    expect(Math.max(...sound)).toBeLessThanOrEqual(0.0031);
    recordReference({
      table: 'Water to add to reach a strength, US gauging manual',
      rows: rows.length,
      largestDeviation: 100 * Math.max(...sound),
      tolerance: 0.31,
      unit: '%',
      source: 'US Gauging Manual, table 6, as reprinted',
      note: `median ${(100 * median).toFixed(3)} %; suspected misprints kept apart: ${suspects
        .map(({ cell, published, r22 }) => `${cell} prints ${published}, R 22 gives ${r22}`)
        .join('; ')}`,
    });
  });

  test('the same water by mass balance as by the rule, through a dilution at 60 °F', () => {
    for (const { from, to, water } of computed) {
      const [start, target] = [massFractionFromUsProof(2 * from), massFractionFromUsProof(2 * to)];
      const startKg = densityAt60FKgM3(start);
      const waterKg = startKg * (start / target - 1);
      expect((100 * waterKg) / densityAt60FKgM3(0)).toBeCloseTo(water, 6);
    }
  });
});

describe('worked examples', () => {
  test('27 CFR 30.64: gallons from pounds', () => {
    const { wine_gal_per_lb, wine_gallons, proof_gal_per_lb, proof_gallons } = examples.cfr_30_64_a;
    // 1e-5 gal/lb is the stated error of a wine gallon; a proof gallon is 1.9 of it here.
    expect(Math.abs(wineGallonsPerPound(190) - wine_gal_per_lb)).toBeLessThanOrEqual(1e-5);
    expect(Math.abs(proofGallonsPerPound(190) - proof_gal_per_lb)).toBeLessThanOrEqual(1.9e-5);
    expect(Math.abs(81_000 * wineGallonsPerPound(190) - wine_gallons)).toBeLessThanOrEqual(81_000 * 1e-5);
    expect(Math.abs(81_000 * proofGallonsPerPound(190) - proof_gallons)).toBeLessThanOrEqual(81_000 * 1.9e-5);
  });

  test('27 CFR 30.51: gallons at 72 °F to 60 °F', () => {
    const { gross_wine_gallons, net_wine_gallons_60F, r22_factor } = examples.cfr_30_51;
    const massFraction = massFractionFromUsProof(86.8);
    const factor = ethanolWaterDensityKgM3(massFraction, 200 / 9) / densityAt60FKgM3(massFraction);
    expect(factor).toBeCloseTo(r22_factor, 6);
    // The table's factor has three places.
    expect(Math.abs(gross_wine_gallons * factor - net_wine_gallons_60F)).toBeLessThanOrEqual(
      0.0005 * gross_wine_gallons,
    );
  });

  test('27 CFR 30.66 example a: the rule without its rounded ratio; the official figure follows from the rounded one', () => {
    const { given, target, intermediate_ratio_used, answer_gal_per_100, r22_formula } = examples.cfr_30_66_example_a;
    expect(partsBy100At60F(given.proof).water).toBeCloseTo(r22_formula.water_191, 3);
    expect(partsBy100At60F(target.proof).water).toBeCloseTo(r22_formula.water_188, 3);
    expect(Math.abs(partsBy100At60F(given.proof).water - given.water)).toBeLessThanOrEqual(0.01);
    expect(waterToReachPer100At60F(given.proof, target.proof)).toBeCloseTo(r22_formula.exact_add, 3);
    const official = intermediate_ratio_used * partsBy100At60F(target.proof).water - partsBy100At60F(given.proof).water;
    expect(official).toBeCloseTo(answer_gal_per_100, 2);
  });

  test('27 CFR 30.66 example b', () => {
    const { given_proof, water_112, water_100_proof, answer_gal_per_100, r22_formula } = examples.cfr_30_66_example_b;
    expect(Math.abs(partsBy100At60F(given_proof).water - water_112)).toBeLessThanOrEqual(0.01);
    expect(Math.abs(partsBy100At60F(100).water - water_100_proof)).toBeLessThanOrEqual(0.01);
    const water = waterToReachPer100At60F(given_proof, 100);
    expect(water).toBeCloseTo(r22_formula.add, 3);
    expect(Math.abs(water - answer_gal_per_100)).toBeLessThanOrEqual(0.01);
    recordReference({
      table: 'Worked dilution examples, 27 CFR 30.66',
      rows: 6,
      largestDeviation: Math.max(
        Math.abs(water - answer_gal_per_100),
        Math.abs(partsBy100At60F(given_proof).water - water_112),
        Math.abs(partsBy100At60F(100).water - water_100_proof),
      ),
      tolerance: 0.01,
      unit: 'gal per 100 gal',
      source: '27 CFR 30.66 (example text from memory), R 22 at 60 °F',
      note: 'the official example a rounds 95.5/94.0 to 1.01 on the way and gets 1.84; the rule itself gives 1.884',
    });
  });

  test('pounds in a gallon of 190 proof and of water', () => {
    const { lb_per_gal_190proof, lb_per_gal_water } = examples.ttb_drawback;
    expect(Math.abs(1 / wineGallonsPerPound(190) - lb_per_gal_190proof)).toBeLessThanOrEqual(5e-4);
    expect(Math.abs(1 / wineGallonsPerPound(0) - lb_per_gal_water)).toBeLessThanOrEqual(5e-4);
  });

  test('the greatest contraction of ethanol and water', () => {
    let [most, massPercent, volumePercent] = [0, 0, 0];
    for (let p = 0.4; p < 0.55; p += 0.001) {
      const ethanolL = p / ethanolWaterDensityKgM3(1, 20);
      const waterL = (1 - p) / ethanolWaterDensityKgM3(0, 20);
      const mixture = mix([
        { volumeL: ethanolL, strengthPercent: 100 },
        { volumeL: waterL, strengthPercent: 0 },
      ]);
      const percent = (-100 * mixture.volumeChangeL) / (ethanolL + waterL);
      if (percent > most) [most, massPercent, volumePercent] = [percent, 100 * p, mixture.strengthPercent];
    }
    expect(most).toBeCloseTo(examples.max_contraction.value_pct, 3);
    expect(massPercent).toBeCloseTo(examples.max_contraction.at_mass_pct, 0);
    expect(volumePercent).toBeCloseTo(examples.max_contraction.at_vol_pct, 0);
  });
});

describe('refused', () => {
  test('proof rule: raising by water, and nonsense', () => {
    expect(refusalOf(() => waterToReachPer100At60F(100, 112)).rule).toBe('no-solution');
    expect(refusalOf(() => waterToReachPer100At60F(100, 0)).rule).toBe('out-of-range');
    expect(refusalOf(() => partsBy100At60F(201)).rule).toBe('out-of-range');
    expect(refusalOf(() => partsBy100At60F(NaN)).rule).toBe('not-finite');
  });
});
