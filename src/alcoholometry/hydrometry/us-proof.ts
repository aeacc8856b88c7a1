import { requireInRange } from '../../metrology/problem.js';
import { apparentDensityKgM3 } from '../liquids/air-buoyancy.js';
import { massFractionFromStrength, volumePercent } from '../liquids/ethanol-water.js';
import { SIXTY_FAHRENHEIT_C } from '../liquids/gravity-scales.js';
import { coefficientsAt, DEGREE, horner } from '../liquids/r22-polynomial.js';

/** A US gallon, L (definition). */
export const US_GALLON_L = 3.785411784;
/** A pound, kg (definition). */
export const POUND_KG = 0.45359237;

const AT_60F = new Float64Array(DEGREE + 1);
coefficientsAt(SIXTY_FAHRENHEIT_C, AT_60F);

/**
 * Strength, % vol at 15.56 °C (60 °F), of ethanol–water of `massFraction` (0–1), for laws that use 60 °F.
 * Source: OIML R 22 at 60 °F. Stated error 0.006 % vol against the USP/NBS table.
 */
export function volumePercentAt60F(massFraction: number): number {
  requireInRange('massFraction', massFraction, 0, 1);
  return volumePercent(AT_60F, massFraction);
}

/** Mass fraction (0–1) of ethanol–water of `percentAt60F` (% vol at 60 °F, 0–100). To 1e-9; source: OIML R 22. */
export function massFractionFromVolumePercentAt60F(percentAt60F: number): number {
  requireInRange('strength', percentAt60F, 0, 100, '%');
  return massFractionFromStrength(AT_60F, percentAt60F);
}

/** True density at 60 °F, kg/m3, of ethanol–water of `massFraction` (0–1). Source: OIML R 22. */
export function densityAt60FKgM3(massFraction: number): number {
  requireInRange('massFraction', massFraction, 0, 1);
  return horner(AT_60F, massFraction);
}

/** US degrees of proof (0–200): twice the % vol at 60 °F. Source: 27 CFR 30.11. */
export function usProof(massFraction: number): number {
  return 2 * volumePercentAt60F(massFraction);
}

/** Mass fraction of ethanol–water of `proof` (US degrees, 0–200). The inverse of `usProof`. */
export function massFractionFromUsProof(proof: number): number {
  requireInRange('proof', proof, 0, 200);
  return massFractionFromStrength(AT_60F, proof / 2);
}

/** Proof gallons in `wineGallons` (≥ 0, US gallons at 60 °F) of `proof` (0–200). Source: 27 CFR 30.11. */
export function proofGallons(wineGallons: number, proof: number): number {
  requireInRange('volume', wineGallons, 0, 1e9, '[gal_us]');
  requireInRange('proof', proof, 0, 200);
  return (wineGallons * proof) / 100;
}

/**
 * Wine gallons (US gallons at 60 °F) in a pound, weighed in air, of spirit of `proof` (0–200).
 * Source: 27 CFR 30 Table 4 as the check; OIML R 22, air 1.2 and weights 8000 kg/m3. Stated error 1e-5 gal/lb (at 200 proof 1.6e-5,
 * where R 22 has ethanol 1e-4 lighter than the US table).
 */
export function wineGallonsPerPound(proof: number): number {
  const density = horner(AT_60F, massFractionFromUsProof(proof));
  const poundsPerGallon = (apparentDensityKgM3(density) * US_GALLON_L) / 1000 / POUND_KG;
  return 1 / poundsPerGallon;
}

/** Proof gallons in a pound, weighed in air, of spirit of `proof` (0–200). As `wineGallonsPerPound`. */
export function proofGallonsPerPound(proof: number): number {
  return proofGallons(wineGallonsPerPound(proof), proof);
}
