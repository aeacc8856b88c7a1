import {
  drinkByMass,
  drinkDensityByMassKgM3,
  drinkDensityKgM3,
  drinkDensityRelativeU,
  strengthOfDrinkPercent,
} from '../../src/alcoholometry/liquids/drink.js';
import {
  densityAt20FromVolumePercent,
  ETHANOL_DENSITY_20_KG_M3,
  R22_WATER_DENSITY_20_KG_M3,
} from '../../src/alcoholometry/liquids/ethanol-water.js';
import { sucroseSolutionDensityKgM3 } from '../../src/alcoholometry/liquids/sugar-solution.js';
import { kellWaterKgM3 } from '../../src/alcoholometry/liquids/water.js';
import { mix } from '../../src/alcoholometry/mixing/mix.js';
import { addSolids } from '../../src/alcoholometry/mixing/solids.js';
import { fermentedExcessKgM3, strengthOf } from '../../src/alcoholometry/strength/composition.js';

// Outside sources of this file. OIV-MA-AS2-03B (seen): the extract of a wine is the sucrose solution of density d_r = d_v − d_a + 1, in grams a
// litre. 27 CFR 30.32 (seen): "experience has shown that 0.1 gram of solids per 100 milliliters will obscure the true proof by 0.4 of one
// degree". Hackbarth, J. Am. Soc. Brew. Chem. 67 (2009) 146 and 69 (2011) 39 (abstracts seen): measured densities of ethanol, water and sucrose
// do not differ from that sum beyond their noise below 18 % ethanol with 5 % sucrose by mass; beyond, the solutions are lighter. No table of
// measured densities was at hand: searched were the two papers, Reber (J. Am. Pharm. Assoc. 42 (1953) 192), Bouchard et al. (J. Chem. Eng.
// Data 52 (2007) 1838), Beverages 9 (2023) 31, Seidell's and the International Critical Tables, and Leach's Food Inspection and Analysis.

/** Bisection of a rising function. */
function solve(rising: (x: number) => number, low: number, high: number): number {
  let [from, to] = [low, high];
  for (let i = 0; i < 100; i += 1) {
    const middle = (from + to) / 2;
    if (rising(middle) < 0) from = middle;
    else to = middle;
  }
  return (from + to) / 2;
}

/** Density of a sucrose solution with so many grams in a litre, less that of water. */
const sugarPart = (gPerL: number): number => {
  const fraction = solve((w) => w * sucroseSolutionDensityKgM3(w, 20) - gPerL, 0, 0.8);
  return sucroseSolutionDensityKgM3(fraction, 20) - kellWaterKgM3(20);
};

/** d_v = d_a + d_r − 1, word for word. */
const byVolume = (strengthPercent: number, gPerL: number): number =>
  densityAt20FromVolumePercent(strengthPercent) + sugarPart(gPerL);

/** Sugar as so many millilitres in the alcohol–water that fills the rest of the litre. */
const SUGAR_ML_PER_G = 0.617;
const bySpecificVolume = (strengthPercent: number, gPerL: number, mLPerG = SUGAR_ML_PER_G): number => {
  const rest = 1 - (gPerL * mLPerG) / 1000;
  return gPerL + rest * densityAt20FromVolumePercent(strengthPercent / rest);
};

const drinkOf = (strengthPercent: number, gPerL: number) => ({
  strengthPercent,
  extractPlato: (100 * gPerL) / byVolume(strengthPercent, gPerL),
});

/** The same drink by the convention of the fermentation balance, made up to mass. */
const byMass = (strengthPercent: number, gPerL: number): number => {
  const drink = drinkByMass(drinkOf(strengthPercent, gPerL));
  return R22_WATER_DENSITY_20_KG_M3 + fermentedExcessKgM3(drink.alcoholMassFraction, drink.extractPlato, 20);
};

describe('density of sweet drinks against outside sources', () => {
  it.each([
    [25, 200],
    [25, 300],
    [30, 250],
    [35, 200],
    [35, 300],
  ])('%d %% vol with %d g/L: the sum by volume, and the specific volume within 0.15 %%', (strength, gPerL) => {
    const density = drinkDensityKgM3(drinkOf(strength, gPerL), 20);
    // Only the two formulas of water differ, by 0.002 kg/m3.
    expect(Math.abs(density - byVolume(strength, gPerL))).toBeLessThan(0.005);
    expect(Math.abs(density / bySpecificVolume(strength, gPerL) - 1)).toBeLessThan(0.0015);
    const heavier = byMass(strength, gPerL) / density - 1;
    expect(heavier).toBeGreaterThan(0.0036);
    expect(heavier).toBeLessThan(0.0095);
  });

  it('a gram of sugar fills 0.617 mL in water, by the density tables', () => {
    // Apparent specific volume: what a gram adds to the volume of the water.
    const apparent = (w: number): number =>
      (1000 * (1 / sucroseSolutionDensityKgM3(w, 20) - (1 - w) / kellWaterKgM3(20))) / w;
    expect(apparent(0.1)).toBeCloseTo(SUGAR_ML_PER_G, 3);
    expect(apparent(0.2)).toBeGreaterThan(SUGAR_ML_PER_G);
    expect(apparent(0.01)).toBeLessThan(SUGAR_ML_PER_G);
  });

  it('0.1 g of solids in 100 mL obscures 0.4 of a degree at 100 proof', () => {
    const strengthRead = (density: number): number => solve((s) => density - densityAt20FromVolumePercent(s), 0, 100);
    const obscured = (density: number): number => 2 * (50 - strengthRead(density));
    expect(obscured(drinkDensityKgM3(drinkOf(50, 1), 20)).toFixed(1)).toBe('0.4');
    // Made up to mass it would be half a degree.
    expect(obscured(byMass(50, 1)).toFixed(1)).toBe('0.5');
  });

  it('five liqueurs, from memory: the sum by volume is right in the mean, the sum by mass is not', () => {
    // Specific gravity at 15 °C, % vol, g of extract in 100 mL: Rupp's analyses as reprinted in handbooks of food analysis about 1900. From
    // memory; the temperature of their scale and their errors are not known, so that the scatter of the five stands for the error.
    const analyses: readonly (readonly [number, number, number])[] = [
      [1.0709, 52.0, 36.0],
      [1.03, 55.0, 28.6],
      [1.0847, 42.0, 34.82],
      [1.083, 33.9, 32.02],
      [1.0447, 48.0, 28.28],
    ];
    const deviations = analyses.map(([published, strength, gPer100mL]) => {
      const drink = drinkOf(strength, 10 * gPer100mL);
      const at15 = drinkDensityKgM3(drink, 15);
      const volume = at15 / kellWaterKgM3(15) / published - 1;
      const mass =
        (at15 * byMass(strength, 10 * gPer100mL)) / drinkDensityKgM3(drink, 20) / kellWaterKgM3(15) / published - 1;
      return { volume, mass, u: drinkDensityRelativeU(drinkByMass(drink)) };
    });
    const meanOf = (values: readonly number[]): number => values.reduce((sum, each) => sum + each, 0) / values.length;
    const mean = meanOf(deviations.map(({ volume }) => volume));
    const variance = deviations.reduce((sum, { volume }) => sum + (volume - mean) ** 2, 0) / (deviations.length - 1);
    const standardError = Math.sqrt(variance / deviations.length);
    // t of 4 degrees of freedom at 95 %: 2.78 (JCGM 100 Table G.2).
    expect(Math.abs(mean)).toBeLessThan(2.78 * standardError);
    expect(meanOf(deviations.map(({ mass }) => mass))).toBeGreaterThan(2.78 * standardError);
    // Each lies within the half-width that the model term states.
    for (const { volume, u } of deviations) expect(Math.abs(volume)).toBeLessThan(Math.sqrt(3) * u);
  });

  it('states an error that grows with strength and extract, and covers the route by specific volume', () => {
    const u = (strength: number, gPerL: number): number => drinkDensityRelativeU(drinkByMass(drinkOf(strength, gPerL)));
    expect(u(30, 250) * Math.sqrt(3)).toBeCloseTo(0.03 * 0.3 * 0.25, 8);
    expect(u(5, 30)).toBeLessThan(5e-5);
    expect(u(0, 300)).toBe(0);
    expect(u(40, 0)).toBe(0);
    for (const strength of [15, 20, 25, 30, 35, 40]) {
      for (const gPerL of [50, 100, 200, 300, 400]) {
        // What the sugar fills in water at that concentration: 0.616 to 0.621 mL/g.
        const inWater = (1000 * (gPerL - sugarPart(gPerL))) / (gPerL * kellWaterKgM3(20));
        const apart = Math.abs(byVolume(strength, gPerL) / bySpecificVolume(strength, gPerL, inWater) - 1);
        expect(apart).toBeLessThan(2 * u(strength, gPerL));
      }
    }
  });

  it('a liqueur of 30.31 % vol with 300 g/L, made from spirit, water and sugar, is that and not 30.54 % vol', () => {
    // 100 L hold 30.31 L of alcohol in 31.5729 L of spirit of 96 % vol (25.4926 kg), and 30 kg of sugar. A litre weighs, by d_v = d_a + d_r − 1,
    // 961.79 (R 22 at 30.31 % vol) + 1112.72 (300 g/L of sucrose) − 998.20 = 1076.31 g; the rest of 107.631 kg is 52.138 kg of water.
    const [spiritL, sugarKg] = [30.31 / 0.96, 30];
    const totalKg = byVolume(30.31, 300) / 10;
    expect(totalKg).toBeCloseTo(107.631, 2);
    const waterKg = totalKg - sugarKg - (spiritL * densityAt20FromVolumePercent(96)) / 1000;
    const diluted = mix([
      { volumeL: spiritL, strengthPercent: 96 },
      { volumeL: (1000 * waterKg) / R22_WATER_DENSITY_20_KG_M3, strengthPercent: 0 },
    ]);
    expect(diluted.densityModelL).toBe(0);
    const liqueur = addSolids({
      volumeL: diluted.volumeL,
      strengthPercent: diluted.strengthPercent,
      solid: 'sucrose',
      massKg: sugarKg,
    });
    expect(liqueur.result.volumeL).toBeCloseTo(100, 3);
    expect(liqueur.result.strengthPercent).toBeCloseTo(30.31, 3);
    const alcohol = (100 * 30.31 * ETHANOL_DENSITY_20_KG_M3) / 1e5 / totalKg;
    expect(strengthOf(100 * alcohol, (100 * sugarKg) / totalKg)).toBeCloseTo(30.54, 2);
    // The volume is known to 0.03 × 0.3031 × 0.3 / √3 = 0.157 %: ± 0.093 % vol at k = 1.96.
    expect(-liqueur.densityModelL / liqueur.result.volumeL).toBeCloseTo(0.001575, 5);
  });

  it('a drink mixed with itself has no error of the model', () => {
    const drink = drinkOf(30, 250);
    const twice = mix([
      { volumeL: 10, ...drink },
      { volumeL: 5, ...drink },
    ]);
    expect(Math.abs(twice.densityModelL)).toBeLessThan(1e-12);
    expect(twice.volumeL).toBeCloseTo(15, 9);
    const by = drinkByMass(drink);
    expect(strengthOfDrinkPercent(by)).toBeCloseTo(30, 9);
    expect(drinkDensityByMassKgM3(by, 20)).toBeCloseTo(drinkDensityKgM3(drink, 20), 9);
  });
});
