import {
  densityAt20FromVolumePercent,
  massFractionFromDensity,
  volumePercentFromMassFraction,
} from '../../src/alcoholometry/liquids/ethanol-water.js';

/**
 * Strength, % vol at 20 °C, from an alcoholometer made for 20 °C that shows `readingPercent` (% vol) at `temperatureC` (°C), in a liquid
 * free of extract. The glass term of ISO 1768 and OIML R 22, written out without the budget that the service computes with it.
 */
export function strengthFromAlcoholometer(readingPercent: number, temperatureC: number): number {
  const density = densityAt20FromVolumePercent(readingPercent) * (1 - 25e-6 * (temperatureC - 20));
  return volumePercentFromMassFraction(massFractionFromDensity(density, temperatureC));
}
