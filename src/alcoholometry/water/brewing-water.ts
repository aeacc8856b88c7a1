import { MetrologyError, requireCount, requireInRange } from '../../metrology/problem.js';
import type { WaterIon, WaterSalt } from '../tables/water-salts.js';
import { CALCIUM_CARBONATE_MOLAR_MASS_G, IONS, SALTS, WATER_IONS } from '../tables/water-salts.js';

export { WATER_IONS, WATER_SALTS } from '../tables/water-salts.js';
export type { WaterIon, WaterSalt } from '../tables/water-salts.js';

/** mg/L of each ion. */
export type IonsMgPerL = Readonly<Record<WaterIon, number>>;

export interface SaltDose {
  readonly salt: WaterSalt;
  /** As weighed, with its water of crystallisation, kg. */
  readonly massKg: number;
}

interface BrewingWaterInput {
  /** L, 0.001 to 1e9. The volume that the salts add is below 0.1 % and not counted. */
  readonly volumeL: number;
  /** Of the water before, 0 to 5000 mg/L each; 0 by default. */
  readonly base?: Partial<IonsMgPerL>;
  /** Up to 20; together 0 to 20 g to a litre. */
  readonly salts: readonly SaltDose[];
}

interface BrewingWater {
  readonly ions: IonsMgPerL;
  /** The part that the salts give. */
  readonly added: IonsMgPerL;
  /** Calcium and magnesium as calcium carbonate, mg/L. */
  readonly hardnessMgPerL: number;
  /** Bicarbonate as calcium carbonate, mg/L. */
  readonly alkalinityMgPerL: number;
  readonly warnings: readonly string[];
}

/** Name, version and source of the method, for the answer. */
export const BREWING_WATER_METHOD = {
  id: 'brewing-water-ions',
  version: '1.0.0',
  source: 'IUPAC standard atomic weights (abridged, 2021); stoichiometry of the named salts and hydrates',
} as const;

const MOST_SALTS = 20;
const MOST_MG_PER_L = 5000;
const MOST_SALT_G_PER_L = 20;
/** Calcium sulfate that water of 20 °C dissolves, as dihydrate: about 2.4 g/L (CRC, from memory). */
const GYPSUM_SOLUBILITY_G_PER_L = 2.4;
/** Indicator values of drinking water, mg/L: Directive (EU) 2020/2184, Annex I part C, from memory. */
const INDICATOR_VALUES: Partial<IonsMgPerL> = { sodium: 200, sulfate: 250, chloride: 250 };
/** Difference of the charges of a water analysis that is still rounding, as a part of their mean. */
const CHARGE_TOLERANCE = 0.1;

const each = (of: (ion: WaterIon) => number): IonsMgPerL =>
  Object.fromEntries(WATER_IONS.map((ion) => [ion, of(ion)])) as unknown as IonsMgPerL;

/** mg of each ion that a dose gives to a litre. */
export function ionsOfSalts(salts: readonly SaltDose[], volumeL: number): IonsMgPerL {
  return each((ion) =>
    salts.reduce((sum, { salt, massKg }) => {
      const { molarMassG, gives } = SALTS[salt];
      return sum + ((1e6 * massKg) / volumeL) * (((gives[ion] ?? 0) * IONS[ion].molarMassG) / molarMassG);
    }, 0),
  );
}

/** The sum of two waters' ions in the same volume. */
export const plusIons = (a: Partial<IonsMgPerL>, b: Partial<IonsMgPerL>): IonsMgPerL =>
  each((ion) => (a[ion] ?? 0) + (b[ion] ?? 0));

/**
 * Ions of brewing water after salts were dissolved in it.
 *
 * Stoichiometry: all of a salt dissolves, and no ion leaves as a solid or as gas. Error: 0.1 % from the atomic weights; the purity of the salt, 1 to 5 %, and
 * the water that it took up come on top. The wrong hydrate is 24 % off for calcium chloride.
 * @throws MetrologyError `out-of-range`, `not-finite`, `too-many`
 */
export function brewingWater({ volumeL, base = {}, salts }: BrewingWaterInput): BrewingWater {
  requireInRange('volume', volumeL, 0.001, 1e9, 'L');
  requireCount('salts', salts.length, 0, MOST_SALTS);
  salts.forEach(({ massKg }, index) => requireInRange(`salts.${index}.mass`, massKg, 0, 1e6, 'kg'));
  for (const ion of WATER_IONS) requireInRange(`base.${ion}`, base[ion] ?? 0, 0, MOST_MG_PER_L, 'mg/L');
  const gramsPerL = salts.reduce((sum, { massKg }) => sum + (1000 * massKg) / volumeL, 0);
  if (gramsPerL > MOST_SALT_G_PER_L) {
    throw new MetrologyError(
      'out-of-range',
      `The salts come to ${gramsPerL.toPrecision(3)} g to a litre; up to ${MOST_SALT_G_PER_L} g are computed. Check the masses and the volume.`,
      {
        pointer: 'salts',
        range: [0, MOST_SALT_G_PER_L],
        unit: 'g/L',
      },
    );
  }
  const added = ionsOfSalts(salts, volumeL);
  const ions = plusIons(base, added);
  const asCarbonate = (ion: WaterIon): number =>
    (ions[ion] / IONS[ion].molarMassG) * (Math.abs(IONS[ion].charge) / 2) * CALCIUM_CARBONATE_MOLAR_MASS_G;
  return {
    ions,
    added,
    hardnessMgPerL: asCarbonate('calcium') + asCarbonate('magnesium'),
    alkalinityMgPerL: asCarbonate('bicarbonate'),
    warnings: [...saltWarnings(salts, volumeL), ...baseWarnings(base), ...indicatorWarnings(ions)],
  };
}

function saltWarnings(salts: readonly SaltDose[], volumeL: number): string[] {
  const warnings: string[] = [];
  const gypsumGPerL = salts
    .filter(({ salt }) => salt.startsWith('calcium-sulfate'))
    .reduce((sum, { massKg }) => sum + (1000 * massKg) / volumeL, 0);
  if (gypsumGPerL > GYPSUM_SOLUBILITY_G_PER_L) {
    warnings.push(`More than ${GYPSUM_SOLUBILITY_G_PER_L} g of calcium sulfate to a litre do not dissolve at 20 °C.`);
  }
  if (salts.some(({ salt }) => salt === 'calcium-carbonate')) {
    warnings.push(
      'Calcium carbonate dissolves only in acid or with CO2; undissolved it gives no ions. Two bicarbonate ions are counted.',
    );
  }
  if (salts.some(({ salt }) => salt.startsWith('calcium-chloride'))) {
    warnings.push(
      'Calcium chloride takes up water from the air: keep it closed, and weigh what the label names, anhydrous or dihydrate. Its solution gets hot.',
    );
  }
  return warnings;
}

/** Charges of a true analysis are equal, but for ions that are not named here and for rounding. */
function baseWarnings(base: Partial<IonsMgPerL>): string[] {
  const charges = WATER_IONS.map((ion) => ((base[ion] ?? 0) / IONS[ion].molarMassG) * IONS[ion].charge);
  const sum = charges.reduce((total, charge) => total + charge, 0);
  const size = charges.reduce((total, charge) => total + Math.abs(charge), 0) / 2;
  return size === 0 || Math.abs(sum) <= CHARGE_TOLERANCE * size
    ? []
    : [
        `The ions of the water before do not balance: ${sum > 0 ? 'positive' : 'negative'} charges exceed the others by ${Math.abs(sum).toFixed(2)} meq/L. Check the analysis; other ions are not counted.`,
      ];
}

const indicatorWarnings = (ions: IonsMgPerL): string[] =>
  WATER_IONS.flatMap((ion) => {
    const value = INDICATOR_VALUES[ion];
    return value === undefined || ions[ion] <= value
      ? []
      : [
          `${ion} is above ${value} mg/L, the indicator value for drinking water in Directive (EU) 2020/2184; local law decides what a drink may hold.`,
        ];
  });
