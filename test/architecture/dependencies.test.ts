import { execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { promisify } from 'node:util';
import { TestService } from '../support/service.js';

const run = promisify(execFile);
const CONFIG = 'test/architecture/dependency-cruiser.mjs';
const MOST_LINES = { src: 350, test: 450 } as const;
/** Tables of worked examples are data. */
const DATA = 'src/calculations/examples/';

interface Report {
  modules: { source: string; dependencies: { resolved: string }[] }[];
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

let report: Report;
beforeAll(async () => {
  report = await cruised(CONFIG);
});

test('imports follow the order of the layers and of their folders, and none is circular', () => {
  expect(report.summary.totalCruised).toBeGreaterThan(200);
  expect(report.summary.violations.map(({ rule, from, to }) => `${rule.name}: ${from} -> ${to}`)).toEqual([]);
});

test('no two folders import each other, directly or through others', () => {
  const imports = folderImports(report.modules);
  expect(imports.size).toBeGreaterThan(30);
  expect(circlesOf(imports)).toEqual([]);
});

test('a circle of folders is found, through a third folder too', () => {
  const modules = [
    { source: 'src/a/one.ts', dependencies: [{ resolved: 'src/a/b/two.ts' }] },
    { source: 'src/a/b/two.ts', dependencies: [{ resolved: 'src/c/three.ts' }] },
    { source: 'src/c/three.ts', dependencies: [{ resolved: 'src/a/four.ts' }, { resolved: 'src/d/five.ts' }] },
  ];
  expect(circlesOf(folderImports(modules))).toEqual([['src/a', 'src/a/b', 'src/c']]);
});

/** By folder the other folders of src that its files import; a folder inside another one is a folder of its own. */
function folderImports(modules: Report['modules']): Map<string, Set<string>> {
  const imports = new Map<string, Set<string>>();
  // The start and the modules put folders together, and generated code is not ours to arrange.
  const counts = (path: string): boolean =>
    path.startsWith('src/') && !/^src\/(generated\/|[^/]+$)|\.module\.ts$/.test(path);
  for (const { source, dependencies } of modules.filter((each) => counts(each.source))) {
    const targets = imports.get(dirname(source)) ?? new Set<string>();
    dependencies.filter(({ resolved }) => counts(resolved)).forEach(({ resolved }) => targets.add(dirname(resolved)));
    targets.delete(dirname(source));
    imports.set(dirname(source), targets);
  }
  return imports;
}

/** The sets of folders of which each reaches every other one. */
function circlesOf(imports: ReadonlyMap<string, ReadonlySet<string>>): string[][] {
  const reached = new Map([...imports.keys()].map((folder) => [folder, reachableFrom(folder, imports)]));
  const circles = [...imports.keys()]
    .filter((folder) => reached.get(folder)?.has(folder))
    .map((folder) =>
      [...imports.keys()].filter((o) => reached.get(folder)?.has(o) && reached.get(o)?.has(folder)).sort(),
    );
  return [...new Set(circles.map((circle) => circle.join(' ')))].map((circle) => circle.split(' '));
}

function reachableFrom(start: string, imports: ReadonlyMap<string, ReadonlySet<string>>): Set<string> {
  const reached = new Set<string>();
  const open = [start];
  for (let folder = open.pop(); folder !== undefined; folder = open.pop()) {
    for (const next of imports.get(folder) ?? []) {
      if (!reached.has(next)) {
        reached.add(next);
        open.push(next);
      }
    }
  }
  return reached;
}

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

test('only the producer database holds the database client', () => {
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

test('the pure libraries use no clock, no random numbers and no environment', () => {
  const asking = [...sources('src/metrology'), ...sources('src/alcoholometry')].filter(({ text }) =>
    /\bDate\.now\(|\bnew Date\(\)|\bMath\.random\(|\bprocess\.[a-z]|\bglobalThis\b|\bfetch\(|\bsetTimeout\(/.test(text),
  );
  expect(asking.map(({ path }) => path)).toEqual([]);
});

test('no source has an unfinished place, a silenced check or a skipped test', () => {
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
    const routes = service.program.declaredRoutes(service.app);
    expect(routes.length).toBeGreaterThan(50);
    expect(routes.filter(({ access }) => access === undefined)).toEqual([]);
  } finally {
    await service.stop();
  }
});
