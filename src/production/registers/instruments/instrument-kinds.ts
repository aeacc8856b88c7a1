import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';

export const INSTRUMENT_KINDS = [
  'hydrometer',
  'alcoholometer',
  'density-meter',
  'refractometer',
  'thermometer',
  'scale',
  'flow-meter',
  'dip',
  'sight-glass',
  'ph-meter',
  'pressure-gauge',
  'co2-meter',
] as const;
export type InstrumentKind = (typeof INSTRUMENT_KINDS)[number];

/** Kinds that may carry a gravity scale. */
export const GRAVITY_INSTRUMENTS: readonly InstrumentKind[] = ['hydrometer', 'density-meter', 'refractometer'];

/** The unit in which each kind is calibrated when it carries no gravity scale; a hydrometer always needs its scale. */
const UNIT_OF: Readonly<Record<InstrumentKind, string | undefined>> = {
  hydrometer: undefined,
  alcoholometer: '%',
  'density-meter': 'kg/m3',
  refractometer: 'plato',
  thermometer: 'Cel',
  scale: 'kg',
  'flow-meter': 'L',
  dip: 'L',
  'sight-glass': 'L',
  'ph-meter': 'pH',
  'pressure-gauge': 'kPa',
  'co2-meter': 'g/L',
};

/** The scale's own unit, in which a calibration of the instrument is stated; undefined for a hydrometer whose scale is unknown. */
export const calibrationUnit = (kind: InstrumentKind, scale: GravityScale | undefined): string | undefined =>
  scale ?? UNIT_OF[kind];
