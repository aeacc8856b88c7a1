import { Injectable } from '@nestjs/common';
import type { Premises as PremisesRow } from '../../generated/prisma/client.js';
import { lastDayOf } from '../../ledger/periods/period-days.js';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import { PeriodReader } from '../../ledger/periods/period.reader.js';
import { Clock } from '../../platform/clock.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { requirePerson } from '../../tenancy/people/person.reader.js';
import type { ClosedDown } from '../../tenancy/premises/premises.dto.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../tenancy/producer-database/producer-database.js';
import type { Remains } from '../../tenancy/producer-database/refusal-words.js';
import { remainsWords } from '../../tenancy/producer-database/refusal-words.js';
import { notFound } from '../../tenancy/settings/settings-store.js';
import { toJson } from '../../tenancy/settings/stored-json.js';
import type { ClosingDown, NewClosingDown } from './closing-down.dto.js';

interface Standing {
  readonly premises: PremisesRow;
  readonly last: PeriodRow | undefined;
  readonly remains: readonly Remains[];
}

/** Closes premises down: nothing may remain there, the last closed report is the last one, and the premises are retired for good. */
@Injectable()
export class ClosingDownService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
    private readonly periods: PeriodReader,
  ) {}

  /** @throws ProblemException `not-found`, `in-use` naming what remains, `conflict` where they are retired or have no report */
  async close(ctx: RequestContext, id: string, body: NewClosingDown): Promise<Answer<ClosingDown>> {
    const { producerId } = ctx;
    const standing = await this.database.read(ctx, async (tx): Promise<Standing> => {
      await requirePerson(tx, producerId, body.personId, '/personId');
      return {
        premises: (await tx.row('premises', { producerId, id })) ?? notFound(),
        last: await this.periods.last(tx, producerId, id),
        remains: await tx.$queryRaw<Remains[]>`SELECT kind, name FROM remains_at(${producerId}::uuid, ${id}::uuid)`,
      };
    });
    const last = requireEmpty(standing);
    const closedDown: ClosedDown = {
      lastPeriodId: last.id,
      lastDay: lastDayOf(last),
      keyId: ctx.principalId,
      ...body,
    };
    const { version } = standing.premises;
    return this.#write(ctx, id, version, closedDown);
  }

  async #write(ctx: RequestContext, id: string, version: number, closedDown: ClosedDown): Promise<Answer<ClosingDown>> {
    const data = { closingDown: toJson(closedDown), retiredAt: this.clock.now(), version: version + 1 };
    const report = `/v1/periods/${closedDown.lastPeriodId}/report`;
    try {
      // The trigger of the table looks once more, under the lock of the write.
      return await this.database.writeSettings(ctx, {
        batch: { action: 'premises.close-down', facts: { id, version: data.version, closedDown } },
        statements: (client) => [
          client.premises.update({ where: { producerId_id: { producerId: ctx.producerId, id }, version }, data }),
        ],
        answer: new Answer(201, { premisesId: id, ...closedDown, report }, { location: report }),
      });
    } catch (error) {
      if ((error as { code?: unknown }).code === 'P2025') {
        throw new ProblemException('conflict', 'The premises were changed meanwhile; look at them and send it again.');
      }
      throw error;
    }
  }
}

function requireEmpty({ premises, last, remains }: Standing): PeriodRow {
  const { name, retiredAt } = premises;
  if (retiredAt !== null) {
    throw new ProblemException('conflict', `${name} is retired already.`);
  }
  if (remains.length > 0) {
    throw new ProblemException('in-use', remainsWords(name, remains), {
      members: { remains: remains.map((each) => ({ ...each })) },
    });
  }
  if (last === undefined) {
    throw new ProblemException(
      'conflict',
      `${name} never had a period, so there is no last report. Retire it instead.`,
    );
  }
  return last;
}
