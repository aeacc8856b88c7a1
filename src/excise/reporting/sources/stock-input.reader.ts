import { Injectable } from '@nestjs/common';
import type { PremisesMoment } from '../../../ledger/figures/span.js';
import { StockAtReader } from '../../../ledger/figures/stock-at.reader.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { FindingReader, ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { StockTakeReader } from '../../movements/stock-takes/stock-take.reader.js';
import { grouped } from '../../../platform/grouped.js';
import type { ReportInput } from './report-input.js';
import { StockNamesReader } from './stock-names.reader.js';

/** Input of the stock of a report. */
export type StockInput = Pick<ReportInput, 'stock' | 'stockSums' | 'lastCounted' | 'names' | 'findings'>;

/** Goods that went out of stock and need a name and a finding in the report. */
export interface Moved {
  readonly compositionId: string | null;
  readonly packagedLotId: string | null;
}

const idsIn = (places: readonly Pick<Moved, 'compositionId'>[]): string[] => [
  ...new Set(places.flatMap(({ compositionId }) => (compositionId === null ? [] : [compositionId]))),
];

const finishedOf = (findings: readonly FindingRow[]): string[] =>
  [...grouped(findings, ({ compositionId }) => compositionId)]
    .filter(([, own]) => ofRecordOf(own) !== undefined)
    .map(([id]) => id);

/** Reads what stood in stock at a moment, with the names, findings and counts that belong to it. */
@Injectable()
export class StockInputReader {
  constructor(
    private readonly stockAt: StockAtReader,
    private readonly findings: FindingReader,
    private readonly stockNames: StockNamesReader,
    private readonly stockTakes: StockTakeReader,
  ) {}

  async of(tx: Tx, producerId: string, moment: PremisesMoment, moved: readonly Moved[]): Promise<StockInput> {
    const stock = await this.stockAt.accounts(tx, producerId, [moment]);
    const ids = stock.map(({ id }) => id);
    const findings = await this.findings.ofCompositions(tx, producerId, idsIn([...stock, ...moved]));
    const known = findings.filter(({ sampledAt }) => sampledAt < moment.at);
    const packaged = moved.map(({ packagedLotId }) => packagedLotId);
    return {
      stock,
      stockSums: await this.stockAt.sums(tx, producerId, [moment], ids, finishedOf(known)),
      lastCounted: await this.stockTakes.lastCounted(tx, producerId, ids, moment.at),
      names: await this.stockNames.of(tx, producerId, stock, packaged),
      findings: known,
    };
  }
}
