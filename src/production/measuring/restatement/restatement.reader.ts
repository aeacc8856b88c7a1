import { Injectable } from '@nestjs/common';
import { headSequence } from '../../../ledger/books/head.js';
import type { Genealogy } from '../../../ledger/genealogy/genealogy.reader.js';
import { GenealogyReader } from '../../../ledger/genealogy/genealogy.reader.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { StockReader } from '../../../ledger/books/stock.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import { FindingReader, lastOfRecord, ofRecordOf } from '../finding-records/finding.reader.js';

/** The books down the genealogy of some accounts, as they stand. */
export interface RestatementRead {
  readonly genealogy: Genealogy;
  /** The accounts that it starts from. */
  readonly accounts: readonly string[];
  readonly stock: ReadonlyMap<string, StockAccount>;
  /** The finding of record that counts, by composition. */
  readonly ofRecord: ReadonlyMap<string, FindingRow>;
  /** The last of record, reversed or not, by composition: what a new one restates. */
  readonly lastOfRecord: ReadonlyMap<string, string>;
  /** All that were of record and stand, oldest first, by composition. */
  readonly standing: ReadonlyMap<string, readonly FindingRow[]>;
  /** Trail sequence of the read: the liquid may meanwhile reach an account that is not there yet. */
  readonly head: bigint;
}

/** Reads what a change of strength or volume spreads over. */
@Injectable()
export class RestatementReader {
  constructor(
    private readonly genealogies: GenealogyReader,
    private readonly stock: StockReader,
    private readonly findings: FindingReader,
  ) {}

  async ofComposition(tx: Tx, producerId: string, compositionId: string): Promise<RestatementRead> {
    const packagedLots = await this.#openedWith(tx, producerId, compositionId);
    const accounts = await this.genealogies.accountsOf(tx, producerId, { compositions: [compositionId], packagedLots });
    return this.of(tx, producerId, accounts, [compositionId]);
  }

  /** Packed goods that the books began with, or that came in packed: what they were filled from never stood in them. */
  async #openedWith(tx: Tx, producerId: string, compositionId: string): Promise<string[]> {
    const rows = await tx.$queryRaw<{ id: string }[]>`
      SELECT k.id FROM packaged_lot k JOIN operation o ON o.producer_id = k.producer_id AND o.id = k.operation_id
       WHERE k.producer_id = ${producerId}::uuid AND k.composition_id = ${compositionId}::uuid AND o.kind IN ('opening', 'drink-receipt')`;
    return rows.map(({ id }) => id);
  }

  async of(
    tx: Tx,
    producerId: string,
    accounts: readonly string[],
    own: readonly string[] = [],
  ): Promise<RestatementRead> {
    const genealogy = await this.genealogies.forward(tx, producerId, accounts);
    const places = [...genealogy.places.values()].filter(({ key }) => key.side === 'stock');
    const stock = await this.stock.ofIds(
      tx,
      producerId,
      places.map(({ id }) => id),
    );
    const compositions = [
      ...new Set([
        ...own,
        ...places.flatMap(({ key }) => (key.compositionId === undefined ? [] : [key.compositionId])),
      ]),
    ];
    const findings = await this.findings.ofCompositions(tx, producerId, compositions);
    const standing = new Map(
      compositions.map((id) => [
        id,
        findings.filter((each) => each.compositionId === id && each.standing === 'of-record' && !each.reversed),
      ]),
    );
    const ofRecord = new Map(
      compositions.flatMap((id) => {
        const found = ofRecordOf(standing.get(id) ?? []);
        return found === undefined ? [] : [[id, found] as const];
      }),
    );
    const last = compositions.map((id) => [id, lastOfRecord(findings.filter((each) => each.compositionId === id))?.id]);
    return {
      genealogy,
      accounts,
      stock: new Map(stock.map((each) => [each.id, each])),
      standing,
      head: await headSequence(tx, producerId),
      ofRecord,
      lastOfRecord: new Map(last.filter((each): each is [string, string] => each[1] !== undefined)),
    };
  }
}
