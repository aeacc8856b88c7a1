/** A gravity as it was read, and the sample's temperature in °C. */
export type GravityRead = readonly [reading: number, temperatureC: number];

/** The known correction of the demo's hydrometer, added to its readings. */
export const HYDROMETER_CORRECTION = -0.0002;

const REFERENCE_C = 20;
/** Glass, per K; from memory. */
const GLASS_PER_K = 25e-6;

/** Density of water in g/mL, 0 to 40 °C, within 1e-5; a rational fit in wide use, from memory. */
const waterDensity = (t: number): number =>
  0.99997495 * (1 - ((t + 288.9414) * (t - 3.9863) ** 2) / (508929.2 * (t + 68.12963)));

/** A reading brought to 20 °C as if the liquid expanded like water; within 2e-4 for the weak liquids of the demo between 15 and 25 °C. */
function gravityAt20([reading, temperatureC]: GravityRead): number {
  const glass = 1 + GLASS_PER_K * (temperatureC - REFERENCE_C);
  return ((reading + HYDROMETER_CORRECTION) / glass) * (waterDensity(REFERENCE_C) / waterDensity(temperatureC));
}

/** Extract in °P from specific gravity: the cubic in wide use, from memory; within 0.02 °P up to 25 °P. */
const plato = (sg: number): number => -616.868 + 1111.14 * sg - 630.272 * sg ** 2 + 135.997 * sg ** 3;

/**
 * Grams of extract, as a sucrose scale reads it, that give a gram of alcohol: Balling's 2.0665, of which dextrose reads 1.5 % less, and of sucrose
 * 342.30 g for each 360.31 g, because it takes up water. From memory.
 */
const EXTRACT_PER_ALCOHOL = { dextrose: 2.0665 * 0.985, sucrose: (2.0665 * 342.3) / 360.31 } as const;
export type Sugar = keyof typeof EXTRACT_PER_ALCOHOL;

/**
 * Strength in % vol by Balling's formula with the shortcut for real extract, 0.1808 OE + 0.8192 AE, which the service does not use. The shortcut
 * says how far a gram of alcohol hides extract from the hydrometer; the sugar says how much extract made it. The two are some hundredths to a
 * tenth of a per cent apart up to 13 % vol. Formula and figures from memory.
 */
export function strengthByShortcut(original: GravityRead, final: GravityRead, sugar: Sugar): number {
  const [originalGravity, finalGravity] = [gravityAt20(original), gravityAt20(final)];
  const [originalExtract, apparentExtract] = [plato(originalGravity), plato(finalGravity)];
  const lost = 0.010665 * originalExtract;
  const hidden = (0.1808 / 0.8192) * (2.0665 - lost);
  const byMass = (originalExtract - apparentExtract) / (EXTRACT_PER_ALCOHOL[sugar] - lost + hidden);
  return (byMass * finalGravity * waterDensity(REFERENCE_C)) / 0.78924;
}

/** Litres of a weak wort at 20 °C, expanding like water; within 0.03 %. */
export const wortLitresAt20 = (litres: number, temperatureC: number): number =>
  litres * (waterDensity(temperatureC) / waterDensity(REFERENCE_C));
