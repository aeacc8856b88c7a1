/**
 * Solubility and fugacity of carbon dioxide in pure water.
 *
 * Source: R. F. Weiss, Marine Chemistry 2 (1974) 203–215, coefficients as read in a general oceanography library.
 * K0 in mol per kg of water and atmosphere of fugacity; temperature in kelvin; salinity terms are zero here.
 * Range: 0 to 40 °C. Checked: 0.7 % against Murray & Riley (1–35 °C), 2.4 % against CRC (0–40 °C, beyond the rounding of its figures).
 */
export const WEISS_SOLUBILITY = { a1: -60.2409, a2: 93.4517, a3: 23.3585 } as const;

/** Second virial coefficient of CO2, cm³/mol, cubic in kelvin, ascending powers. Source: Weiss 1974, as above. */
export const WEISS_VIRIAL = [-1636.75, 12.0408, -0.0327957, 3.16528e-5] as const;

/** Gas constant in cm³·atm/(mol·K): 8.31446261815324 J/(mol·K) over 0.101325 J/(cm³·atm), both exact. */
export const GAS_CONSTANT_CM3_ATM = 8.31446261815324 / 0.101325;

/** One standard atmosphere in kPa, by definition. */
export const STANDARD_ATMOSPHERE_KPA = 101.325;

/** Molar masses in g/mol from memory (abridged atomic weights C 12.011, H 1.008, O 15.999). */
export const MOLAR_MASS_G = {
  carbonDioxide: 44.009,
  ethanol: 46.069,
  sucrose: 342.297,
} as const;

/**
 * Grams of CO2 in one litre of the gas at 0 °C and 1 atm, real gas: 44.0095 g/mol over 22.263 L/mol (from memory).
 * "Volumes" in this program are always these; some texts take 15.5 °C instead.
 */
export const CO2_GRAMS_PER_LITRE_PER_VOLUME = 1.9767;

/**
 * Beer of 12 °P original extract and 80 % apparent attenuation: dissolved g/L = 10·p·exp(a + b/T), p absolute in bar, T in K.
 * Source: an instrument manual for brewery CO2 meters; −10.74 and 2617.25 read there, the five-decimal constant and the factor 10
 * from memory. Used only to say how far water under-reads for beer.
 */
export const BEER_SOLUBILITY = { factor: 10, a: -10.73797, b: 2617.25 } as const;
