import { Inject, Injectable } from '@nestjs/common';
import { createHash, randomBytes } from 'node:crypto';
import { canonicalJson } from '../../platform/canonical-json.js';
import { Clock } from '../../platform/clock.js';
import type { DisplayUnits } from '../../platform/units/display-units.js';
import { DATABASE } from '../../platform/database/token.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Prisma, PrismaClient } from '../../generated/prisma/client.js';
import type { Batch, Plan } from './batch.js';
import { Answer } from './batch.js';
import { bodyRows } from './batch-body.js';
import type { RequestContext, Role } from './context.js';
import { fromDatabase, fromPost, Replay, Stale } from './database-refusal.js';

/** A transaction that sees one producer. */
export type Tx = Prisma.TransactionClient;

/** The two steps of a write: read, then decide while no transaction is open. Both are repeated if the books changed meanwhile. */
export interface Work<R, T> {
  read(tx: Tx): Promise<R>;
  plan(read: R): Plan<T> | Promise<Plan<T>>;
}

/** A write of plain records: one batch of statements between the opening and the closing of the write. */
export interface SettingsWrite<T> {
  readonly batch: Pick<Batch, 'action' | 'facts' | 'personalText'>;
  statements(client: PrismaClient): Prisma.PrismaPromise<unknown>[];
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

interface Opened {
  replay?: boolean;
  status?: number;
  response?: string;
}

const TRIES = 3;
const READ_TIMEOUT = { maxWait: 5_000, timeout: 15_000 };

async function headOf(tx: Tx, producerId: string): Promise<bigint | undefined> {
  const head = await tx.producerHead.findUnique({ where: { producerId }, select: { trailSequence: true } });
  return head?.trailSequence;
}

/** The only access to the data of a producer: every read and every write goes through here, and no other class has a database client. */
@Injectable()
export class ProducerDatabase {
  constructor(
    @Inject(DATABASE) private readonly client: PrismaClient,
    private readonly clock: Clock,
  ) {}

  /** Reads of one consistent moment, with the producer set for the transaction. */
  async read<R>(ctx: Pick<RequestContext, 'producerId'>, work: (tx: Tx) => Promise<R>): Promise<R> {
    return this.client.$transaction(
      async (tx) => {
        await tx.$queryRaw`SELECT set_config('app.producer', ${ctx.producerId}, true)`;
        return work(tx);
      },
      { isolationLevel: 'RepeatableRead', ...READ_TIMEOUT },
    );
  }

  /**
   * Reads, computes while no transaction is open, and posts. If the books changed meanwhile, it tries again, up to three times; the
   * last attempt holds the lock of the producer's head row.
   */
  write<R, T>(ctx: RequestContext, work: Work<R, T>): Promise<Answer<T>> {
    return this.orReplay(ctx, () => this.writeOnce(ctx, work));
  }

  /** Does two writes in one transaction that locks the producer's head row: both are stored or neither. The answer is that of the second. */
  writeChain<R1, R2, T>(ctx: RequestContext, first: Work<R1, unknown>, second: Work<R2, T>): Promise<Answer<T>> {
    return this.orReplay(ctx, () => this.chainOnce(ctx, first, second));
  }

  /** Answers a refused request with the kept answer if the same request was carried out meanwhile: it may have been refused for its own effect. */
  private async orReplay<T>(ctx: RequestContext, write: () => Promise<Answer<T>>): Promise<Answer<T>> {
    try {
      return await write();
    } catch (error) {
      const earlier = error instanceof ProblemException ? await this.replayOf(ctx) : undefined;
      if (earlier === undefined) {
        throw error;
      }
      return earlier as Answer<T>;
    }
  }

  private async writeOnce<R, T>(ctx: RequestContext, work: Work<R, T>): Promise<Answer<T>> {
    for (let attempt = 0; attempt < TRIES; attempt += 1) {
      const { head, read } = await this.read(ctx, async (tx) => ({
        head: await headOf(tx, ctx.producerId),
        read: await work.read(tx),
      }));
      const plan = await work.plan(read);
      try {
        return await this.post(this.client, ctx, plan);
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
      return await this.client.$transaction(async (tx) => {
        await tx.$queryRaw`SELECT hold_head(${ctx.producerId}::uuid)::text`;
        return this.post(tx, ctx, await work.plan(await work.read(tx)));
      }, READ_TIMEOUT);
    } catch (error) {
      if (error instanceof Stale) {
        throw (
          error.answer ?? new ProblemException('conflict', 'The books moved on while this was computed; send it again.')
        );
      }
      throw error;
    }
  }

  private async chainOnce<R1, R2, T>(
    ctx: RequestContext,
    first: Work<R1, unknown>,
    second: Work<R2, T>,
  ): Promise<Answer<T>> {
    const chain = randomBytes(16).toString('hex');
    try {
      return await this.client.$transaction(async (tx) => {
        await tx.$queryRaw`SELECT hold_head(${ctx.producerId}::uuid)::text, set_config('app.chain', ${chain}, true)`;
        const before = await first.plan(await first.read(tx));
        await this.post(tx, { ...ctx, idempotency: undefined }, before, { chain, checkedLater: true });
        const checkedWith = (before.batch.operations ?? []).map(({ id }) => id);
        const answer = await this.post(tx, ctx, await second.plan(await second.read(tx)), { chain, checkedWith });
        if (answer.replayed) {
          throw new RepliedInChain(answer);
        }
        return answer;
      }, READ_TIMEOUT);
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

  /** Plain records: all statements in one transaction, opened and closed by the books' own functions. */
  async writeSettings<T>(ctx: RequestContext, write: SettingsWrite<T>): Promise<Answer<T>> {
    const { body, attachments } = this.seal(ctx, write.batch);
    const guard = JSON.stringify(this.guard(ctx, write.answer));
    const at = this.clock.now().toISOString();
    try {
      await this.client.$transaction([
        this.client
          .$queryRaw`SELECT settings_open(${ctx.producerId}::uuid, ${at}::timestamptz, ${guard}::jsonb, ${attachments}::jsonb)::text`,
        ...write.statements(this.client),
        this.client.$queryRaw`SELECT settings_close(${ctx.producerId}::uuid, ${body}, ${guard}::jsonb)::text`,
      ]);
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
    const { body } = this.seal(ctx, write.batch);
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
    const rows = await this.client.$queryRaw<KeyRow[]>`SELECT * FROM authenticate(${producerId}::uuid, ${keyId}::uuid)`;
    return rows.at(0);
  }

  /** The kept answer to the same request, if it was carried out before. */
  async replayOf(ctx: RequestContext): Promise<Answer<unknown> | undefined> {
    const claim = ctx.idempotency;
    if (claim === undefined) {
      return undefined;
    }
    const seen = await this.read(ctx, (tx) =>
      tx.idempotency.findUnique({
        where: {
          producerId_principalId_route_key: {
            producerId: ctx.producerId,
            principalId: ctx.principalId,
            route: claim.route,
            key: claim.key,
          },
        },
      }),
    );
    if (seen === null) {
      return undefined;
    }
    if (Buffer.from(seen.bodyHash).toString('hex') !== claim.bodyHash) {
      throw new ProblemException('idempotency-key-reused', 'The same Idempotency-Key came before with another body.');
    }
    return new Answer(seen.status, JSON.parse(seen.response), {}, true);
  }

  private async post<T>(
    client: Pick<Tx, '$queryRaw'>,
    ctx: RequestContext,
    plan: Plan<T>,
    more: Readonly<Record<string, unknown>> = {},
  ): Promise<Answer<T>> {
    const { body, attachments } = this.seal(ctx, plan.batch);
    const guard = JSON.stringify({
      ...this.guard(ctx, plan.answer),
      reads: (plan.reads ?? []).map((read) => ({ account: read.account, version: String(read.version) })),
      ...(plan.head === undefined ? {} : { head: String(plan.head) }),
      ...more,
    });
    const at = this.clock.now().toISOString();
    const rows = await client.$queryRaw<{ post: Opened }[]>`
      SELECT post(${ctx.producerId}::uuid, ${body}, ${at}::timestamptz, ${guard}::jsonb, ${attachments}::jsonb) AS post`.catch(
      fromPost,
    );
    const done = rows[0].post;
    if (done.replay === true) {
      return new Answer(Number(done.status), JSON.parse(String(done.response)) as T, {}, true);
    }
    return plan.answer;
  }

  private guard<T>(ctx: RequestContext, answer: Answer<T>): Record<string, unknown> {
    const { idempotency } = ctx;
    return {
      principal: ctx.principalId,
      ...(idempotency === undefined
        ? {}
        : { idempotency: { ...idempotency, status: answer.status, response: JSON.stringify(answer.kept) } }),
    };
  }

  /** The trail's body in canonical JSON, and beside it what the body names by its hash only. */
  private seal(ctx: RequestContext, batch: Batch): { body: string; attachments: string } {
    const { personalText = [], reportBytes, action, facts } = batch;
    const texts = personalText.map((each) => ({ ...each, salt: randomBytes(16).toString('hex') }));
    const body = canonicalJson({
      version: 1,
      actor: { key: ctx.principalId, role: ctx.role },
      action,
      ...bodyRows(batch),
      ...(facts === undefined ? {} : { facts }),
      ...(texts.length === 0
        ? {}
        : { personalText: texts.map(({ id, salt, text }) => ({ id, hash: saltedHash(salt, text) })) }),
    });
    return { body, attachments: JSON.stringify({ personalText: texts, reportBytes }) };
  }
}

const saltedHash = (salt: string, text: string): string =>
  createHash('sha256').update(Buffer.from(salt, 'hex')).update(text, 'utf8').digest('hex');
