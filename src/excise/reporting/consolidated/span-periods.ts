import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../../ledger/periods/period.reader.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { grouped } from '../../../platform/grouped.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { LocalSpan } from '../sources/turnover.reader.js';

/** The books of one of the premises between the first and the last moment of its periods. */
type PremisesSpan = LocalSpan;

export interface SpannedPremises {
  readonly id: string;
  readonly name: string;
  readonly periods: readonly PeriodRow[];
  /** None where it has no period in the span. */
  readonly books?: PremisesSpan;
  readonly coversSpan: boolean;
}

export interface ConsolidatedPeriods {
  readonly startsOn: string;
  readonly endsBefore: string;
  readonly premises: readonly SpannedPremises[];
}

const refused = (pointer: string, rule: string, detail: string): ProblemException =>
  new ProblemException('out-of-range', detail, { errors: [{ pointer, rule, detail }] });

/** @throws ProblemException `out-of-range` for a period that lies across an edge of the span */
function requireWhole(periods: readonly PeriodRow[], startsOn: string, endsBefore: string): void {
  for (const period of periods) {
    const pointer =
      period.startsOn < startsOn ? '/startsOn' : period.endsBefore > endsBefore ? '/endsBefore' : undefined;
    if (pointer !== undefined) {
      throw refused(
        pointer,
        'edge-of-a-period',
        `A period from ${period.startsOn} to before ${period.endsBefore} lies across it; periods are added up whole.`,
      );
    }
  }
}

/** @param isFirst no period of the premises comes before these */
function booksOf(premisesId: string, periods: readonly PeriodRow[], isFirst: boolean): PremisesSpan | undefined {
  const [first, last] = [periods.at(0), periods.at(-1)];
  return first === undefined || last === undefined
    ? undefined
    : { premisesId, startsAt: first.startsAt, endsAt: last.endsAt, timeZone: last.timeZone, isFirst };
}

/** Finds the periods of all premises that make up a span of days. */
@Injectable()
export class SpanPeriods {
  constructor(private readonly periods: PeriodReader) {}

  /** @throws ProblemException `out-of-range` for days the wrong way round or across a period; `not-found` where no period lies in them */
  async of(tx: Tx, producerId: string, startsOn: string, endsBefore: string): Promise<ConsolidatedPeriods> {
    if (endsBefore <= startsOn) {
      throw refused('/endsBefore', 'after-start', 'The span ends before a day after its first one.');
    }
    const all = await this.periods.touching(tx, producerId, startsOn, endsBefore);
    requireWhole(all, startsOn, endsBefore);
    if (all.length === 0) {
      throw new ProblemException('not-found', 'No period of any premises lies in these days.');
    }
    const rows = await tx.rows('premises', { producerId }, { orderBy: [['id', 'asc']] });
    const firsts = await this.#firsts(tx, producerId, all);
    return {
      startsOn,
      endsBefore,
      premises: rows.map(({ id, name }) => {
        const periods = all.filter(({ premisesId }) => premisesId === id);
        const books = booksOf(id, periods, firsts.has(periods.at(0)?.id ?? ''));
        const coversSpan = periods.at(0)?.startsOn === startsOn && periods.at(-1)?.endsBefore === endsBefore;
        return { id, name, periods, coversSpan, ...(books === undefined ? {} : { books }) };
      }),
    };
  }

  /** Ids of those that no period of their premises comes before. */
  async #firsts(tx: Tx, producerId: string, periods: readonly PeriodRow[]): Promise<Set<string>> {
    const firsts = new Set<string>();
    for (const [, [first]] of grouped(periods, ({ premisesId }) => premisesId)) {
      if ((await this.periods.before(tx, producerId, first)) === undefined) firsts.add(first.id);
    }
    return firsts;
  }
}
