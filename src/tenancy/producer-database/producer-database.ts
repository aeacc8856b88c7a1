import { Inject, Injectable } from '@nestjs/common';
import { randomBytes } from 'node:crypto';
import { Clock } from '../../platform/clock.js';
import type { DisplayUnits } from '../../platform/units/display-units.js';
import { DATABASE } from '../../platform/database/token.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Prisma } from '../../generated/prisma/client.js';
import type { DatabaseClient } from '../../platform/database/client.js';
import type { Batch, Plan } from './batch.js';
import { Answer } from './batch.js';
import type { RequestContext, Role } from './context.js';
import { fromDatabase, fromPost, Replay, Stale } from './database-refusal.js';
import { guardOf, seal } from './seal.js';
import { inTransaction, outsideTransaction } from '../../platform/database/transactions.js';
import { Turns } from './turns.js';
import type { Tx } from '../../platform/database/tx.js';

export type { Tx } from '../../platform/database/tx.js';

/** The two steps of a write: read, then decide while no transaction is open. Both are repeated if the books changed meanwhile. */
export interface Work<R, T> {
  read(tx: Tx): Promise<R>;
  plan(read: R): Plan<T> | Promise<Plan<T>>;
}

/** A write of plain records: one batch of statements between the opening and the closing of the write. */
export interface SettingsWrite<T> {
  readonly batch: Pick<Batch, 'action' | 'facts' | 'personalText'>;
  statements(client: DatabaseClient): Prisma.PrismaPromise<unknown>[];
  readonly answer: Answer<T>;
}

/** A key as it is kept, with what the guard needs of its producer. */
export interface KeyRow {
  secret_hash: Uint8Array;
  role: Role;
  scopes: string[];
  expires_at: Date | null;
  revoked_at: Date | null;
  producer_name: string;
  simulated: boolean;
  display_units: DisplayUnits | null;
}

/** Rolls a chain back whose request had been carried out before. */
class RepliedInChain extends Error {
  constructor(readonly answer: Answer<unknown>) {
    super('replay');
  }
}

/** A write that is computed and not posted yet, with the trail's sequence at which it was read. */
interface Prepared<T> {
  readonly head: bigint | undefined;
  readonly plan: Plan<T>;
}

interface Opened {
  replay?: boolean;
  status?: number;
  response?: string;
}

const TRIES = 3;
/** At least as many producers can use the database at once. */
const MOST_SHARES = 3;

const headOf = (tx: Tx, producerId: string): Promise<bigint | undefined> =>
  tx.row('producerHead', { producerId }).then((head) => head?.trailSequence);

/** The only access to the data of a producer: every read and every write goes through here, and no other class has a database client. */
@Injectable()
export class ProducerDatabase {
  /** Connections: one producer's waiting requests must not hold all of them. */
  readonly #shares: Turns;
  /** Writes that rest on what they read: of two at once the later one would find the books moved. */
  readonly #writes = new Turns(1);

  constructor(
    @Inject(DATABASE) private readonly client: DatabaseClient,
    private readonly clock: Clock,
  ) {
    this.#shares = new Turns(Math.ceil(client.pool.options.max / MOST_SHARES));
  }

  /** Reads of one consistent moment, with the producer set for the transaction. */
  async read<R>(ctx: Pick<RequestContext, 'producerId'>, work: (tx: Tx) => Promise<R>): Promise<R> {
    return this.#shares.run(ctx.producerId, () => inTransaction(this.client.pool, 'read', ctx.producerId, work));
  }

  /**
   * Reads, computes while no transaction is open, and posts. A write that rests on balances waits for the producer's earlier ones first. If the books changed meanwhile, it tries again, up to three times; the
   * last attempt holds the lock of the producer's head row.
   */
  async write<R, T>(ctx: RequestContext, work: Work<R, T>): Promise<Answer<T>> {
    const prepared = await this.prepare(ctx, work);
    const { reads = [], head } = prepared.plan;
    const post = (): Promise<Answer<T>> => this.postPrepared(ctx, work, prepared);
    return reads.length > 0 || head !== undefined ? this.#writes.run(ctx.producerId, post) : post();
  }

  private async prepare<R, T>(ctx: RequestContext, work: Work<R, T>): Promise<Prepared<T>> {
    const [head, read] = await this.read(ctx, (tx) => Promise.all([headOf(tx, ctx.producerId), work.read(tx)]));
    return { head, plan: await work.plan(read) };
  }

  private async postPrepared<R, T>(ctx: RequestContext, work: Work<R, T>, prepared: Prepared<T>): Promise<Answer<T>> {
    for (let attempt = 0; attempt < TRIES; attempt += 1) {
      const { head, plan } = attempt === 0 ? prepared : await this.prepare(ctx, work);
      try {
        return await this.statement(ctx.producerId, (tx) => this.post(tx, ctx, plan)).catch(fromPost);
      } catch (error) {
        // A refusal of what has moved on since it was read is looked at again: it may have another reason now, or none.
        if (!(error instanceof Stale) && (await this.read(ctx, (tx) => headOf(tx, ctx.producerId))) === head) {
          throw error;
        }
        if (!(error instanceof Stale || error instanceof ProblemException)) {
          throw error;
        }
      }
    }
    try {
      return await this.transaction(ctx.producerId, async (tx) => {
        await tx.$queryRaw`SELECT hold_head(${ctx.producerId}::uuid)::text`;
        return this.post(tx, ctx, await work.plan(await work.read(tx))).catch(fromPost);
      });
    } catch (error) {
      if (error instanceof Stale) {
        throw (
          error.answer ?? new ProblemException('conflict', 'The books moved on while this was computed; send it again.')
        );
      }
      throw error;
    }
  }

  /** Does two writes in one transaction that locks the producer's head row: both are stored or neither. The answer is that of the second. */
  async writeChain<R1, R2, T>(ctx: RequestContext, first: Work<R1, unknown>, second: Work<R2, T>): Promise<Answer<T>> {
    const chain = randomBytes(16).toString('hex');
    const both = async (tx: Tx): Promise<Answer<T>> => {
      await tx.$queryRaw`SELECT hold_head(${ctx.producerId}::uuid)::text, set_config('app.chain', ${chain}, true)`;
      const before = await first.plan(await first.read(tx));
      await this.post(tx, { ...ctx, idempotency: undefined }, before, { chain, checkedLater: true }).catch(fromPost);
      const checkedWith = (before.batch.operations ?? []).map(({ id }) => id);
      const after = await second.plan(await second.read(tx));
      const answer = await this.post(tx, ctx, after, { chain, checkedWith }).catch(fromPost);
      if (answer.replayed) {
        throw new RepliedInChain(answer);
      }
      return answer;
    };
    try {
      return await this.#writes.run(ctx.producerId, () => this.transaction(ctx.producerId, both));
    } catch (error) {
      if (error instanceof RepliedInChain) {
        return error.answer as Answer<T>;
      }
      if (error instanceof Stale) {
        throw (
          error.answer ?? new ProblemException('conflict', 'The books moved on while this was computed; send it again.')
        );
      }
      throw error;
    }
  }

  /** One transaction that may write. */
  private transaction<R>(producerId: string, work: (tx: Tx) => Promise<R>): Promise<R> {
    return this.#shares.run(producerId, () => inTransaction(this.client.pool, 'write', producerId, work));
  }

  /** One statement that is a transaction by itself. */
  private statement<R>(producerId: string, work: (tx: Tx) => Promise<R>): Promise<R> {
    return this.#shares.run(producerId, () => outsideTransaction(this.client.pool, work));
  }

  /** Plain records: all statements in one transaction, opened and closed by the books' own functions. */
  async writeSettings<T>(ctx: RequestContext, write: SettingsWrite<T>): Promise<Answer<T>> {
    const { body, attachments } = seal(ctx, write.batch);
    const guard = JSON.stringify(guardOf(ctx, write.answer));
    const at = this.clock.now().toISOString();
    try {
      await this.#writes.run(ctx.producerId, () =>
        this.client.$transaction([
          this.client
            .$queryRaw`SELECT settings_open(${ctx.producerId}::uuid, ${at}::timestamptz, ${guard}::jsonb, ${attachments}::jsonb)::text`,
          ...write.statements(this.client),
          this.client.$queryRaw`SELECT settings_close(${ctx.producerId}::uuid, ${body}, ${guard}::jsonb)::text`,
        ]),
      );
      return write.answer;
    } catch (error) {
      try {
        return fromDatabase(error);
      } catch (refusal) {
        if (refusal instanceof Replay) {
          return new Answer(refusal.status, JSON.parse(refusal.response) as T, {}, true);
        }
        throw refusal;
      }
    }
  }

  /** Stores a new producer: its row, its head row and its first key. No key exists yet that could ask for it. */
  async found(ctx: RequestContext, write: SettingsWrite<void>): Promise<void> {
    const at = this.clock.now().toISOString();
    const { body } = seal(ctx, write.batch);
    const [open, ...rest] = write.statements(this.client);
    await this.client
      .$transaction([
        this.client.$queryRaw`SELECT set_config('app.producer', ${ctx.producerId}, true)`,
        open,
        this.client.$queryRaw`SELECT head_open(${ctx.producerId}::uuid, ${at}::timestamptz)::text`,
        this.client
          .$queryRaw`SELECT settings_open(${ctx.producerId}::uuid, ${at}::timestamptz, '{}'::jsonb, '{}'::jsonb)::text`,
        ...rest,
        this.client.$queryRaw`SELECT settings_close(${ctx.producerId}::uuid, ${body}, '{}'::jsonb)::text`,
      ])
      .catch(fromDatabase);
  }

  /** Looks a key up. It is the only read without a context, since the context is made from the key. */
  async keyOf(producerId: string, keyId: string): Promise<KeyRow | undefined> {
    const rows = await this.statement(
      producerId,
      (tx) => tx.$queryRaw<KeyRow[]>`SELECT * FROM authenticate(${producerId}::uuid, ${keyId}::uuid)`,
    );
    return rows.at(0);
  }

  /** The kept answer to the same request, if it was carried out before. */
  async replayOf(ctx: RequestContext): Promise<Answer<unknown> | undefined> {
    const claim = ctx.idempotency;
    if (claim === undefined) {
      return undefined;
    }
    const { producerId, principalId } = ctx;
    const { route, key } = claim;
    const seen = await this.read(ctx, (tx) => tx.row('idempotency', { producerId, principalId, route, key }));
    if (seen === undefined) {
      return undefined;
    }
    if (Buffer.from(seen.bodyHash).toString('hex') !== claim.bodyHash) {
      throw new ProblemException('idempotency-key-reused', 'The same Idempotency-Key came before with another body.');
    }
    return new Answer(seen.status, JSON.parse(seen.response), {}, true);
  }

  private async post<T>(
    tx: Tx,
    ctx: RequestContext,
    plan: Plan<T>,
    more: Readonly<Record<string, unknown>> = {},
  ): Promise<Answer<T>> {
    const { body, attachments } = seal(ctx, plan.batch);
    const guard = JSON.stringify({
      ...guardOf(ctx, plan.answer),
      reads: (plan.reads ?? []).map((read) => ({ account: read.account, version: String(read.version) })),
      ...(plan.head === undefined ? {} : { head: String(plan.head) }),
      ...more,
    });
    const at = this.clock.now().toISOString();
    const rows = await tx.$queryRaw<{ post: Opened }[]>`
      SELECT post(${ctx.producerId}::uuid, ${body}, ${at}::timestamptz, ${guard}::jsonb, ${attachments}::jsonb) AS post`;
    const done = rows[0].post;
    if (done.replay === true) {
      return new Answer(Number(done.status), JSON.parse(String(done.response)) as T, {}, true);
    }
    return plan.answer;
  }
}
