import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { GRAVITY_SCALES } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { Instrument as InstrumentRecord } from '../../../generated/prisma/client.js';
import type { Quantity } from '../../../metrology/units.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Field, Optional } from '../../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { finding } from '../../../platform/validation/rule.js';
import type { Rule } from '../../../platform/validation/rule.js';
import type { Stored } from '../../../tenancy/settings/resource.service.js';
import type { InstrumentKind } from './instrument-kinds.js';
import { INSTRUMENT_KINDS } from './instrument-kinds.js';

const REFERENCE = { min: 0, max: 60, maxDecimals: 2 };
const RESOLUTION = { min: 0, aboveMin: true, max: 1000, maxDecimals: 6 };
const REFERENCE_WORDS =
  'Temperature that the scale is made for. Kept in °C: from °F by (F − 32) × 5/9, half-even to 2 places.';

const scaleRule: Rule = {
  schema: { type: 'string', enum: [...GRAVITY_SCALES] },
  check: (value) =>
    (GRAVITY_SCALES as readonly unknown[]).includes(value)
      ? []
      : [
          finding('unknown-scale', `The scale has to be one of ${GRAVITY_SCALES.join(', ')}.`, {
            code: 'scale-unknown',
            allowed: GRAVITY_SCALES,
          }),
        ],
};

export class InstrumentQuery extends PageQuery {
  @Optional()
  @IsPlainText({ max: 80 }, { description: 'The instrument with this name, in capital or small letters.' })
  name?: string;

  @Optional()
  @IsOneOf(INSTRUMENT_KINDS, { description: 'Only those of this kind.' })
  kind?: InstrumentKind;
}

export class NewInstrument {
  @IsPlainText({ max: 80 }, { example: 'Hydrometer 2' })
  name: string;

  @IsOneOf(INSTRUMENT_KINDS, { example: 'hydrometer' })
  kind: InstrumentKind;

  @Optional()
  @Field(scaleRule, {
    description: 'Gravity scale of a hydrometer, density meter or refractometer.',
    example: 'sg-20-20',
  })
  scale?: GravityScale;

  @Optional()
  @IsQuantityOf('temperature', REFERENCE, { description: REFERENCE_WORDS, example: { value: 20, unit: 'Cel' } })
  referenceTemperature?: Quantity;

  @Optional()
  @IsDecimalNumber(RESOLUTION, { description: "Smallest step that is read, in the scale's own unit.", example: 0.001 })
  resolution?: number;

  @Optional()
  @IsPlainText({ max: 60 })
  serialNumber?: string;
}

export class InstrumentChange {
  @Optional()
  @IsPlainText({ max: 80 })
  name?: string;

  @Optional()
  @Field(scaleRule, { description: 'Cannot be changed once a calibration stands in it.' })
  scale?: GravityScale;

  @Optional()
  @IsQuantityOf('temperature', REFERENCE, { description: REFERENCE_WORDS })
  referenceTemperature?: Quantity;

  @Optional()
  @IsDecimalNumber(RESOLUTION)
  resolution?: number;

  @Optional()
  @IsPlainText({ max: 60 })
  serialNumber?: string;

  @Optional()
  @IsFlag({ description: 'true retires the instrument; nothing is deleted.' })
  retired?: boolean;
}

export class Instrument extends NewInstrument {
  @IsId()
  id: string;

  @IsWholeNumber({ min: 1, max: 2147483647 })
  version: number;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant()
  retiredAt?: string;
}

export class InstrumentPage extends ListOf(Instrument) {}

/** Columns of an instrument, decimals as the database gives them or as they are sent to it. */
export type InstrumentColumns = Pick<InstrumentRecord, 'name' | 'kind' | 'scale' | 'serialNumber'> & {
  readonly referenceTemperatureC: { toString(): string } | null;
  readonly resolution: { toString(): string } | null;
};

const numberOf = (decimal: { toString(): string } | null): number | undefined =>
  decimal === null ? undefined : Number(decimal.toString());

export const toInstrument = (row: InstrumentColumns & Stored): Instrument => {
  const referenceC = numberOf(row.referenceTemperatureC);
  const resolution = numberOf(row.resolution);
  return {
    id: row.id,
    name: row.name,
    kind: row.kind as InstrumentKind,
    ...(row.scale === null ? {} : { scale: row.scale as GravityScale }),
    ...(referenceC === undefined ? {} : { referenceTemperature: { value: referenceC, unit: 'Cel' } }),
    ...(resolution === undefined ? {} : { resolution }),
    ...(row.serialNumber === null ? {} : { serialNumber: row.serialNumber }),
    version: row.version,
    createdAt: row.createdAt.toISOString(),
    ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
  };
};
