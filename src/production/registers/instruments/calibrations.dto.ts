import type { Calibration as CalibrationRow } from '../../../generated/prisma/client.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { NestedList, Optional } from '../../../platform/validation/field.js';
import { IsDateOnly, IsDecimalNumber, IsId, IsInstant, IsPlainText } from '../../../platform/validation/fields.js';
import { fromJson, toJson } from '../../../tenancy/settings/stored-json.js';
import { dayOf } from '../../shared/local-day.js';
import type { CalibrationRecord, Region } from './calibration-rules.js';

const MARK = { min: -1000, max: 1_000_000, maxDecimals: 6 };
const UNCERTAINTY = { min: 0, aboveMin: true, max: 1000, maxDecimals: 9 };

export class CalibrationRegion implements Region {
  @IsDecimalNumber(MARK, { description: "Lower end, in the scale's own unit.", example: 0.99 })
  from: number;

  @IsDecimalNumber(MARK, { description: 'Upper end.', example: 1.03 })
  to: number;

  @IsDecimalNumber(
    { min: -1000, max: 1000, maxDecimals: 9 },
    { description: 'To be added to the reading.', example: -0.0002 },
  )
  correction: number;

  @Optional()
  @IsDecimalNumber(UNCERTAINTY, { description: 'Or the expanded one with its factor.' })
  standardUncertainty?: number;

  @Optional()
  @IsDecimalNumber(UNCERTAINTY, { description: 'As the certificate states it.', example: 0.0004 })
  expandedUncertainty?: number;

  @Optional()
  @IsDecimalNumber({ min: 1, max: 5, maxDecimals: 4 }, { description: 'k of the expanded uncertainty.', example: 2 })
  coverageFactor?: number;

  @Optional()
  @IsDecimalNumber(UNCERTAINTY, {
    description:
      'Part of the standard uncertainty that is one offset of the whole scale, as the certificate states it. Original and final gravity share it, and it cancels in their difference. The rest is taken as independent from one stretch of 20 points to the next.',
    example: 0.0001,
  })
  commonStandardUncertainty?: number;
}

export class NewCalibration {
  @IsDateOnly({ example: '2026-01-10' })
  performedOn: string;

  @IsDateOnly({ description: 'The last day on which it holds.', example: '2027-01-09' })
  validUntil: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Number of the certificate.' })
  certificate?: string;

  @NestedList(
    () => CalibrationRegion,
    { min: 1, max: 50 },
    { description: 'Ascending, not overlapping; beyond them the calibration says nothing.' },
  )
  regions: CalibrationRegion[];
}

export class Calibration extends NewCalibration {
  @IsId()
  id: string;

  @IsId()
  instrumentId: string;

  @IsPlainText({ max: 20 }, { description: 'Unit or gravity scale of the regions.' })
  unit: string;

  @IsInstant()
  createdAt: string;
}

export class CalibrationPage extends ListOf(Calibration) {}

/** Content of the column `regions`. */
class StoredRegions {
  @IsPlainText({ max: 20 })
  unit: string;

  @NestedList(() => CalibrationRegion, { min: 1, max: 50 })
  list: CalibrationRegion[];
}

export const storedRegions = (unit: string, list: readonly Region[]) => toJson({ unit, list });

export const calibrationRecord = (row: Omit<CalibrationRow, 'producerId'>): CalibrationRecord => {
  const { unit, list } = fromJson(StoredRegions, 'calibration.regions', row.regions);
  return { id: row.id, performedOn: dayOf(row.performedOn), validUntil: dayOf(row.validUntil), unit, regions: list };
};

export const toCalibration = (row: Omit<CalibrationRow, 'producerId'>): Calibration => {
  const { performedOn, validUntil, unit, regions } = calibrationRecord(row);
  return {
    id: row.id,
    instrumentId: row.instrumentId,
    performedOn,
    validUntil,
    ...(row.certificate === null ? {} : { certificate: row.certificate }),
    unit,
    regions: [...regions],
    createdAt: row.createdAt.toISOString(),
  };
};
