import { WATER_IONS } from '../../alcoholometry/water/brewing-water.js';
import type { IonsMgPerL, WaterIon } from '../../alcoholometry/water/brewing-water.js';
import type { FieldOptions } from './field.js';
import { Field } from './field.js';
import { numberRule } from './number-rules.js';
import { objectRule } from './rule.js';
import { oneOfRule } from './text-rules.js';

const UNIT = 'mg/L';

/** Ions of a water, each `{ "value": 40, "unit": "mg/L" }`. */
export type WaterIons = Partial<Readonly<Record<WaterIon, { readonly value: number; readonly unit: string }>>>;

const ionRule = objectRule({
  value: numberRule({ min: 0, max: 100_000, maxDecimals: 12, unit: UNIT }),
  unit: oneOfRule([UNIT]),
});

const ionsRule = objectRule({}, Object.fromEntries(WATER_IONS.map((ion) => [ion, ionRule])));

/** Calcium, magnesium, sodium, sulfate, chloride and bicarbonate in mg/L, each of them optional. */
export const IsWaterIons = (options: FieldOptions): PropertyDecorator => Field(ionsRule, options);

export const ionsMgPerL = (ions: WaterIons = {}): Partial<IonsMgPerL> =>
  Object.fromEntries(Object.entries(ions).map(([ion, { value }]) => [ion, value]));

/** To six places, as far as a mass is weighed. */
export const toWaterIons = (ions: IonsMgPerL): WaterIons =>
  Object.fromEntries(WATER_IONS.map((ion) => [ion, { value: Number(ions[ion].toFixed(6)), unit: UNIT }]));
