import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { Clock } from '../../platform/clock.js';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { filteredList, idCursor, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { Prisma } from '../../generated/prisma/client.js';
import type { DatabaseClient } from '../../platform/database/client.js';
import type { Where } from '../../platform/database/tx.js';
import type { Facts, PersonalText } from '../producer-database/batch.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';

/** The plain records that have an id of their own. */
export type SettingsTable =
  | 'person'
  | 'premises'
  | 'vessel'
  | 'instrument'
  | 'calibration'
  | 'material'
  | 'recipe'
  | 'recipeVersion'
  | 'lot'
  | 'dutyRuleSet'
  | 'returnMapping'
  | 'tasting'
  | 'tastingAnswer'
  | 'apiKey';

interface Columns {
  readonly [column: string]: unknown;
}

/** The part of a Prisma delegate that the store uses; the tables share it, their generated types do not. */
interface Delegate {
  create(args: { data: object }): Prisma.PrismaPromise<unknown>;
  update(args: { where: object; data: object }): Prisma.PrismaPromise<unknown>;
}

const delegate = (client: DatabaseClient, table: SettingsTable): Delegate => client[table] as unknown as Delegate;

/** One new plain record. */
export interface NewRecord {
  readonly table: SettingsTable;
  readonly data: object;
}

export interface Creation<T> {
  readonly action: string;
  readonly records: readonly NewRecord[];
  readonly facts: Facts;
  readonly personalText?: readonly PersonalText[];
  readonly body: T;
  readonly kept?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
}

export interface Change<R, T> {
  readonly table: SettingsTable;
  readonly action: string;
  readonly id: string;
  /** The If-Match header as it came. */
  readonly ifMatch: string | undefined;
  readonly changes: object;
  toAnswer(row: R): T;
}

export const etagOf = (version: number): string => `"v${version}"`;

/** @throws ProblemException `precondition-required` without If-Match, `precondition-failed` when it is not the present tag */
export function requireMatch(ifMatch: string | undefined, version: number): void {
  if (ifMatch === undefined) {
    throw new ProblemException('precondition-required', 'Send the ETag of what you read in If-Match.');
  }
  const tags = ifMatch.split(',').map((tag) => tag.trim());
  if (!tags.includes(etagOf(version))) {
    throw new ProblemException('precondition-failed', 'It has changed since it was read.');
  }
}

export const notFound = (): never => {
  throw new ProblemException('not-found', 'Nothing is found under this address.');
};

/** Reads and writes plain records, each write with its trail entry. */
@Injectable()
export class SettingsStore {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
  ) {}

  newId(): string {
    return uuidv7();
  }

  now(): Date {
    return this.clock.now();
  }

  async get<R>(ctx: RequestContext, table: SettingsTable, id: string): Promise<R> {
    const row = await this.find<R>(ctx, table, { id });
    return row ?? notFound();
  }

  async find<R>(ctx: RequestContext, table: SettingsTable, where: Columns): Promise<R | undefined> {
    const row = await this.database.read(ctx, (tx) =>
      tx.row(table, { producerId: ctx.producerId, ...where } as Where<SettingsTable>),
    );
    return row as R | undefined;
  }

  async list<R extends { id: string }, T>(
    ctx: RequestContext,
    table: SettingsTable,
    query: PageQuery,
    toAnswer: (row: R) => T,
    where: Columns = {},
  ): Promise<Page<T>> {
    const name = filteredList(table, query);
    const after = idCursor(name, query.cursor);
    const rows = (await this.database.read(ctx, (tx) =>
      tx.rows(
        table,
        {
          producerId: ctx.producerId,
          ...(after === null ? {} : { id: { gt: after } }),
          // Ids that a service found begin after the cursor themselves.
          ...where,
        } as Where<SettingsTable>,
        { orderBy: [['id', 'asc']], take: query.limit + 1 },
      ),
    )) as unknown as R[];
    return pageOf(name, rows, query.limit, (row) => [row.id], toAnswer);
  }

  async create<T>(ctx: RequestContext, creation: Creation<T>): Promise<Answer<T>> {
    const { action, facts, personalText, body } = creation;
    return this.database.writeSettings(ctx, {
      batch: { action, facts, personalText },
      statements: (client) =>
        creation.records.map(({ table, data }) =>
          delegate(client, table).create({ data: { producerId: ctx.producerId, ...data } }),
        ),
      answer: new Answer(201, body, creation.headers ?? {}, false, creation.kept ?? body),
    });
  }

  /** Changes one record if it is still the version that was read. */
  async change<R extends { version: number }, T>(ctx: RequestContext, change: Change<R, T>): Promise<Answer<T>> {
    const row = await this.get<R>(ctx, change.table, change.id);
    requireMatch(change.ifMatch, row.version);
    const changed = { ...row, ...change.changes, version: row.version + 1 };
    const body = change.toAnswer(changed);
    try {
      return await this.database.writeSettings(ctx, {
        batch: { action: change.action, facts: { id: change.id, version: changed.version, changes: change.changes } },
        statements: (client) => [
          delegate(client, change.table).update({
            where: { producerId_id: { producerId: ctx.producerId, id: change.id }, version: row.version },
            data: { ...change.changes, version: changed.version },
          }),
        ],
        answer: new Answer(200, body, { etag: etagOf(changed.version) }),
      });
    } catch (error) {
      if ((error as { code?: unknown }).code === 'P2025') {
        throw new ProblemException('precondition-failed', 'It has changed since it was read.');
      }
      throw error;
    }
  }
}
