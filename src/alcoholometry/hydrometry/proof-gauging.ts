import { requireInRange } from '../../metrology/problem.js';
import { ethanolWaterDensityKgM3, volumePercentFromMassFraction } from '../liquids/ethanol-water.js';
import { densityAt60FKgM3, POUND_KG, proofGallons, US_GALLON_L, usProof, wineGallonsPerPound } from './us-proof.js';

/** An amount of spirit in the units of 27 CFR 30. */
export interface GaugedSpirit {
  readonly proof: number;
  /** US gallons at 60 °F */
  readonly wineGallons: number;
  readonly proofGallons: number;
  readonly volumeAt20L: number;
  readonly pureAlcoholAt20L: number;
}

/**
 * Spirit (ethanol and water alone) of `massFraction` gauged by volume: `volumeL` (≥ 0) at `temperatureC` (−20–40 °C).
 *
 * Source: 27 CFR 30.51 as the check; volume to 60 °F by OIML R 22. Stated error 1e-5 relative; nothing is rounded.
 * @throws MetrologyError `out-of-range`, `frozen`, `not-finite`
 */
export function gaugeByVolume(massFraction: number, volumeL: number, temperatureC: number): GaugedSpirit {
  requireInRange('volume', volumeL, 0, 1e9, 'L');
  const density = ethanolWaterDensityKgM3(massFraction, temperatureC);
  const wineGallons = (volumeL * density) / densityAt60FKgM3(massFraction) / US_GALLON_L;
  return gauged(massFraction, wineGallons);
}

/**
 * Spirit of `massFraction` gauged by weight: `weighedKg` (≥ 0) as a scale shows it in air.
 * Source: 27 CFR 30.64 as the check. Stated error: as `wineGallonsPerPound`; nothing is rounded.
 * @throws MetrologyError `out-of-range`, `not-finite`
 */
export function gaugeByWeight(massFraction: number, weighedKg: number): GaugedSpirit {
  requireInRange('weight', weighedKg, 0, 1e9, 'kg');
  return gauged(massFraction, (weighedKg / POUND_KG) * wineGallonsPerPound(usProof(massFraction)));
}

function gauged(massFraction: number, wineGallons: number): GaugedSpirit {
  const proof = usProof(massFraction);
  const massKg = (wineGallons * US_GALLON_L * densityAt60FKgM3(massFraction)) / 1000;
  const volumeAt20L = (1000 * massKg) / ethanolWaterDensityKgM3(massFraction, 20);
  return {
    proof,
    wineGallons,
    proofGallons: proofGallons(wineGallons, proof),
    volumeAt20L,
    pureAlcoholAt20L: (volumeAt20L * volumePercentFromMassFraction(massFraction)) / 100,
  };
}
