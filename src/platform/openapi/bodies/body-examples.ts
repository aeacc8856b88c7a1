/** A request body that the reference shows for a route. */
export interface BodyExample {
  /** One line that says what it is. */
  readonly summary: string;
  readonly value: Readonly<Record<string, unknown>>;
}

/** Examples by operation id. All data are invented. */
export type BodyExamples = Readonly<Record<string, BodyExample>>;

/** An id as answers give it, for examples; `n` from 1 to 99. */
export const sampleId = (n: number): string => `0197a5b0-0000-7000-8000-0000000000${String(n).padStart(2, '0')}`;

export const PREMISES = sampleId(1);
export const FERMENTER = sampleId(2);
export const TANK = sampleId(3);
export const LOT = sampleId(4);
export const PACKAGED_LOT = sampleId(5);
export const PERSON = sampleId(6);
export const HYDROMETER = sampleId(7);
export const SUGAR = sampleId(8);
export const SUGAR_LOT = sampleId(9);
export const SPIRIT_LOT = sampleId(10);
export const FLAVOURING_LOT = sampleId(11);
export const RECIPE = sampleId(12);
export const OTHER_LOT = sampleId(13);
export const OTHER_PREMISES = sampleId(14);
export const YEAST = sampleId(15);

export const litres = (value: number) => ({ value, unit: 'L' });
export const percent = (value: number) => ({ value, unit: '%' });
export const celsius = (value: number) => ({ value, unit: 'Cel' });
export const gravity = (value: number) => ({ value, scale: 'sg-20-20' });
