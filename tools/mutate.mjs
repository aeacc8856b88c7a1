// Mutation tests of the pure rules: changes the program in one place at a time and says which changes no test notices.
// Usage: npm run mutate                      files of metrology, alcoholometry, the excise rules and the ledger that differ from main
//        npm run mutate -- FILE [FILE …]     these files; FILE:10-20 for some of its lines
// Only tests that start no service are run, so that a mutant costs a second and not a minute. A survivor is read: either a test is missing, or
// the change makes no difference. WORKERS=1 spares the machine; QUICK=1 leaves out what is evaluated once at the start (tables, constants), which
// costs a run of every related test.
import { execFile } from 'node:child_process';
import { readFile, readdir } from 'node:fs/promises';
import { dirname, join, normalize, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { Stryker } from '@stryker-mutator/core';

const root = resolve(fileURLToPath(new URL('..', import.meta.url)));
const MOST_WORKERS = 2;
/** Folders and files without input or output, which tests can reach without a service. */
const PURE = [
  /^src\/metrology\//,
  /^src\/alcoholometry\//,
  /^src\/excise\/duty\/rules\//,
  /^src\/excise\/movements\/movement-kinds\.ts$/,
  /^src\/excise\/closing\/closing-check\.ts$/,
  /^src\/excise\/reporting\/parts\/(losses-chargeable|ties-part|late-part|turnover-part|grouped)\.ts$/,
  /^src\/ledger\/books\/(amount|account|components|operation-draft)\.ts$/,
  /^src\/ledger\/figures\/figure\.ts$/,
  /^src\/ledger\/periods\/period-edges\.ts$/,
];
/** Whoever imports one of these talks to a database. */
const IMPURE = /^test\/support\/(service|database|program|two-years|app-session|http)\.ts$/;

const isTest = (file) => file.endsWith('.test.ts');

async function changedFiles() {
  const { stdout } = await promisify(execFile)('git', ['diff', '--name-only', '--diff-filter=d', 'main', '--', 'src'], {
    cwd: root,
  });
  return stdout.split('\n').filter((file) => PURE.some((pattern) => pattern.test(file)));
}

async function testSources() {
  const names = await readdir(join(root, 'test'), { recursive: true });
  const files = names.filter((name) => name.endsWith('.ts')).map((name) => normalize(join('test', name)));
  return new Map(
    await Promise.all(
      files.map(async (file) => {
        const text = await readFile(join(root, file), 'utf8');
        const imports = [...text.matchAll(/^import (?!type )[^;]*?from '(\.[^']+)\.js';/gms)];
        return [file, imports.map(([, path]) => relative(root, resolve(root, dirname(file), `${path}.ts`)))];
      }),
    ),
  );
}

/** Test files that reach a database through what they import. */
async function testsOfServices() {
  const sources = await testSources();
  const impure = new Set([...sources.keys()].filter((file) => IMPURE.test(file)));
  for (let before = -1; before !== impure.size;) {
    before = impure.size;
    for (const [file, imports] of sources) if (imports.some((each) => impure.has(each))) impure.add(file);
  }
  return [...sources.keys()].filter((file) => isTest(file) && impure.has(file));
}

const named = process.argv.slice(2);
const mutate = named.length > 0 ? named : await changedFiles();
if (mutate.length === 0) {
  console.log('No pure file differs from main; name files to mutate them.');
  process.exit(0);
}
const { jest } = JSON.parse(await readFile(join(root, 'package.json'), 'utf8'));
const escaped = (path) => path.replace(/[.\\+*?^$()[\]{}|]/g, '\\$&');
const ignored = await testsOfServices();

const stryker = new Stryker({
  packageManager: 'npm',
  mutate,
  testRunner: 'jest',
  testRunnerNodeArgs: ['--experimental-vm-modules', '--no-warnings'],
  plugins: ['@stryker-mutator/jest-runner'],
  jest: {
    projectType: 'custom',
    config: {
      ...jest,
      testEnvironment: 'node',
      globalSetup: null,
      globalTeardown: null,
      testSequencer: '@jest/test-sequencer',
      testPathIgnorePatterns: ignored.map((file) => `${escaped(file)}$`),
      maxWorkers: 1,
    },
    enableFindRelatedTests: true,
  },
  // Whole files: a few count in `afterAll` what they compared, and fail when only some of their tests are run.
  coverageAnalysis: process.env.QUICK ? 'perTest' : 'all',
  ignoreStatic: Boolean(process.env.QUICK),
  // Texts for people are no rules; what is compared with a text fails on its own.
  mutator: { excludedMutations: ['StringLiteral'] },
  concurrency: Math.min(MOST_WORKERS, Number(process.env.WORKERS ?? MOST_WORKERS)),
  // Wide, because a time-out counts as noticed, and a busy machine is no test.
  timeoutMS: 60_000,
  timeoutFactor: 4,
  disableTypeChecks: false,
  ignorePatterns: ['dist', '.cache', '.data', 'coverage', 'openapi', 'pages'],
  tempDirName: '.cache/mutate',
  reporters: ['clear-text', 'progress-append-only'],
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  logLevel: process.env.LOG_LEVEL ?? 'warn',
});
const mutants = await stryker.runMutationTest();
process.exitCode = mutants.some(({ status }) => status === 'Survived' || status === 'NoCoverage') ? 1 : 0;
