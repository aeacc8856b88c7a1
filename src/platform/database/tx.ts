import type pg from 'pg';
import { Prisma } from '../../generated/prisma/client.js';
import { columnName, propertyName } from './column-name.js';
import { COLUMN_TYPES, parameterOf } from './column-values.js';

type Models = Prisma.TypeMap['model'];
/** The tables by the names of their models, as in `recipeVersion`. */
export type Table = Uncapitalize<keyof Models>;
/** A whole row of a table. */
export type RowOf<T extends Table> = Models[Capitalize<T> & keyof Models]['payload']['scalars'];

/** A value that a column has, one of several, a limit of it, or its letters whatever their case. A condition that is undefined is left out. */
type Condition<V> =
  V | readonly V[] | { readonly gt: V } | { readonly lte: V } | { readonly anyCase: V & string } | undefined;
export type Where<T extends Table> = { readonly [K in keyof RowOf<T>]?: Condition<RowOf<T>[K]> };

const OPERATORS = { gt: '? > $', lte: '? <= $', anyCase: 'lower(?) = lower($)' } as const;

export interface RowsOptions<T extends Table> {
  readonly orderBy?: readonly (readonly [column: keyof RowOf<T> & string, direction: 'asc' | 'desc'])[];
  readonly take?: number;
}

/** Texts that are kept as prepared statements in each session, at the most. Lists of varying conditions make ever new ones. */
const MOST_NAMES = 400;
const names = new Map<string, string>();

/** A prepared statement is parsed once a session. Later texts are sent without a name. */
function nameOf(text: string): string | undefined {
  const known = names.get(text);
  if (known !== undefined || names.size >= MOST_NAMES) {
    return known;
  }
  const name = `s${names.size}`;
  names.set(text, name);
  return name;
}

/** A transaction that sees one producer. Statements that are not awaited one by one are sent together and answered in their order. */
export class Tx {
  #closed = false;

  constructor(private readonly client: pg.PoolClient) {}

  get closed(): boolean {
    return this.#closed;
  }

  /** To be called before the connection is handed on: a late statement must not reach the transaction of another producer. */
  close(): void {
    this.#closed = true;
  }

  /** Sends a statement, together with others of the same turn. */
  send<R extends pg.QueryResultRow>(query: string | pg.QueryConfig): Promise<pg.QueryResult<R>> {
    if (this.#closed) {
      return Promise.reject(new Error('The transaction has ended.'));
    }
    const { stream } = this.client.connection;
    stream.cork();
    setImmediate(() => stream.uncork());
    return this.client.query<R>(query);
  }

  /** Rows of a statement: bigint, Decimal and Date for what the database has as bigint, numeric and times. */
  async $queryRaw<T = unknown>(query: TemplateStringsArray | Prisma.Sql, ...values: readonly unknown[]): Promise<T> {
    const sql = 'raw' in query ? new Prisma.Sql(query, values) : query;
    const { text } = sql;
    return (await this.named(text, sql.values)) as T;
  }

  private async named(text: string, values: readonly unknown[]): Promise<Record<string, unknown>[]> {
    const query = { name: nameOf(text), text, values: values.map(parameterOf), types: COLUMN_TYPES };
    return (await this.send<Record<string, unknown>>(query)).rows;
  }

  /** Whole rows of one table. */
  async rows<T extends Table>(
    table: T,
    where: Where<T>,
    { orderBy = [], take }: RowsOptions<T> = {},
  ): Promise<RowOf<T>[]> {
    const parts: string[] = [];
    const values: unknown[] = [];
    for (const [name, condition] of Object.entries(where).filter(([, each]) => each !== undefined)) {
      const [operator, value] = comparison(condition);
      values.push(value);
      parts.push(operator.replace('?', `"${columnName(name)}"`).replace('$', `$${values.length}`));
    }
    const order = orderBy.map(([name, direction]) => `"${columnName(name)}" ${direction}`).join(', ');
    const text =
      `SELECT * FROM "${columnName(table)}" WHERE ${parts.join(' AND ')}` +
      `${order === '' ? '' : ` ORDER BY ${order}`}${take === undefined ? '' : ` LIMIT ${take}`}`;
    return (await this.named(text, values)).map(modelRow) as RowOf<T>[];
  }

  /** The first row of a table that fits. */
  async row<T extends Table>(table: T, where: Where<T>, options: RowsOptions<T> = {}): Promise<RowOf<T> | undefined> {
    return (await this.rows(table, where, { ...options, take: 1 })).at(0);
  }

  /** The row of a table that is there. @throws Error where it is not */
  async rowThere<T extends Table>(table: T, where: Where<T>): Promise<RowOf<T>> {
    const row = await this.row(table, where);
    if (row === undefined) {
      throw new Error(`A row of ${table} is missing.`);
    }
    return row;
  }
}

function comparison(condition: unknown): readonly [operator: string, value: unknown] {
  if (Array.isArray(condition)) {
    return ['? = ANY ($)', condition];
  }
  if (typeof condition !== 'object' || condition === null || Object.getPrototypeOf(condition) !== Object.prototype) {
    return ['? = $', condition];
  }
  const [[name, value]] = Object.entries(condition) as [string, unknown][];
  if (!(name in OPERATORS)) {
    throw new Error(`A condition has no operator ${name}.`);
  }
  return [OPERATORS[name as keyof typeof OPERATORS], value];
}

const modelRow = (row: Record<string, unknown>): Record<string, unknown> =>
  Object.fromEntries(Object.entries(row).map(([column, value]) => [propertyName(column), value]));
