// Writes docs/methods.md from the descriptions of the methods and from the tables that the tests recorded in .cache/reference.
// Usage: node tools/methods-page.mjs             writes the page
//        node tools/methods-page.mjs --check     fails where the kept page differs; prints every recorded table
//        node tools/methods-page.mjs --forget    deletes the records, so that only the next run counts
import { mkdir, readFile, readdir, rm, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { ENTRIES, FILES, OTHERS } from './methods/coverage.mjs';
import { METHODS } from './methods/methods.mjs';
import { renderPage } from './methods/page.mjs';

const at = (path) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const RECORDS = at('.cache/reference');
const PAGE = at('docs/methods.md');

async function readRecords() {
  const files = await readdir(RECORDS).catch(() => []);
  const texts = await Promise.all(
    files.filter((name) => name.endsWith('.json')).map((name) => readFile(`${RECORDS}/${name}`, 'utf8')),
  );
  return new Map(texts.map((text) => JSON.parse(text)).map((record) => [record.table, record]));
}

/** Number of rows of a CSV file with one line for each row; a line break within quotes is refused. */
async function rowsOf(file) {
  const text = await readFile(at(`test/reference/${file}`), 'utf8');
  const lines = text.split('\n').filter((line) => line.trim() !== '');
  const odd = lines.find((line) => (line.match(/"/g) ?? []).length % 2 !== 0);
  if (odd !== undefined) throw new Error(`${file} has a line break in a field: ${odd}`);
  return lines.length - 1;
}

/** Faults of the records as texts; an empty list means that there are none. */
async function faultsOf(records) {
  const faults = [];
  const figures = (tables) => tables.reduce((sum, table) => sum + (records.get(table)?.rows ?? 0), 0);
  for (const { file, tables, perRow = 1 } of FILES) {
    const rows = await rowsOf(file);
    const read = figures(tables) / perRow;
    if (read !== rows) faults.push(`${file} has ${rows} rows, the tables that read it have ${read}.`);
  }
  for (const { file, entries } of ENTRIES) {
    const held = Object.keys(JSON.parse(await readFile(at(`test/reference/${file}`), 'utf8')));
    const missing = held.filter((name) => !Object.hasOwn(entries, name));
    if (missing.length > 0) faults.push(`${file}: no table is named that reads ${missing.join(', ')}.`);
  }
  const listed = new Set([
    ...FILES.flatMap(({ tables }) => tables),
    ...ENTRIES.flatMap(({ entries }) => Object.values(entries).flat()),
    ...OTHERS,
  ]);
  const shown = new Set(METHODS.flatMap(({ checks }) => checks));
  for (const table of listed) {
    if (!records.has(table)) faults.push(`No test recorded “${table}”: run the whole of npm test.`);
    if (!shown.has(table)) faults.push(`“${table}” is under no method in tools/methods/methods.mjs.`);
  }
  for (const [table, { largestDeviation, tolerance, places }] of records) {
    if (!listed.has(table)) faults.push(`“${table}” was recorded but is missing in tools/methods/coverage.mjs.`);
    const compared = places === undefined ? largestDeviation : Number(largestDeviation.toFixed(places));
    if (!(compared <= tolerance)) faults.push(`“${table}” lies outside its tolerance.`);
  }
  return faults;
}

function print(records) {
  const few = (value) => String(Number(value.toPrecision(2)));
  for (const { table, rows, largestDeviation, tolerance, unit } of records.values()) {
    console.info(
      `${table}: rows=${rows}, largest deviation=${few(largestDeviation)} ${unit}, allowed ${few(tolerance)}`,
    );
  }
}

async function main(args) {
  const [mode, ...rest] = args;
  if (rest.length > 0 || ![undefined, '--check', '--forget'].includes(mode)) {
    throw new Error(`Unknown option ${args.join(' ')}. Usage: node tools/methods-page.mjs [--check | --forget]`);
  }
  if (mode === '--forget') {
    await rm(RECORDS, { recursive: true, force: true });
    return;
  }
  const records = await readRecords();
  const faults = await faultsOf(records);
  if (faults.length > 0) throw new Error(faults.join('\n'));
  const page = renderPage(METHODS, FILES, records);
  if (mode === undefined) {
    await mkdir(at('docs'), { recursive: true });
    await writeFile(PAGE, page);
    return;
  }
  print(records);
  if ((await readFile(PAGE, 'utf8').catch(() => '')) !== page) {
    throw new Error(
      'docs/methods.md is not what these tests recorded: run npm run docs:methods and read the difference.',
    );
  }
}

try {
  await main(process.argv.slice(2));
} catch (error) {
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
