import { Injectable } from '@nestjs/common';
import { Temporal } from 'temporal-polyfill';
import { filingDays } from '../../ledger/periods/filing-days.js';
import { inWords } from '../../ledger/periods/period-days.js';
import { dayAt } from '../../ledger/periods/period-edges.js';
import { dayText } from '../../platform/words.js';
import type { FilingCalendar } from '../../tenancy/producers/filing-calendar.dto.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { UnfiledRow } from '../filings/filings.reader.js';
import { FilingsReader } from '../filings/filings.reader.js';
import type { AttentionItem } from './attention.dto.js';

/** Finds reports that are due or overdue, and filed ones whose figures changed since. */
@Injectable()
export class FilingAttention {
  constructor(private readonly filings: FilingsReader) {}

  async items(tx: Tx, producerId: string, settings: SettingsInForce, now: Date): Promise<AttentionItem[]> {
    const { filingCalendar, filingNoticeDays } = settings;
    const unfiled = filingCalendar === undefined ? [] : await this.filings.unfiled(tx, producerId, now);
    return [
      ...unfiled.flatMap((period) =>
        filingCalendar === undefined ? [] : dueItems(period, filingCalendar, filingNoticeDays, now),
      ),
      ...(await this.#corrected(tx, producerId)),
    ];
  }

  async #corrected(tx: Tx, producerId: string): Promise<AttentionItem[]> {
    const rows = await this.filings.corrected(tx, producerId);
    return rows.map(({ periodId, premisesId, premisesName, corrections, since, ...days }) => ({
      code: 'filed-period-corrected',
      detail: `The period of ${premisesName}, ${inWords(days)}, was filed; ${corrections === 1 ? '1 correction was' : `${corrections} corrections were`} entered since.`,
      settle:
        'File it again with `amends`, or declare the change in the later report, whose part for earlier periods states it. Local law decides which.',
      links: [`/v1/periods/${periodId}/filings`, `/v1/periods/${periodId}/changes`],
      at: since.toISOString(),
      premisesId,
    }));
  }
}

function dueItems(period: UnfiledRow, calendar: FilingCalendar, noticeDays: number, now: Date): AttentionItem[] {
  const days = filingDays(period, calendar);
  if (days === undefined) {
    return [];
  }
  const { dueOn, payableOn } = days;
  const today = dayAt(now, period.timeZone);
  if (Temporal.PlainDate.from(dueOn).subtract({ days: noticeDays }).toString() > today) {
    return [];
  }
  const words = (day: string): string => dayText(new Date(`${day}T00:00:00Z`), 'UTC');
  const overdue = dueOn < today;
  const first = period.closed ? [] : [`/v1/periods/${period.id}/closing`];
  return [
    {
      code: overdue ? 'filing-overdue' : 'filing-due',
      detail: `The report of ${period.premisesName}, ${inWords(period)}, ${overdue ? 'was' : 'is'} due on ${words(dueOn)}${payableOn === dueOn ? '' : `, its duty payable on ${words(payableOn)}`}, and is not filed.`,
      settle: `${period.closed ? '' : 'Close the period. '}File the report with the authority, then enter the filing.`,
      links: [...first, `/v1/periods/${period.id}/filings`, `/v1/periods/${period.id}/report`],
      at: new Date(`${dueOn}T00:00:00Z`).toISOString(),
      premisesId: period.premisesId,
    },
  ];
}
