/**
 * Salts of brewing water and the ions that a mole of each gives.
 *
 * Atomic weights in g/mol: IUPAC standard atomic weights, abridged (2021), from memory: H 1.008, C 12.011, O 15.999, Na 22.990, Mg 24.305,
 * S 32.06, Cl 35.45, Ca 40.078. Their spread in nature is below 0.1 %.
 */
const H = 1.008;
const C = 12.011;
const O = 15.999;
const NA = 22.99;
const MG = 24.305;
const S = 32.06;
const CL = 35.45;
const CA = 40.078;

const WATER = 2 * H + O;
const SULFATE = S + 4 * O;
const CARBONATE = C + 3 * O;

export const WATER_IONS = ['calcium', 'magnesium', 'sodium', 'sulfate', 'chloride', 'bicarbonate'] as const;
export type WaterIon = (typeof WATER_IONS)[number];

/** Molar mass in g/mol and charge of each ion. */
export const IONS: Readonly<Record<WaterIon, { readonly molarMassG: number; readonly charge: number }>> = {
  calcium: { molarMassG: CA, charge: 2 },
  magnesium: { molarMassG: MG, charge: 2 },
  sodium: { molarMassG: NA, charge: 1 },
  sulfate: { molarMassG: SULFATE, charge: -2 },
  chloride: { molarMassG: CL, charge: -1 },
  bicarbonate: { molarMassG: H + CARBONATE, charge: -1 },
};

export const CALCIUM_CARBONATE_MOLAR_MASS_G = CA + CARBONATE;

interface WaterSaltFacts {
  readonly molarMassG: number;
  /** Moles of each ion from a mole of the salt. */
  readonly gives: Partial<Readonly<Record<WaterIon, number>>>;
}

export const WATER_SALTS = [
  'calcium-sulfate-dihydrate',
  'calcium-sulfate-anhydrous',
  'calcium-chloride-dihydrate',
  'calcium-chloride-anhydrous',
  'magnesium-sulfate-heptahydrate',
  'magnesium-sulfate-anhydrous',
  'magnesium-chloride-hexahydrate',
  'sodium-chloride',
  'sodium-bicarbonate',
  'calcium-carbonate',
] as const;
export type WaterSalt = (typeof WATER_SALTS)[number];

export const SALTS: Readonly<Record<WaterSalt, WaterSaltFacts>> = {
  'calcium-sulfate-dihydrate': { molarMassG: CA + SULFATE + 2 * WATER, gives: { calcium: 1, sulfate: 1 } },
  'calcium-sulfate-anhydrous': { molarMassG: CA + SULFATE, gives: { calcium: 1, sulfate: 1 } },
  'calcium-chloride-dihydrate': { molarMassG: CA + 2 * CL + 2 * WATER, gives: { calcium: 1, chloride: 2 } },
  'calcium-chloride-anhydrous': { molarMassG: CA + 2 * CL, gives: { calcium: 1, chloride: 2 } },
  'magnesium-sulfate-heptahydrate': { molarMassG: MG + SULFATE + 7 * WATER, gives: { magnesium: 1, sulfate: 1 } },
  'magnesium-sulfate-anhydrous': { molarMassG: MG + SULFATE, gives: { magnesium: 1, sulfate: 1 } },
  'magnesium-chloride-hexahydrate': { molarMassG: MG + 2 * CL + 6 * WATER, gives: { magnesium: 1, chloride: 2 } },
  'sodium-chloride': { molarMassG: NA + CL, gives: { sodium: 1, chloride: 1 } },
  'sodium-bicarbonate': { molarMassG: NA + H + CARBONATE, gives: { sodium: 1, bicarbonate: 1 } },
  // Dissolved by acid or CO2: CaCO3 + CO2 + H2O gives two bicarbonate ions.
  'calcium-carbonate': { molarMassG: CA + CARBONATE, gives: { calcium: 1, bicarbonate: 2 } },
};
