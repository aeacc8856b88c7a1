import { NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsId,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { DayQuery } from '../../../platform/pagination.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { Flag } from '../../shared/flag.dto.js';
import { DosedMaterial, MOST_DOSES } from './doses.dto.js';
import { shownDoses } from './shown-doses.js';
import type { PackagedLotRow } from '../../measuring/packed/packaged-lot.reader.js';
import { labelDoubt } from '../../measuring/packed/label-doubt.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import type { PackedStrength } from '../../measuring/packed/packed-strength.js';

import { CONTAINERS, DISPENSE, PACKAGED_STATES } from './packaging.dto.js';

export class PackagedLotQuery extends DayQuery {
  @Optional()
  @IsId({ description: 'Only those packed at these premises.' })
  premisesId?: string;

  @Optional()
  @IsId({ description: 'Only those packed from this lot.' })
  lotId?: string;

  @Optional()
  @IsPlainText(
    { max: 60 },
    { description: 'Only those with this lot mark, in capital or small letters.', example: 'L-260301' },
  )
  lotMark?: string;

  @Optional()
  @IsPlainText({ max: 60 }, { description: 'Only those of this category.', example: 'cider' })
  category?: string;

  @Optional()
  @IsOneOf(CONTAINERS, { description: 'Only those in this kind of container.' })
  container?: (typeof CONTAINERS)[number];

  @Optional()
  @IsOneOf(PACKAGED_STATES, {
    description: '`in-stock`: some of it is in stock, at any of the premises. `out`: nothing is any more.',
  })
  state?: (typeof PACKAGED_STATES)[number];
}

export class PackagedLot {
  @IsId()
  id: string;

  @IsId()
  lotId: string;

  @IsPlainText({ max: 60 })
  lotCode: string;

  @IsId()
  compositionId: string;

  @IsId()
  premisesId: string;

  @IsPlainText({ max: 60 })
  category: string;

  @IsOneOf(CONTAINERS)
  container: string;

  @IsQuantityOf('volume')
  nominalVolume: WireQuantity;

  @IsWholeNumber({ min: 1, max: 10_000_000 }, { description: 'Filled in the run.' })
  count: number;

  @IsDecimalNumber({}, { description: 'Containers in stock now.' })
  onHand: number;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsQuantityOf('fraction')
  declaredStrength: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    {},
    { description: 'Strength of record now of what the containers hold, conditioning included.' },
  )
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf('fraction', {}, { description: 'Of the strength, at 95 %.' })
  expandedUncertainty?: WireQuantity;

  @Optional()
  @NestedList(
    () => DosedMaterial,
    { max: MOST_DOSES },
    { description: 'Dosed into each container after it was filled.' },
  )
  doses?: DosedMaterial[];

  @Optional()
  @IsOneOf(DISPENSE)
  dispense?: string;

  @IsDateOnly()
  packagedOn: string;

  @IsId()
  operationId: string;

  @NestedList(
    () => Flag,
    { max: 5 },
    {
      description: 'label-does-not-hold or label-in-doubt, by the strength of record now.',
    },
  )
  flags: Flag[];
}

export class PackagedLotPage extends ListOf(PackagedLot) {}

/** The strength of packed goods as answers carry it; nothing where none is of record. */
export const packedStrengthOf = (
  strength: PackedStrength | undefined,
): { strength?: WireQuantity; expandedUncertainty?: WireQuantity } =>
  strength === undefined
    ? {}
    : {
        strength: { value: strength.strengthPercent, unit: '%' },
        expandedUncertainty: { value: strength.expandedUncertainty, unit: '%' },
      };

export const toPackagedLot = (
  row: PackagedLotRow,
  litresOnHand: number,
  strength: PackedStrength | undefined,
  settings: ProducerSettings,
): PackagedLot => ({
  id: row.id,
  lotId: row.lotId,
  lotCode: row.lotCode,
  compositionId: row.compositionId,
  premisesId: row.premisesId,
  category: row.category,
  container: row.container,
  nominalVolume: { value: Number(row.nominalLitres), unit: 'L' },
  count: row.count,
  onHand: Math.round((litresOnHand / Number(row.nominalLitres)) * 1e6) / 1e6,
  lotMark: row.lotMark,
  declaredStrength: { value: Number(row.declaredStrengthPercent), unit: '%' },
  ...packedStrengthOf(strength),
  ...(row.doses === null ? {} : { doses: shownDoses(row.doses) }),
  ...(row.dispense === null ? {} : { dispense: row.dispense }),
  packagedOn: row.packagedOn,
  operationId: row.operationId,
  flags: labelFlags(row, strength, settings),
});

function labelFlags(row: PackagedLotRow, strength: PackedStrength | undefined, settings: ProducerSettings): Flag[] {
  const doubt = strength && labelDoubt(strength, Number(row.declaredStrengthPercent), settings);
  return doubt === undefined ? [] : [{ code: doubt.code, detail: doubt.detail }];
}
