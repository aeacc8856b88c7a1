import { Injectable } from '@nestjs/common';
import type { IonsMgPerL, WaterSalt } from '../../../alcoholometry/water/brewing-water.js';
import { ionsOfSalts, plusIons } from '../../../alcoholometry/water/brewing-water.js';
import { toBase } from '../../../metrology/units.js';
import { ionsMgPerL, toWaterIons } from '../../../platform/validation/water-ions.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { LotReader } from '../../lots/lot.reader.js';
import { RecipeReader } from '../../registers/recipes/recipe.reader.js';
import type { LotSalt, LotWater } from './lot-water.dto.js';
import type { SaltInLot } from './lot-water.reader.js';
import { LotWaterReader } from './lot-water.reader.js';

const NOT_FOLLOWED = 'A lot that it was blended with, and what malt, fruit and yeast give or take, are not counted.';

/** Ions of the brewing water of a lot: those of the plan's water and of the salts that went in. */
@Injectable()
export class LotWaterService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly lots: LotReader,
    private readonly recipes: RecipeReader,
    private readonly waters: LotWaterReader,
  ) {}

  of(ctx: RequestContext, lotId: string): Promise<LotWater> {
    const { producerId } = ctx;
    return this.database.read(ctx, async (tx) => {
      const lot = (await this.lots.row(tx, producerId, lotId)) ?? notFound();
      const version =
        lot.recipeVersionId === null
          ? undefined
          : await this.recipes.version(tx, producerId, { id: lot.recipeVersionId });
      const salts = await this.waters.salts(tx, producerId, lotId);
      const changes =
        salts.length === 0 ? [] : await this.waters.changesSince(tx, producerId, lotId, salts[0].occurredAt);
      return answerOf(lotId, version, salts, changes);
    });
  }
}

const addedBy = ({ waterSalt, mass, litres }: SaltInLot): IonsMgPerL =>
  litres > 0 ? ionsOfSalts([{ salt: waterSalt as WaterSalt, massKg: toBase('mass', mass) }], litres) : plusIons({}, {});

function answerOf(
  lotId: string,
  version: Awaited<ReturnType<RecipeReader['version']>>,
  salts: readonly SaltInLot[],
  changes: readonly string[],
): LotWater {
  const base = version?.plan.water?.base;
  const planned = version?.expected.waterIons;
  const added = salts.map(addedBy).reduce<IonsMgPerL>(plusIons, plusIons({}, {}));
  return {
    lotId,
    ...(base === undefined ? {} : { base }),
    added: toWaterIons(added),
    ions: toWaterIons(plusIons(ionsMgPerL(base), added)),
    ...(planned === undefined ? {} : { planned }),
    salts: salts.map((salt): LotSalt => ({
      operationId: salt.operationId,
      kind: salt.kind,
      occurredAt: salt.occurredAt.toISOString(),
      materialLotId: salt.materialLotId,
      waterSalt: salt.waterSalt as WaterSalt,
      mass: salt.mass,
      volume: { value: salt.litres, unit: 'L' },
      added: toWaterIons(addedBy(salt)),
    })),
    warnings: [
      ...(base === undefined ? ["No water stands in the recipe's plan: only the salts that went in are counted."] : []),
      ...(changes.length === 0
        ? []
        : [`The lot was changed since (${changes.join(', ')}): a litre of it holds other amounts now.`]),
      NOT_FOLLOWED,
    ],
  };
}
