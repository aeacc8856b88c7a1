import { Injectable } from '@nestjs/common';
import type { MaterialLot } from '../../../generated/prisma/client.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { LineageReader } from '../../lots/compositions/lineage.reader.js';
import { liquidIn } from '../../measuring/position/vessel-liquid.js';
import { MaterialReader } from '../../registers/materials/material.reader.js';
import { ExtractReader } from '../../measuring/position/extract.reader.js';
import type { CompositionPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireSameOwner } from '../../shared/owner.js';
import { referenced } from '../../shared/references.js';
import type { AdditionFacts } from './addition-amount.js';
import type { AdditionRead } from './addition-mix.js';

/** Reads what an addition rests on: what is in the vessel, the material lot and its stock. */
@Injectable()
export class AdditionReader {
  constructor(
    private readonly positions: PositionReader,
    private readonly extracts: ExtractReader,
    private readonly lineages: LineageReader,
    private readonly materials: MaterialReader,
    private readonly stock: StockReader,
  ) {}

  async read(tx: Tx, producerId: string, lotId: string, body: AdditionFacts): Promise<AdditionRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    const { target, account } = liquidIn(position, body.vesselId);
    return {
      target,
      extract: await this.extracts.of(tx, producerId, target),
      lineage: await this.lineages.of(tx, producerId, target.composition.id),
      ...(await this.material(tx, producerId, { target, account }, body)),
    };
  }

  private async material(
    tx: Tx,
    producerId: string,
    { target, account }: { readonly target: CompositionPosition; readonly account: StockAccount },
    body: AdditionFacts,
  ): Promise<Pick<AdditionRead, 'material' | 'materialLot' | 'materialStock'>> {
    if (body.materialLotId === undefined) {
      return { material: undefined, materialLot: undefined, materialStock: undefined };
    }
    const materialLot = await referenced(tx, producerId, 'materialLot', body.materialLotId, '/materialLotId');
    requirePremises(materialLot, target);
    requireSameOwner(account.account.owner, materialLot.owner, '/materialLotId');
    const accounts = await this.stock.ofMaterialLots(tx, producerId, [materialLot.id]);
    const materialStock = accounts.find(({ balance }) => balance.litres.greaterThan(0)) ?? accounts.at(0);
    if (body.purpose === 'chase-water' && materialStock !== undefined) {
      const detail =
        'Chase water is plain water, and that material lot contains alcohol: leave materialLotId out, or give another purpose.';
      throw new ProblemException('conflict', detail, {
        errors: [{ pointer: '/materialLotId', rule: 'bears-alcohol', detail }],
      });
    }
    return {
      material: await this.materials.row(tx, producerId, materialLot.materialId),
      materialLot,
      materialStock,
    };
  }
}

function requirePremises({ premisesId }: MaterialLot, { composition }: CompositionPosition): void {
  if (premisesId !== composition.premisesId) {
    const detail = 'The material lot is at other premises: give one of the premises of the vessel.';
    throw new ProblemException('conflict', detail, {
      errors: [{ pointer: '/materialLotId', rule: 'other-premises', detail }],
    });
  }
}
