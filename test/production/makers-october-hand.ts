// What a maker would work out by hand for test/production/makers-october.test.ts; shares nothing with the service.

/**
 * Extract of a sugar solution by the cubic of the American Society of Brewing Chemists, °P from specific gravity 20/20; from memory. Its check value:
 * SG 1.040 is 9.99 °P (Plato's table, as printed in brewing textbooks; from memory).
 */
export const platoByHand = (gravity: number): number =>
  -616.868 + 1111.14 * gravity - 630.272 * gravity ** 2 + 135.997 * gravity ** 3;

/** Density of ethanol over that of water, both at 20 °C (0.78924 and 0.99820 g/mL; OIML R 22 and tables of water). */
const ETHANOL_SG = 0.78924 / 0.9982;

/** Balling's 2.0665 g of extract a gram of alcohol; of sucrose 342.30 g do what 360.31 g of hexoses do (molar masses). */
const SUCROSE_PER_ALCOHOL = (2.0665 * 342.3) / 360.31;

/**
 * Strength, % vol, of a sucrose wash by Balling's balance: extract gives 1 g of alcohol, 0.11 g of yeast and 0.9565 g of CO₂ (De Clerck, Textbook of
 * Brewing; from memory). How far alcohol hides extract from the hydrometer follows from the usual shortcut for beer, 0.1808 OE + 0.8192 AE for the
 * real extract. The shortcut and the cubic are good to about 0.1 % vol together.
 */
export function strengthByHand(originalGravity: number, finalGravity: number): number {
  const [original, apparent] = [platoByHand(originalGravity), platoByHand(finalGravity)];
  const hidden = (0.1808 / 0.8192) * (2.0665 - 0.010665 * original);
  const byMass = (original - apparent) / (SUCROSE_PER_ALCOHOL - 0.010665 * original + hidden);
  return (byMass * finalGravity) / ETHANOL_SG;
}

/** What the shortcut and the cubic may be off by, % vol. */
export const HAND_TOLERANCE = 0.15;

/**
 * Alcohol that conditioning sugar adds, % vol: 342.30 g of sucrose take up 18.02 g of water and give 4 · 46.07 g of ethanol (molar masses of the
 * elements); some 5 % of the sugar goes to yeast and by-products (Pasteur, as brewing textbooks give it; from memory).
 */
export const conditioningByHand = (sucroseGL: number): number =>
  (0.95 * sucroseGL * ((4 * 46.07) / 342.3)) / (10 * 0.78924);
