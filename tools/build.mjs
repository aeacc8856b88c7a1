// Compiles src/ into dist/, and makes the database client first where it is missing or older than its schema.
// Usage: node tools/build.mjs [--if-stale] [--two-years]
//   --if-stale   nothing happens when dist/ is newer than everything it is made from
//   --two-years  also compiles the two-year simulation of test/two-years into dist/two-years, for npm run demo:two-years
import { execFile } from 'node:child_process';
import { mkdir, readFile, readdir, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const root = resolve(fileURLToPath(new URL('..', import.meta.url)));
const sourceDir = join(root, 'src');
const outputDir = join(root, 'dist');
const twoYearsDir = join(root, 'test', 'two-years');
const stampFile = join(outputDir, '.stamp');
const schemaFile = join(root, 'prisma', 'schema.prisma');
const generatedClient = join(sourceDir, 'generated', 'prisma', 'client.ts');
const WORKERS = 8;

const modified = async (path) => (await stat(path).catch(() => undefined))?.mtimeMs ?? 0;

async function sources(folders) {
  const found = await Promise.all(
    folders.map(async (folder) =>
      (await readdir(folder, { recursive: true }))
        .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts'))
        .sort()
        .map((name) => join(folder, name)),
    ),
  );
  return found.flat();
}

/** A file that vanished leaves nothing newer behind, so the stamp holds the list of files as well as the time. */
async function isFresh(files) {
  const stamp = await readFile(stampFile, 'utf8').catch(() => undefined);
  if (stamp !== files.join('\n')) return false;
  const stampTime = await modified(stampFile);
  const times = await Promise.all([...files, fileURLToPath(import.meta.url)].map(modified));
  return times.every((time) => time <= stampTime);
}

async function generateIfStale() {
  const schemaTime = await modified(schemaFile);
  if (schemaTime === 0) throw new Error(`${relative(root, schemaFile)} is missing.`);
  if ((await modified(generatedClient)) >= schemaTime) return;
  const cli = join(root, 'node_modules', 'prisma', 'build', 'index.js');
  // Without these the command line asks its maker's server whether there is a newer one.
  const env = { ...process.env, CHECKPOINT_DISABLE: '1', PRISMA_HIDE_UPDATE_MESSAGE: '1' };
  await promisify(execFile)(process.execPath, [cli, 'generate'], { cwd: root, env });
  // The generator leaves files alone whose text did not change.
  const now = new Date();
  await utimes(generatedClient, now, now);
}

const isTwoYears = (file) => file.startsWith(twoYearsDir);

const targetOf = (file) =>
  (isTwoYears(file)
    ? join(outputDir, 'two-years', relative(twoYearsDir, file))
    : join(outputDir, relative(sourceDir, file))
  ).replace(/\.ts$/, '.js');

/** What the simulation imports of the program lies beside it once both are compiled. */
const inOutput = (file, code) => (isTwoYears(file) ? code.replaceAll(/'((?:\.\.\/)+)\.\.\/src\//g, "'$1") : code);

async function compile(file, swc) {
  const target = targetOf(file);
  const { code, map } = await swc.transformFile(file, {
    configFile: false,
    swcrc: false,
    sourceMaps: true,
    sourceFileName: relative(dirname(target), file),
    module: { type: 'es6' },
    jsc: {
      target: 'es2022',
      parser: { syntax: 'typescript', decorators: true },
      transform: { legacyDecorator: true, decoratorMetadata: true, useDefineForClassFields: false },
      keepClassNames: true,
    },
  });
  await mkdir(dirname(target), { recursive: true });
  await replace(target, `${inOutput(file, code)}\n//# sourceMappingURL=${basename(target)}.map\n`);
  await replace(`${target}.map`, map);
  return [target, `${target}.map`];
}

/** A rename, so that a program that starts meanwhile never reads half a file. */
async function replace(path, text) {
  const temporary = `${path}.${process.pid}.tmp`;
  await writeFile(temporary, text);
  await rename(temporary, path);
}

async function removeLeftovers(written) {
  const kept = new Set(written);
  const present = await readdir(outputDir, { recursive: true, withFileTypes: true });
  const leftovers = present
    .filter((entry) => entry.isFile() && /\.js(\.map)?$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
  await Promise.all(leftovers.filter((path) => !kept.has(path)).map((path) => rm(path, { force: true })));
}

async function build(files) {
  // Loaded only here: a start that finds everything fresh does not wait for the compiler.
  const { default: swc } = await import('@swc/core');
  const queue = [...files];
  const written = [];
  const failures = [];
  const work = async () => {
    for (let file = queue.shift(); file; file = queue.shift()) {
      try {
        written.push(...(await compile(file, swc)));
      } catch (error) {
        failures.push(`${relative(root, file)}: ${error instanceof Error ? error.message : String(error)}`);
      }
    }
  };
  await Promise.all(Array.from({ length: WORKERS }, work));
  if (failures.length > 0) throw new Error(failures.join('\n'));
  await removeLeftovers(written);
}

async function main(args) {
  const unknown = args.filter((arg) => arg !== '--if-stale' && arg !== '--two-years');
  if (unknown.length > 0)
    throw new Error(`Unknown option ${unknown.join(' ')}. Usage: node tools/build.mjs [--if-stale] [--two-years]`);
  await generateIfStale();
  const files = await sources(args.includes('--two-years') ? [sourceDir, twoYearsDir] : [sourceDir]);
  if (args.includes('--if-stale') && (await isFresh(files))) return;
  const started = new Date();
  await build(files);
  await replace(stampFile, files.join('\n'));
  // A file that changed while it was being compiled is newer than the stamp.
  await utimes(stampFile, started, started);
  process.stdout.write(`Built ${files.length} files in ${Date.now() - started.getTime()} ms.\n`);
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  process.stderr.write(`The build failed: ${error instanceof Error ? error.message : String(error)}\n`);
  process.exitCode = 1;
}
