import type { Material as MaterialRow } from '../../../generated/prisma/client.js';
import type { Quantity } from '../../../metrology/units.js';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import type { Stored } from '../../../tenancy/settings/resource.service.js';
import { fromJson } from '../../../tenancy/settings/stored-json.js';
import type { FermentableKind } from '../../../alcoholometry/plans/fermentables.js';
import type { WaterSalt } from '../../../alcoholometry/water/brewing-water.js';
import { WATER_SALTS } from '../../../alcoholometry/water/brewing-water.js';
import { FERMENTABLES } from '../../../alcoholometry/plans/fermentables.js';

const MATERIAL_KINDS = [
  'sugar',
  'malt',
  'fruit',
  'yeast',
  'nutrient',
  'spirit',
  'flavouring',
  'fining',
  'acid',
  'water-salt',
  'stabiliser',
  'gas',
  'other',
] as const;
export type MaterialKind = (typeof MATERIAL_KINDS)[number];

const YIELD = { min: 1, max: 100, maxDecimals: 6 };
const STRENGTH = { min: 0, max: 100, maxDecimals: 6 };

export class MaterialFacts {
  @Optional()
  @IsOneOf(FERMENTABLES, { description: 'Kind of sugar source; left out for a material that does not ferment.' })
  fermentable?: FermentableKind;

  @Optional()
  @IsQuantityOf('fraction', YIELD, {
    description: 'Malt and malt extract: extract over mass as weighed, losses of the brewhouse included.',
    example: { value: 75, unit: '%' },
  })
  extractYield?: Quantity;

  @Optional()
  @IsQuantityOf('fraction', STRENGTH, {
    description: 'Strength of a material that contains alcohol, % vol at 20 °C.',
    example: { value: 96, unit: '%' },
  })
  strength?: Quantity;

  @Optional()
  @IsOneOf(WATER_SALTS, {
    description:
      'Which salt of brewing water it is, with its water of crystallisation; its ions are counted in the lot.',
  })
  waterSalt?: WaterSalt;
}

export class NewMaterial extends MaterialFacts {
  @IsPlainText({ max: 120 }, { example: 'Dextrose monohydrate' })
  name: string;

  @IsOneOf(MATERIAL_KINDS, { example: 'sugar' })
  kind: MaterialKind;
}

export class MaterialChange extends MaterialFacts {
  @Optional()
  @IsPlainText({ max: 120 })
  name?: string;

  @Optional()
  @IsFlag({ description: 'true retires the material; nothing is deleted.' })
  retired?: boolean;
}

export class Material extends NewMaterial {
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

export class MaterialQuery extends PageQuery {
  @Optional()
  @IsPlainText({ max: 120 }, { description: 'The material with this name, in capital or small letters.' })
  name?: string;

  @Optional()
  @IsOneOf(MATERIAL_KINDS, { description: 'Only those of this kind.' })
  kind?: MaterialKind;
}

export class MaterialPage extends ListOf(Material) {}

/** The facts that are given, as the column `details` holds them. */
export const materialDetails = ({ fermentable, extractYield, strength, waterSalt }: MaterialFacts) => ({
  ...(fermentable === undefined ? {} : { fermentable }),
  ...(extractYield === undefined ? {} : { extractYield: { value: extractYield.value, unit: extractYield.unit } }),
  ...(strength === undefined ? {} : { strength: { value: strength.value, unit: strength.unit } }),
  ...(waterSalt === undefined ? {} : { waterSalt }),
});

export const materialFacts = (row: Pick<MaterialRow, 'details'>): MaterialFacts =>
  fromJson(MaterialFacts, 'material.details', row.details);

export type MaterialColumns = Pick<MaterialRow, 'name' | 'kind' | 'details'>;

export const toMaterial = (row: MaterialColumns & Stored): Material => ({
  id: row.id,
  name: row.name,
  kind: row.kind as MaterialKind,
  ...materialFacts(row),
  version: row.version,
  createdAt: row.createdAt.toISOString(),
  ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
});
