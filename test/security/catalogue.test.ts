import { readFileSync } from 'node:fs';
import pg from 'pg';
import { connectionConfig } from '../../src/platform/database/connection.js';
import type { TestDatabase } from '../support/database.js';
import { createTestDatabase, TEST_SERVICE } from '../support/database.js';
import { isAppendOnly, KEPT_BY_FUNCTIONS, SETTINGS } from '../support/tables.js';

let database: TestDatabase;
let db: pg.Client;
beforeAll(async () => {
  database = await createTestDatabase();
  db = new pg.Client(connectionConfig(database.superuserUrl));
  await db.connect();
});
afterAll(async () => {
  await db.end();
  await database.drop();
});

const names = async (sql: string, ...values: unknown[]): Promise<string[]> =>
  (await db.query<{ name: string }>(sql, values)).rows.map(({ name }) => name);

/** Of the machinery, without any producer. */
const MACHINERY = ['_prisma_migrations', 'applied_sql'];
const APP = 'gaugebook_app';
const BOOKS = 'gaugebook_books';

const TABLES = `SELECT c.relname::text AS name FROM pg_class c WHERE c.relkind IN ('r', 'p') AND c.relnamespace = 'public'::regnamespace`;

const tenantTables = async (): Promise<string[]> =>
  (await names(`${TABLES} ORDER BY 1`)).filter((name) => !MACHINERY.includes(name));

describe('tables', () => {
  test('the lists of this test are of tables that there are', async () => {
    const tables = await tenantTables();
    expect(tables.length).toBeGreaterThan(25);
    expect([...SETTINGS, ...KEPT_BY_FUNCTIONS].filter((name) => !tables.includes(name))).toEqual([]);
    expect(tables.filter(isAppendOnly)).toEqual(
      expect.arrayContaining(['posting', 'reading', 'finding', 'report', 'trail_entry']),
    );
  });

  test('row security is on and forced, with the one policy, keyed on the producer', async () => {
    const unforced = await names(`${TABLES} AND NOT (c.relrowsecurity AND c.relforcerowsecurity)`);
    expect(unforced.filter((name) => !MACHINERY.includes(name))).toEqual([]);
    const { rows } = await db.query<Record<string, unknown>>(
      `SELECT tablename::text, policyname::text, permissive, roles::text, cmd, qual, with_check FROM pg_policies WHERE schemaname = 'public'`,
    );
    expect(rows.map(({ tablename }) => tablename).sort()).toEqual(await tenantTables());
    for (const { tablename, qual, ...policy } of rows) {
      const key = tablename === 'producer' ? 'id' : 'producer_id';
      // No WITH CHECK of its own: the same condition holds for what is written.
      expect([tablename, policy]).toEqual([
        tablename,
        { policyname: 'own_producer', permissive: 'PERMISSIVE', roles: '{public}', cmd: 'ALL', with_check: null },
      ]);
      expect(String(qual).replace(/\s+/g, ' ')).toBe(
        `(${key} = ( SELECT (NULLIF(current_setting('app.producer'::text, true), ''::text))::uuid AS "nullif"))`,
      );
    }
  });

  test('the producer leads every key and every unique index, and is in every foreign key', async () => {
    const { rows } = await db.query<{ place: string; first: string; unique: boolean }>(
      `SELECT i.indexrelid::regclass::text AS place, a.attname::text AS first, i.indisunique AS unique
         FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid AND c.relnamespace = 'public'::regnamespace
         JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum = i.indkey[0]
        WHERE c.relname <> ALL ($1)`,
      [MACHINERY],
    );
    expect(rows.length).toBeGreaterThan(40);
    const alone = rows.filter(({ place, first }) => first !== 'producer_id' && place !== 'producer_pkey');
    expect(alone).toEqual([]);
    const across = await names(
      `SELECT k.conrelid::regclass || '.' || k.conname AS name FROM pg_constraint k
        WHERE k.contype = 'f' AND k.connamespace = 'public'::regnamespace AND NOT EXISTS (
          SELECT 1 FROM generate_subscripts(k.conkey, 1) n
            JOIN pg_attribute f ON f.attrelid = k.conrelid AND f.attnum = k.conkey[n]
            JOIN pg_attribute t ON t.attrelid = k.confrelid AND t.attnum = k.confkey[n]
           WHERE f.attname = 'producer_id' AND (t.attname = 'producer_id' OR k.confrelid = 'producer'::regclass))`,
    );
    expect(across).toEqual([]);
    const unchecked = await names(
      `SELECT conname::text AS name FROM pg_constraint WHERE connamespace = 'public'::regnamespace AND NOT convalidated`,
    );
    expect(unchecked).toEqual([]);
  });

  test('nothing is deleted or emptied, and what is append-only is not updated', async () => {
    const { rows } = await db.query<{ table: string; triggers: string[] }>(
      `SELECT tgrelid::regclass::text AS table, array_agg(tgname::text ORDER BY tgname) AS triggers FROM pg_trigger
        WHERE NOT tgisinternal AND tgenabled IN ('O', 'A') AND tgfoid = 'refuse_change'::regproc GROUP BY 1`,
    );
    const triggers = new Map(rows.map((row) => [row.table, row.triggers]));
    for (const table of await tenantTables()) {
      const expected = isAppendOnly(table)
        ? ['refuse_delete', 'refuse_truncate', 'refuse_update']
        : ['refuse_delete', 'refuse_truncate'];
      expect([table, triggers.get(table)]).toEqual([table, expected]);
    }
  });

  test('no number can be NaN', async () => {
    const columns = await db.query<{ place: string; table: string; column: string }>(
      `SELECT c.relname || '.' || a.attname AS place, c.relname::text AS table, a.attname::text AS column
         FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid
        WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND a.atttypid = 'numeric'::regtype AND c.relname <> ALL ($1)`,
      [MACHINERY],
    );
    const { rows } = await db.query<{ table: string; text: string }>(
      `SELECT conrelid::regclass::text AS table, pg_get_constraintdef(oid) AS text FROM pg_constraint WHERE contype = 'c' AND conrelid <> 0`,
    );
    const open = columns.rows.filter(
      ({ table, column }) =>
        !rows.some((check) => check.table === table && check.text.includes(`(${column} <> 'NaN'::numeric)`)),
    );
    expect(open.map(({ place }) => place)).toEqual([]);
    const domains = await names(
      `SELECT t.typname::text AS name FROM pg_constraint k JOIN pg_type t ON t.oid = k.contypid
        WHERE pg_get_constraintdef(k.oid) LIKE '%<> ''NaN''%' ORDER BY 1`,
    );
    expect(domains).toEqual(['component', 'litres']);
  });
});

describe('rights', () => {
  test('the application neither owns nor bypasses anything, and its login is nothing more', async () => {
    const { rows } = await db.query<Record<string, unknown>>(
      `SELECT rolname::text, rolsuper, rolbypassrls, rolcreaterole, rolcreatedb, rolreplication, rolcanlogin FROM pg_roles
        WHERE rolname = ANY ($1) ORDER BY 1`,
      [[APP, BOOKS, TEST_SERVICE]],
    );
    const nothing = {
      rolsuper: false,
      rolbypassrls: false,
      rolcreaterole: false,
      rolcreatedb: false,
      rolreplication: false,
    };
    expect(rows).toEqual([
      { rolname: APP, ...nothing, rolcanlogin: false },
      { rolname: BOOKS, ...nothing, rolcanlogin: false },
      { rolname: TEST_SERVICE, ...nothing, rolcanlogin: true },
    ]);
    for (const role of [APP, TEST_SERVICE]) {
      const owned = await names(
        `SELECT c.relname::text AS name FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace AND pg_has_role($1, c.relowner, 'MEMBER')`,
        role,
      );
      expect(owned).toEqual([]);
      const memberships = await names(
        `SELECT r.rolname::text AS name FROM pg_roles r WHERE pg_has_role($1, r.oid, 'MEMBER') AND r.rolname <> ALL ($2)`,
        role,
        [role, APP],
      );
      expect(memberships).toEqual([]);
    }
    const schemas = await names(
      `SELECT r || ' ' || n.nspname AS name FROM unnest($1::text[]) r, pg_namespace n
        WHERE n.nspname IN ('public', 'pg_catalog', 'information_schema') AND has_schema_privilege(r, n.oid, 'CREATE')`,
      [APP, BOOKS, TEST_SERVICE],
    );
    expect(schemas).toEqual([]);
  });

  test.each([APP, TEST_SERVICE])('%s may write plain records and nothing of the books', async (role) => {
    for (const table of await tenantTables()) {
      const { rows } = await db.query<{ right: string }>(
        `SELECT r AS right FROM unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'DELETE', 'TRUNCATE', 'REFERENCES', 'TRIGGER']) r
          WHERE has_table_privilege($1, $2, r)`,
        [role, table],
      );
      expect([table, rows.map(({ right }) => right)]).toEqual([
        table,
        SETTINGS.includes(table) ? ['SELECT', 'INSERT', 'UPDATE'] : ['SELECT'],
      ]);
    }
    const machinery = await names(
      `SELECT t AS name FROM unnest($2::text[]) t WHERE has_table_privilege($1, t, 'SELECT, INSERT, UPDATE, DELETE, TRUNCATE')`,
      role,
      MACHINERY,
    );
    expect(machinery).toEqual([]);
  });

  test('the books’ role adds, keeps state, and deletes nothing', async () => {
    for (const table of await tenantTables()) {
      const { rows } = await db.query<{ right: string }>(
        `SELECT r AS right FROM unnest(ARRAY['INSERT', 'UPDATE', 'DELETE', 'TRUNCATE']) r WHERE has_table_privilege($1, $2, r)`,
        [BOOKS, table],
      );
      const rights = KEPT_BY_FUNCTIONS.includes(table) ? ['INSERT', 'UPDATE'] : ['INSERT'];
      expect([table, rows.map(({ right }) => right)]).toEqual([table, rights]);
    }
  });
});

describe('functions and views', () => {
  test('no view goes round row security, and nothing is materialized', async () => {
    const views = await names(
      `SELECT c.relname::text AS name FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace
          AND (c.relkind = 'm' OR c.relkind = 'v' AND NOT coalesce(c.reloptions, '{}') @> '{security_invoker=true}')`,
    );
    expect(views).toEqual([]);
    const others = await names(
      `SELECT c.relname::text AS name FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace AND c.relkind IN ('f', 'S')`,
    );
    expect(others).toEqual([]);
  });

  interface Definer {
    name: string;
    owner: string;
    config: string[] | null;
    public: boolean;
  }
  const OWN = `p.pronamespace = 'public'::regnamespace AND NOT EXISTS (
    SELECT 1 FROM pg_depend d WHERE d.objid = p.oid AND d.deptype = 'e')`;

  test('what runs with more rights than its caller is pinned, owned by the books, and not for everybody', async () => {
    const { rows } = await db.query<Definer>(
      `SELECT p.proname::text AS name, r.rolname::text AS owner, p.proconfig AS config,
              has_function_privilege('pg_read_all_settings', p.oid, 'EXECUTE') AS public
         FROM pg_proc p JOIN pg_roles r ON r.oid = p.proowner WHERE ${OWN} AND p.prosecdef ORDER BY 1`,
    );
    expect(rows.map(({ name }) => name)).toEqual([
      ...['forget_person', 'head_open', 'hold_head', 'post', 'settings_close', 'settings_open'],
    ]);
    // Of post() also how its statements are planned, which gives no right.
    const more = (name: string) => (name === 'post' ? ['plan_cache_mode=force_generic_plan'] : []);
    for (const { name, ...rest } of rows) {
      expect([name, rest]).toEqual([
        name,
        { owner: BOOKS, config: ['search_path=pg_catalog, public, pg_temp', ...more(name)], public: false },
      ]);
    }
  });

  test('every function of ours has a pinned search path and is not for everybody', async () => {
    const loose = await names(
      `SELECT p.proname::text AS name FROM pg_proc p
        WHERE ${OWN} AND NOT coalesce(p.proconfig, '{}') @> '{"search_path=pg_catalog, public, pg_temp"}'`,
    );
    expect(loose).toEqual([]);
    const open = await names(
      `SELECT p.proname::text AS name FROM pg_proc p WHERE ${OWN} AND (p.proacl IS NULL OR EXISTS (
         SELECT 1 FROM aclexplode(p.proacl) a WHERE a.grantee = 0))`,
    );
    expect(open).toEqual([]);
  });

  test('the application may call only what it is meant to', async () => {
    const callable = await names(
      `SELECT p.proname::text AS name FROM pg_proc p WHERE ${OWN} AND has_function_privilege($1, p.oid, 'EXECUTE') ORDER BY 1`,
      APP,
    );
    const inside = ['write_open', 'write_close', 'check_tail', 'check_order', 'check_period', 'check_rows_of', 'fail'];
    expect(callable).toEqual(expect.arrayContaining(['authenticate', 'check_trail', 'check_balances', 'post']));
    expect(callable.filter((name) => inside.includes(name) || name.startsWith('make_'))).toEqual([]);
  });
});

describe('the database is what the data model says', () => {
  interface Column {
    table: string;
    column: string;
    type: string;
    nullable: boolean;
  }
  const TYPES: Readonly<Record<string, string>> = {
    'db.Uuid': 'uuid',
    'db.Timestamptz(6)': 'timestamp(6) with time zone',
    'db.Date': 'date',
    String: 'text',
    Boolean: 'boolean',
    Int: 'integer',
    BigInt: 'bigint',
    Json: 'jsonb',
    Bytes: 'bytea',
  };
  const isDomain = (type: string): boolean => type === 'litres' || type === 'component';

  /** The models of the schema file; its form is Prisma's own formatter's. */
  function modelled(): Column[] {
    const schema = readFileSync(new URL('../../prisma/schema.prisma', import.meta.url), 'utf8');
    return [...schema.matchAll(/^model \w+ \{\n(.*?)^\}/gms)].flatMap(([, body]) => {
      const table = /@@map\("(\w+)"\)/.exec(body)?.[1] ?? '';
      return [...body.matchAll(/^ {2}(\w+)\s+(\w+)(\[\])?(\?)?(.*)$/gm)].map(
        ([, field, type, list, optional, rest]) => {
          const db = /@(db\.\w+(?:\([\d, ]+\))?)/.exec(rest)?.[1];
          const numeric = /db\.Decimal\((\d+), (\d+)\)/.exec(rest);
          const sqlType = numeric === null ? TYPES[db ?? type] : `numeric(${numeric[1]},${numeric[2]})`;
          return {
            table,
            column: /@map\("(\w+)"\)/.exec(rest)?.[1] ?? field,
            type: list === undefined ? sqlType : `${sqlType}[]`,
            nullable: optional !== undefined,
          };
        },
      );
    });
  }

  test('table by table, column by column', async () => {
    const { rows } = await db.query<Column>(
      `SELECT c.relname::text AS table, a.attname::text AS column, format_type(a.atttypid, a.atttypmod) AS type, NOT a.attnotnull AS nullable
         FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid
        WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace AND a.attnum > 0 AND NOT a.attisdropped AND c.relname <> ALL ($1)`,
      [MACHINERY],
    );
    const model = modelled();
    expect(model.length).toBeGreaterThan(250);
    const key = ({ table, column }: Column): string => `${table}.${column}`;
    const byKey = new Map(model.map((each) => [key(each), each]));
    expect(rows.map(key).sort()).toEqual([...byKey.keys()].sort());
    const different = rows.flatMap((row) => {
      const said = byKey.get(key(row));
      // A domain stands where the model says a decimal with its places.
      const sameType = isDomain(row.type) ? said?.type.startsWith('numeric') : row.type === said?.type;
      // A list is never null to the client, though its column may be.
      const sameNull = row.type.endsWith('[]') || row.nullable === said?.nullable;
      return sameType === true && sameNull ? [] : [{ database: row, model: said }];
    });
    expect(different).toEqual([]);
  });
});
