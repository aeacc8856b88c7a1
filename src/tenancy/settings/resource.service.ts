import type { Page, PageQuery } from '../../platform/pagination.js';
import type { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import type { NewRecord, SettingsTable } from './settings-store.js';
import { etagOf, SettingsStore } from './settings-store.js';

/** Columns that every plain record has. */
export interface Stored {
  readonly id: string;
  readonly version: number;
  readonly createdAt: Date;
  readonly retiredAt: Date | null;
}

/** Condition of a list by a written name, in capital or small letters. */
export const named = (name: string | undefined): object | undefined =>
  name === undefined ? undefined : { anyCase: name };

/** Base of the service of a plain record that is listed, read, created, changed and retired. */
export abstract class SettingsResource<Columns extends object, Item extends { id: string; version: number }> {
  protected abstract readonly table: SettingsTable;
  /** Last part of its address under /v1, and first part of its actions in the audit trail. */
  protected abstract readonly path: string;

  constructor(protected readonly store: SettingsStore) {}

  protected abstract toAnswer(row: Columns & Stored): Item;

  /** Conditions of the list beside the page. */
  protected where(_query: PageQuery): Readonly<Record<string, unknown>> {
    return {};
  }

  list(ctx: RequestContext, query: PageQuery): Promise<Page<Item>> {
    return this.store.list(ctx, this.table, query, (row: Columns & Stored) => this.toAnswer(row), this.where(query));
  }

  protected row(ctx: RequestContext, id: string): Promise<Columns & Stored> {
    return this.store.get<Columns & Stored>(ctx, this.table, id);
  }

  async get(ctx: RequestContext, id: string): Promise<Item> {
    return this.toAnswer(await this.row(ctx, id));
  }

  /** Stores a new record, with records of other tables that belong to it and what the answer says of them. */
  protected add<More extends object>(
    ctx: RequestContext,
    columns: Columns,
    belonging: (id: string, createdAt: Date) => { readonly records: readonly NewRecord[]; readonly more: More },
  ): Promise<Answer<Item & More>>;
  protected add(ctx: RequestContext, columns: Columns): Promise<Answer<Item>>;
  protected add(
    ctx: RequestContext,
    columns: Columns,
    belonging?: (id: string, createdAt: Date) => { readonly records: readonly NewRecord[]; readonly more: object },
  ): Promise<Answer<object>> {
    const data = { ...columns, id: this.store.newId(), createdAt: this.store.now() };
    const { records = [], more = {} } = belonging?.(data.id, data.createdAt) ?? {};
    const body = { ...this.toAnswer({ ...data, version: 1, retiredAt: null }), ...more };
    return this.store.create(ctx, {
      action: `${this.path}.create`,
      records: [{ table: this.table, data }, ...records],
      facts: { ...body },
      body,
      headers: { etag: etagOf(1), location: `/v1/${this.path}/${data.id}` },
    });
  }

  /** Changes columns of the version that was read, and retires the record or brings it back. */
  protected alter(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    { retired, ...changes }: Partial<Columns> & { readonly retired?: boolean },
  ): Promise<Answer<Item>> {
    return this.store.change<Columns & Stored, Item>(ctx, {
      table: this.table,
      action: `${this.path}.change`,
      id,
      ifMatch,
      changes: { ...changes, ...(retired === undefined ? {} : { retiredAt: retired ? this.store.now() : null }) },
      toAnswer: (row) => this.toAnswer(row),
    });
  }
}
