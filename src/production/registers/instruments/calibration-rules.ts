import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { GRAVITY_SCALES } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { Property } from '../../../metrology/units.js';
import { BASE_UNITS, toBase, unitsOf } from '../../../metrology/units.js';
import { gravityRule } from '../../../platform/validation/quantity-rules.js';
import type { Finding } from '../../../platform/validation/rule.js';
import { finding } from '../../../platform/validation/rule.js';

/** A stretch of the scale, as the certificate states it: the correction is added to the reading. */
export interface Region {
  readonly from: number;
  readonly to: number;
  readonly correction: number;
  readonly standardUncertainty?: number;
  readonly expandedUncertainty?: number;
  readonly coverageFactor?: number;
  /** Part of the uncertainty that is one offset of the whole scale: all readings of the calibration share it. */
  readonly commonStandardUncertainty?: number;
}

/** A calibration, days as in 2026-03-01. */
export interface CalibrationRecord {
  readonly id: string;
  readonly performedOn: string;
  readonly validUntil: string;
  readonly unit: string;
  readonly regions: readonly Region[];
}

/** Result of a calibration for one value on one day. */
export type CalibrationOn =
  | {
      readonly state: 'valid';
      readonly calibrationId: string;
      /** Index of the region, with that of the piece in a wide one; with the instrument's id it is the origin of the calibration's error. */
      readonly region: string;
      /** Unit of correction and uncertainty: the scale's own. */
      readonly unit: string;
      /** To be added to the reading. */
      readonly correction: number;
      readonly standardUncertainty: number;
      /** Part of it that the whole scale shares; 0 where the certificate says nothing of it. */
      readonly commonStandardUncertainty: number;
    }
  | { readonly state: 'lapsed'; readonly calibrationId: string; readonly validUntil: string }
  | { readonly state: 'none'; readonly reason: 'no-record' | 'outside-regions' | 'other-unit' };

export interface ValueRead {
  readonly value: number;
  /** A unit, or a gravity scale. */
  readonly unit: string;
}

const isGravityScale = (unit: string): unit is GravityScale => (GRAVITY_SCALES as readonly string[]).includes(unit);

/** Faults of the regions of a calibration: reversed, out of order, overlapping, off the scale. */
export function regionFindings(regions: readonly Region[], unit: string): Finding[] {
  return regions.flatMap((region, index) => [
    ...uncertaintyFindings(region, index),
    ...(region.from < region.to
      ? []
      : [finding('ascending', 'A region runs from its lower end to its upper one.', { path: [index, 'to'] })]),
    ...(index === 0 || regions[index - 1].to <= region.from
      ? []
      : [finding('overlap', 'Regions stand in ascending order and do not overlap.', { path: [index, 'from'] })]),
    ...(['from', 'to'] as const).flatMap((end) => markFindings(region[end], unit, [index, end])),
  ]);
}

function uncertaintyFindings(region: Region, index: number): Finding[] {
  const { standardUncertainty, expandedUncertainty, coverageFactor } = region;
  const isStandard = standardUncertainty !== undefined;
  const isExpanded = expandedUncertainty !== undefined && coverageFactor !== undefined;
  const isMixed = isStandard && (expandedUncertainty !== undefined || coverageFactor !== undefined);
  if (!(isStandard || isExpanded) || isMixed) {
    const words = 'Give either standardUncertainty, or expandedUncertainty with its coverageFactor.';
    return [finding('one-uncertainty', words, { path: [index] })];
  }
  if ((region.commonStandardUncertainty ?? 0) > standardUncertaintyOf(region)) {
    const words = 'The common offset is part of the standard uncertainty and cannot exceed it.';
    return [finding('common-above-total', words, { path: [index, 'commonStandardUncertainty'] })];
  }
  return [];
}

function markFindings(value: number, unit: string, path: (string | number)[]): Finding[] {
  if (!isGravityScale(unit)) {
    return [];
  }
  return gravityRule()
    .check({ value, scale: unit })
    .map((inner) => ({ ...inner, path }));
}

/** Standard uncertainty of a region, in the scale's own unit; one that `regionFindings` passed. */
const standardUncertaintyOf = (region: Region): number =>
  region.standardUncertainty ?? (region.expandedUncertainty ?? NaN) / (region.coverageFactor ?? NaN);

/** Width of a piece within which a gravity scale has one error: 20 points of specific gravity. Common practice, no source. */
const PIECE_SG = 0.02;
const PIECE_PLATO = 5;
const PIECE_DENSITY_KG_M3 = 20;

const pieceWidth = (unit: string): number | undefined => {
  if (unit.startsWith('sg-')) return PIECE_SG;
  if (unit === 'plato') return PIECE_PLATO;
  return unit === 'density-kg-m3' || unit === 'kg/m3' ? PIECE_DENSITY_KG_M3 : undefined;
};

/**
 * The piece of a wide region in which a gravity or density lies, cut from its lower end: with one error from end to end, those of an original and
 * a final gravity would cancel. Nothing for other units and for a region of one piece.
 */
function pieceOf({ from, to }: Region, unit: string, value: number): string {
  const width = pieceWidth(unit);
  // The ends are decimals: a region of exactly one piece must not become two by rounding.
  const pieces = width === undefined ? 1 : Math.ceil((to - from) / width - 1e-9);
  if (width === undefined || pieces <= 1) return '';
  return `/${Math.min(pieces - 1, Math.floor((value - from) / width + 1e-9))}`;
}

/** The value in the unit of the calibration, or undefined where the two do not compare: gravity scales are never converted here. */
function valueIn(unit: string, read: ValueRead): number | undefined {
  const wanted = unit === 'density-kg-m3' ? 'kg/m3' : unit;
  const given = read.unit === 'density-kg-m3' ? 'kg/m3' : read.unit;
  if (wanted === given) {
    return read.value;
  }
  const property = (Object.keys(BASE_UNITS) as Property[]).find((each) => BASE_UNITS[each] === wanted);
  return property !== undefined && unitsOf(property).includes(given)
    ? toBase(property, { value: read.value, unit: given })
    : undefined;
}

/**
 * Correction and uncertainty of a value, by the instrument's latest calibration up to a day. At the limit of two regions the lower
 * one applies. Nothing is extrapolated beyond the regions.
 *
 * @param calibrations of one instrument, in any order; @param on the day, as in 2026-03-01
 */
export function calibrationOf(calibrations: readonly CalibrationRecord[], on: string, read: ValueRead): CalibrationOn {
  const order = (each: CalibrationRecord): string => `${each.performedOn} ${each.id}`;
  const latest = calibrations
    .filter((each) => each.performedOn <= on)
    .reduce<CalibrationRecord | undefined>(
      (best, each) => (best === undefined || order(each) > order(best) ? each : best),
      undefined,
    );
  if (latest === undefined) {
    return { state: 'none', reason: 'no-record' };
  }
  if (latest.validUntil < on) {
    return { state: 'lapsed', calibrationId: latest.id, validUntil: latest.validUntil };
  }
  const value = valueIn(latest.unit, read);
  if (value === undefined) {
    return { state: 'none', reason: 'other-unit' };
  }
  const region = latest.regions.findIndex(({ from, to }) => from <= value && value <= to);
  if (region === -1) {
    return { state: 'none', reason: 'outside-regions' };
  }
  return {
    state: 'valid',
    calibrationId: latest.id,
    region: `${region}${pieceOf(latest.regions[region], latest.unit, value)}`,
    unit: latest.unit,
    correction: latest.regions[region].correction,
    standardUncertainty: standardUncertaintyOf(latest.regions[region]),
    commonStandardUncertainty: latest.regions[region].commonStandardUncertainty ?? 0,
  };
}
