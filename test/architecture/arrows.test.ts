import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { declaredRoutes } from '../../src/platform/openapi/routes.js';
import { TestService } from '../support/service.js';

const run = promisify(execFile);
const CONFIG = 'test/architecture/dependency-cruiser.mjs';
const MOST_LINES = { src: 350, test: 450 } as const;
/** Tables of worked examples are data. */
const DATA = 'src/calculations/examples/';

interface Report {
  summary: { totalCruised: number; violations: { rule: { name: string }; from: string; to: string }[] };
}

/** The report of the dependency walk; its exit code is the number of violations. */
async function cruised(config: string): Promise<Report> {
  const args = ['node_modules/dependency-cruiser/bin/dependency-cruise.mjs', '--config', config];
  const { stdout } = await run(process.execPath, [...args, '--output-type', 'json', 'src'], {
    maxBuffer: 64 * 1024 * 1024,
  }).catch((error: { stdout?: string }) => ({ stdout: error.stdout ?? '' }));
  return JSON.parse(stdout) as Report;
}

const sources = (folder: string): { path: string; text: string }[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(folder, name))
    .filter((path) => !path.startsWith(join('src', 'generated')))
    .map((path) => ({ path: path.replaceAll('\\', '/'), text: readFileSync(path, 'utf8') }));

test('the arrows go one way, and there is no circle', async () => {
  const { summary } = await cruised(CONFIG);
  expect(summary.totalCruised).toBeGreaterThan(200);
  expect(summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} -> ${to}`)).toEqual([]);
});

/** Value imports (not `import type`) of the generated client, with the names that they bring in. */
function clientValues({ text }: { text: string }): string[] {
  const imports = text.matchAll(/^import (?!type)([^;]*?)from '[^']*generated\/prisma\/client\.js';/gms);
  return [...imports].flatMap(([, names]) =>
    names
      .replace(/[{}]/g, '')
      .split(',')
      .map((name) => name.trim())
      .filter((name) => name !== '' && !name.startsWith('type ')),
  );
}

test('nothing but the door holds the client of the database', () => {
  const files = sources('src');
  const making = files.filter((file) => clientValues(file).includes('PrismaClient')).map(({ path }) => path);
  expect(making).toEqual(['src/platform/database/client.ts']);
  // Everybody else may take the SQL text builder, which reaches no database.
  const taking = files.flatMap((file) => clientValues(file).map((name) => ({ path: file.path, name })));
  expect(taking.filter(({ name }) => name !== 'Prisma' && name !== 'PrismaClient')).toEqual([]);
  const injecting = files.filter(({ text }) => /\bDATABASE\b/.test(text)).map(({ path }) => path);
  expect(injecting.filter((path) => !path.startsWith('src/platform/database/'))).toEqual([
    'src/tenancy/producer-database/producer-database.ts',
  ]);
  const creating = files.filter(({ text }) => /\bcreatePrismaClient\b/.test(text)).map(({ path }) => path);
  const starts = /^src\/(main|server|demo\/[a-z-]+|platform\/database\/[a-z-]+)\.ts$/;
  expect(creating.filter((path) => !starts.test(path))).toEqual([]);
});

test('no file is longer than it may be', () => {
  const long = (['src', 'test'] as const)
    .flatMap((folder) =>
      sources(folder).map(({ path, text }) => ({ path, lines: text.split('\n').length - 1, folder })),
    )
    .filter(({ path, lines, folder }) => lines > MOST_LINES[folder] && !path.startsWith(DATA))
    .map(({ path, lines }) => `${path}: ${lines}`);
  expect(long).toEqual([]);
});

test('the pure wings ask neither clock nor chance nor surroundings', () => {
  const asking = [...sources('src/metrology'), ...sources('src/alcoholometry')].filter(({ text }) =>
    /\bDate\.now\(|\bnew Date\(\)|\bMath\.random\(|\bprocess\.[a-z]|\bglobalThis\b|\bfetch\(|\bsetTimeout\(/.test(text),
  );
  expect(asking.map(({ path }) => path)).toEqual([]);
});

test('no source marks a hole: no any, no silenced checker, no skipped test', () => {
  const marks = new RegExp(
    ['@ts-' + 'ignore', '@ts-' + 'nocheck', 'eslint-' + 'disable', 'forward' + 'Ref\\(', '\\bTO' + 'DO\\b'].join('|'),
  );
  // What a machine lacks the tools for may be left out on a stated condition, nothing else.
  const skipped = new RegExp(`(?<!: )\\b(test|it|describe)\\.(on${'ly'}|ski${'p'}|to${'do'})\\b`);
  const files = [...sources('src'), ...sources('test')];
  expect(files.filter(({ text }) => marks.test(text) || skipped.test(text)).map(({ path }) => path)).toEqual([]);
});

test('every route of every controller declares who may call it', async () => {
  const service = await TestService.start();
  try {
    const routes = declaredRoutes(service.app);
    expect(routes.length).toBeGreaterThan(50);
    expect(routes.filter(({ access }) => access === undefined)).toEqual([]);
  } finally {
    await service.stop();
  }
});
