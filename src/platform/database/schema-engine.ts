import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { PrismaPg } from '@prisma/adapter-pg';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';
import * as bindings from '@prisma/schema-engine-wasm/schema_engine_bg';
import pg from 'pg';
import { connectionConfig } from './connection.js';

/** The part of the WebAssembly interface that is used; its types come with a browser's library only. */
declare const WebAssembly: {
  instantiate(
    bytes: Uint8Array,
    imports: Record<string, object>,
  ): Promise<{ instance: { exports: Record<string, unknown> } }>;
};

export type SchemaEngine = bindings.SchemaEngine;
export type MigrationList = bindings.MigrationList;

const require = createRequire(import.meta.url);
const WASM_FILE = require.resolve('@prisma/schema-engine-wasm/schema_engine_bg').replace(/js$/, 'wasm');

/** Prisma's own adapter cuts a script at every semicolon, which breaks function bodies; this one sends it whole, in one transaction. */
class WholeScriptAdapter extends PrismaPg {
  /** The error of the script that failed; the engine itself reports only that one did. */
  failure: unknown;

  override async connect(): ReturnType<PrismaPg['connect']> {
    const adapter = await super.connect();
    const pool = adapter.underlyingDriver();
    adapter.executeScript = async (script) => {
      try {
        await pool.query(script);
      } catch (error) {
        this.failure = error;
        throw error;
      }
    };
    return adapter;
  }
}

/** The engine never clears the ten-second timer of its lock, which would keep the program from ending. */
function importsOfEngine(): Record<string, unknown> {
  const unreferenced = (handler: () => void, milliseconds: number): NodeJS.Timeout =>
    setTimeout(handler, milliseconds).unref();
  const timers = Object.keys(bindings).filter((name) => name.startsWith('__wbg_setTimeout_'));
  return { ...bindings, ...Object.fromEntries(timers.map((name) => [name, unreferenced])) };
}

let loaded: Promise<void> | undefined;

function load(): Promise<void> {
  loaded ??= (async () => {
    const { instance } = await WebAssembly.instantiate(await readFile(WASM_FILE), {
      './schema_engine_bg.js': importsOfEngine(),
    });
    bindings.__wbg_set_wasm(instance.exports);
    (instance.exports.__wbindgen_start as () => void)();
  })();
  return loaded;
}

/** Runs `work` with Prisma's schema engine connected to the database at `url`; a failing script's own error is what `work` then throws. */
export async function withSchemaEngine<T>(url: string, work: (engine: SchemaEngine) => Promise<T>): Promise<T> {
  await load();
  const pool = new pg.Pool({ ...connectionConfig(url), max: 1 });
  const adapter = new WholeScriptAdapter(pool, { schema: 'public' });
  try {
    const factory = bindMigrationAwareSqlAdapterFactory(adapter);
    const engine = await bindings.SchemaEngine.new({ datamodels: undefined }, () => undefined, factory);
    try {
      return await work(engine);
    } finally {
      engine.free();
    }
  } catch (error) {
    throw adapter.failure ?? error;
  } finally {
    await pool.end();
  }
}
