import { PickType } from '@nestjs/swagger';
import type { Vessel as VesselRow } from '../../../generated/prisma/client.js';
import type { Quantity } from '../../../metrology/units.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { PageQuery } from '../../../platform/pagination.js';
import type { Stored } from '../../../tenancy/settings/resource.service.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import { Flag } from '../../shared/flag.dto.js';
import { VesselContents } from '../../shared/contents.dto.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';

const VESSEL_KINDS = [
  'fermenter',
  'tank',
  'mixing-tank',
  'bright-tank',
  'serving-tank',
  'cask',
  'drum',
  'other',
] as const;
export type VesselKind = (typeof VESSEL_KINDS)[number];

const CAPACITY = { min: 0.001, max: 1_000_000, maxDecimals: 6 };

export class NewVessel {
  @IsId({ description: 'Where it stands; cannot be changed later.' })
  premisesId: string;

  @IsPlainText({ max: 80 }, { example: 'FV 1' })
  name: string;

  @IsOneOf(VESSEL_KINDS, { example: 'fermenter' })
  kind: VesselKind;

  @Optional()
  @IsQuantityOf('volume', CAPACITY, { description: 'What it holds at the most.', example: { value: 250, unit: 'L' } })
  capacity?: Quantity;
}

export class VesselChange {
  @Optional()
  @IsPlainText({ max: 80 })
  name?: string;

  @Optional()
  @IsOneOf(VESSEL_KINDS)
  kind?: VesselKind;

  @Optional()
  @IsQuantityOf('volume', CAPACITY)
  capacity?: Quantity;

  @Optional()
  @IsFlag({ description: 'true retires the vessel, once it is empty; nothing is deleted.' })
  retired?: boolean;
}

const VESSEL_STATES = ['holding', 'empty'] as const;

export class VesselQuery extends PageQuery {
  @Optional()
  @IsId({ description: 'Only those of these premises.' })
  premisesId?: string;

  @Optional()
  @IsPlainText({ max: 80 }, { description: 'The vessel with this name, in capital or small letters.', example: 'FV 1' })
  name?: string;

  @Optional()
  @IsOneOf(VESSEL_KINDS, { description: 'Only those of this kind.' })
  kind?: VesselKind;

  @Optional()
  @IsOneOf(VESSEL_STATES, {
    description: '`holding`: there is liquid in it; `empty`: none.',
  })
  state?: (typeof VESSEL_STATES)[number];
}

export class Vessel extends NewVessel {
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

/** A vessel as it was made, with what is doubted about it. */
export class NewVesselResult extends Vessel {
  @Optional()
  @NestedList(() => Flag, { max: 10 }, { description: 'Doubts about the entry; only in this answer.' })
  flags?: Flag[];
}

/** A vessel with what is in it now. */
export class VesselWithContents extends Vessel {
  @Nested(() => VesselContents)
  contents: VesselContents;
}

export class VesselPage extends ListOf(VesselWithContents) {}

/** Content of the column `details`: the capacity as it was given. */
class VesselDetails extends PickType(NewVessel, ['capacity'] as const) {}

export type VesselColumns = Pick<VesselRow, 'premisesId' | 'name' | 'kind' | 'details'>;

export const toVessel = (row: VesselColumns & Stored): Vessel => {
  const { capacity } = fromJson(VesselDetails, 'vessel.details', row.details);
  return {
    id: row.id,
    premisesId: row.premisesId,
    name: row.name,
    kind: row.kind as VesselKind,
    ...(capacity === undefined ? {} : { capacity: { ...capacity } }),
    version: row.version,
    createdAt: row.createdAt.toISOString(),
    ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
  };
};
