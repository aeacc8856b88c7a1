import { createHash } from 'node:crypto';
import { mkdir, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { PeriodReport } from '../excise/reporting/documents/report.dto.js';
import type { TrailEntry } from '../tenancy/trail/trail.dto.js';
import type { ClosedPeriod } from './logbook/periods.js';
import { sha256 } from './client/report-check.js';
import type { World } from './client/world.js';

const FIRST_HASH = '0'.repeat(64);

/** Walks the exported trail as anybody could: each entry's hash over its five lines, each body's over its bytes. */
function checkTrail({ checks }: World, entries: readonly TrailEntry[], closed: readonly ClosedPeriod[]): void {
  let previous = entries.at(0)?.previousHash ?? FIRST_HASH;
  entries.forEach(({ sequence, version, recordedAt, previousHash, bodyHash, entryHash, body }, index) => {
    checks.same('sequence of the trail', sequence, index + 1);
    checks.same(`hash before entry ${sequence}`, previousHash, previous);
    checks.same(`hash of the body of entry ${sequence}`, sha256(body), bodyHash);
    const lines = [version, sequence, recordedAt, previousHash, bodyHash].map((line) => `${line}\n`).join('');
    checks.same(`hash of entry ${sequence}`, createHash('sha256').update(lines).digest('hex'), entryHash);
    previous = entryHash;
  });
  const closings = entries.filter(({ body }) => (JSON.parse(body) as { action: string }).action === 'periods.close');
  closed.forEach(({ hash }) =>
    checks.same(
      'closings that name the hash of the report',
      closings.filter(({ body }) => body.includes(hash)).length,
      1,
    ),
  );
}

const row = (name: string, litres: number, alcohol: number, expanded: number): string =>
  `  ${name.padEnd(28)}${litres.toFixed(3).padStart(12)}${alcohol.toFixed(6).padStart(14)}${`± ${expanded.toFixed(3)}`.padStart(10)}`;

function reportTable(report: PeriodReport): string[] {
  const figures = [
    { line: 'opening', ...report.opening },
    ...report.lines.filter(({ litres, litresOfPureAlcohol }) => litres.value !== 0 || litresOfPureAlcohol.value !== 0),
    { line: 'closing', ...report.closing },
  ];
  return [
    `Report of ${report.premises.name}, ${report.period.startsOn} to before ${report.period.endsBefore} (${report.status})`,
    `  ${'line'.padEnd(28)}${'L at 20 °C'.padStart(12)}${'L pure'.padStart(14)}${'U'.padStart(10)}`,
    ...figures.map(({ line, litres, litresOfPureAlcohol, expandedUncertainty }) =>
      row(line, litres.value, litresOfPureAlcohol.value, expandedUncertainty.litresOfPureAlcohol.value),
    ),
    `  reconciliation meet: ${report.reconciliation.balances}; for duty ${report.duty.litresOfPureAlcoholForDuty.value} L of pure alcohol`,
  ];
}

/** Leaves what the demo made in a folder; the last closed report under its plain name. Answers with the folder. */
export async function writeOutcome(
  world: World,
  closed: readonly ClosedPeriod[],
  lines: readonly string[],
  folder: string,
): Promise<string> {
  const directory = resolve(folder);
  await mkdir(directory, { recursive: true });
  const trail = await world.api.all<TrailEntry>('/v1/audit-trail');
  checkTrail(world, trail, closed);
  const write = (name: string, text: string) => writeFile(join(directory, name), text);
  for (const { startsOn, reportJson, reportCsv } of closed) {
    await write(`report-${startsOn.slice(0, 7)}.json`, reportJson);
    await write(`report-${startsOn.slice(0, 7)}.csv`, reportCsv);
  }
  const last = closed.at(-1);
  if (last !== undefined) {
    await write('report.json', last.reportJson);
    await write('report.csv', last.reportCsv);
  }
  await write('trail.json', `${JSON.stringify(trail, undefined, 1)}\n`);
  const reports = closed.map(({ reportJson, hash }) => [
    ...reportTable(JSON.parse(reportJson) as PeriodReport),
    `  SHA-256 of the frozen bytes: ${hash}`,
    '',
  ]);
  const summary = [
    'Invented data: none of this happened.',
    'Local regulations and licensed practice decide what is kept, reported and paid; these figures are no assessment of duty.',
    '',
    ...lines,
    '',
    ...reports.flat(),
    `${world.checks.count} figures compared, all as they should be; ${trail.length} entries of the trail walked.`,
  ];
  await write('summary.txt', `${summary.join('\n')}\n`);
  return directory;
}
