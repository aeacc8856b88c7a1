import { Injectable } from '@nestjs/common';
import type { StockAtRow } from '../../../ledger/figures/stock-at.reader.js';
import type { CompositionRow } from '../../../production/lots/compositions/composition.reader.js';
import { CompositionReader } from '../../../production/lots/compositions/composition.reader.js';
import type { PackagedLotRow } from '../../../production/measuring/packed/packaged-lot.reader.js';
import { PackagedLotReader } from '../../../production/measuring/packed/packaged-lot.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** Names of the ids in stock accounts and movements. */
export interface StockNames {
  readonly compositions: ReadonlyMap<string, CompositionRow>;
  readonly packagedLots: ReadonlyMap<string, PackagedLotRow>;
  readonly vessels: ReadonlyMap<string, string>;
  /** Code of the lot with the name of its material. */
  readonly materialLots: ReadonlyMap<string, string>;
}

interface NameRow {
  id: string;
  name: string;
}

const idsOf = (values: readonly (string | null)[]): string[] => [
  ...new Set(values.filter((value): value is string => value !== null)),
];
const byId = <Row extends { id: string }>(rows: readonly Row[]): Map<string, Row> =>
  new Map(rows.map((row) => [row.id, row]));
const names = (rows: readonly NameRow[]): Map<string, string> => new Map(rows.map(({ id, name }) => [id, name]));

/** Looks the words up for a report, one query a table. */
@Injectable()
export class StockNamesReader {
  constructor(
    private readonly compositions: CompositionReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  async of(
    tx: Tx,
    producerId: string,
    stock: readonly StockAtRow[],
    packagedLotIds: readonly (string | null)[],
  ): Promise<StockNames> {
    const compositionIds = idsOf(stock.map((row) => row.compositionId));
    const packagedIds = idsOf([...stock.map((row) => row.packagedLotId), ...packagedLotIds]);
    const vesselIds = idsOf(stock.map((row) => row.vesselId));
    const materialIds = idsOf(stock.map((row) => row.materialLotId));
    return {
      compositions: byId(await this.compositions.ofIds(tx, producerId, compositionIds)),
      packagedLots: byId(await this.packagedLots.ofIds(tx, producerId, packagedIds)),
      vessels: names(
        await tx.$queryRaw<NameRow[]>`
          SELECT id, name FROM vessel WHERE producer_id = ${producerId}::uuid AND id = ANY (${vesselIds}::uuid[])`,
      ),
      materialLots: names(
        await tx.$queryRaw<NameRow[]>`
          SELECT l.id, m.name || ' ' || l.code AS name
            FROM material_lot l JOIN material m ON m.producer_id = l.producer_id AND m.id = l.material_id
           WHERE l.producer_id = ${producerId}::uuid AND l.id = ANY (${materialIds}::uuid[])`,
      ),
    };
  }
}
