/**
 * Dextrose (anhydrous glucose) solutions at 20 °C: rho = rho_water(20) + Σ b[k] w^(k+1), w mass fraction, kg/m3.
 *
 * Source: least squares through the 27 rows for glucose of the CRC Handbook, 102nd ed. (2021), Concentrative Properties of
 * Aqueous Solutions (flag: seen), water by Kell's formula. Stated error against those rows: 0.054 kg/m3 (their rounding is 0.05).
 */
export const DEXTROSE_B: readonly number[] = [379.067, 129.943, 110.109, -355.431, 374.691];

/**
 * Molar masses, g/mol: dextrose 180.156, its monohydrate 198.171. Source: IUPAC abridged atomic weights (memory).
 */
export const DEXTROSE_MOLAR_MASS = 180.156;
export const DEXTROSE_MONOHYDRATE_MOLAR_MASS = 198.171;
