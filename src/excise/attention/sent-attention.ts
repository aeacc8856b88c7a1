import { Injectable } from '@nestjs/common';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import { dayText, groupedNumber, operationNoun } from '../../platform/words.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import type { SentRow } from '../movements/sent-goods.reader.js';
import { SentGoodsReader } from '../movements/sent-goods.reader.js';
import { UnnamedRecipientsReader } from '../movements/unnamed-recipients.reader.js';
import type { AttentionItem } from './attention.dto.js';

const DAY_MS = 24 * 3_600_000;

const litresText = (value: string | number): string => `${groupedNumber(canonicalText(new Exact(value)))} L`;

/** Words for goods that were sent: their kind, day, recipient and document. */
function sentWords({ kind, occurredAt, timeZone, counterparty, document }: SentRow): string {
  const what = kind === 'export' ? 'export' : 'dispatch under suspension';
  const to = counterparty === null ? '' : ` to ${counterparty}`;
  return `${what}${to} of ${dayText(occurredAt, timeZone)}${document === null ? '' : `, document ${document}`}`;
}

/** Finds what wants a person about goods that were sent: proofs, differences on arrival, recipients. */
@Injectable()
export class SentAttention {
  constructor(
    private readonly sent: SentGoodsReader,
    private readonly unnamed: UnnamedRecipientsReader,
  ) {}

  async items(tx: Tx, producerId: string, settings: SettingsInForce, now: Date): Promise<AttentionItem[]> {
    return [
      ...(await this.#proofs(tx, producerId, settings, now)),
      ...(await this.#differences(tx, producerId)),
      ...(await this.#unnamed(tx, producerId)),
    ];
  }

  /** Exports and dispatches under suspension whose proof has not come in time. */
  async #proofs(tx: Tx, producerId: string, { proofDueDays }: SettingsInForce, now: Date): Promise<AttentionItem[]> {
    const rows = await this.sent.open(tx, producerId);
    return rows
      .filter(({ occurredAt }) => now.getTime() - occurredAt.getTime() > proofDueDays * DAY_MS)
      .map((row) => ({
        code: 'proof-missing',
        detail: `Of the ${sentWords(row)}, no proof has come.`,
        settle: 'Enter the number of the proof. Where none comes, duty may fall due: local law decides.',
        links: [`/v1/movements/${row.id}/proof`, `/v1/movements/${row.id}`, '/v1/open-proofs'],
        at: row.occurredAt.toISOString(),
        premisesId: row.premisesId,
      }));
  }

  /** Goods of which the proof says that less arrived, as long as no return or loss accounts for it. */
  async #differences(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const rows = await this.sent.unsettled(tx, producerId);
    return rows.map((row) => {
      const missing = new Exact(row.litres).minus(row.arrived ?? 0).minus(row.back);
      const refused = row.refused === null ? '' : `, ${litresText(row.refused)} were refused`;
      return {
        code: 'arrival-differs',
        detail: `Of the ${sentWords(row)}, ${litresText(row.litres)} were sent and ${litresText(row.arrived ?? '0')} accepted${refused}; ${litresText(canonicalText(missing))} are not accounted for.`,
        settle:
          'Enter what was refused as a return with `returnOf`, what did not arrive as a transit loss with `lostFrom` and its cause.',
        links: ['/v1/movements', `/v1/movements/${row.id}`],
        at: row.occurredAt.toISOString(),
        premisesId: row.premisesId,
      };
    });
  }

  /** Movements of open periods without the recipient that the settings asked for. */
  async #unnamed(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const rows = await this.unnamed.of(tx, producerId, null);
    return rows.map(({ id, premisesId, kind, occurredAt, timeZone, litres }) => ({
      code: 'recipient-missing',
      detail: `The ${operationNoun(kind)} of ${litresText(litres)} on ${dayText(occurredAt, timeZone)} names nobody who received it.`,
      settle: 'Enter it again with its recipient in `counterparty`, and name this entry in `corrects`.',
      links: ['/v1/movements', `/v1/movements/${id}`],
      at: occurredAt.toISOString(),
      premisesId,
    }));
  }
}
