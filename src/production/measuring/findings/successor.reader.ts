import { Injectable } from '@nestjs/common';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { LineageReader } from '../../lots/compositions/lineage.reader.js';
import type { CompositionPosition, LotPosition } from '../position/lot-position.js';
import { PositionReader } from '../position/position.reader.js';
import type { RestatementRead } from '../restatement/restatement.reader.js';
import { RestatementReader } from '../restatement/restatement.reader.js';

/** A composition that another one became by additions and splits, with its lot. */
export interface Successor {
  readonly lot: LotPosition['lot'];
  readonly target: CompositionPosition;
}

export interface SuccessorRead {
  readonly restatement: RestatementRead;
  readonly successors: readonly Successor[];
}

/** Reads what became of a composition that no vessel holds any more. */
@Injectable()
export class SuccessorReader {
  constructor(
    private readonly positions: PositionReader,
    private readonly lineages: LineageReader,
    private readonly restatements: RestatementReader,
  ) {}

  /** Successors oldest first; none for what was blended. */
  async of(tx: Tx, producerId: string, { composition }: CompositionPosition): Promise<SuccessorRead> {
    const restatement = await this.restatements.ofComposition(tx, producerId, composition.id);
    const places = [...restatement.genealogy.places.values()].filter(({ key }) => key.kind === 'liquid');
    const lots = [...new Set(places.flatMap(({ lotId }) => (lotId === undefined ? [] : [lotId])))];
    const successors: Successor[] = [];
    for (const lotId of lots) {
      const { lot, compositions } = await this.positions.ofLot(tx, producerId, lotId);
      for (const target of compositions) {
        const isThere = places.some(({ key }) => key.compositionId === target.composition.id);
        const isOther = target.composition.id !== composition.id;
        const lineage = isThere && isOther ? await this.lineages.of(tx, producerId, target.composition.id) : [];
        if (lineage.some(({ id }) => id === composition.id)) {
          successors.push({ lot, target });
        }
      }
    }
    return { restatement, successors };
  }
}
