import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { createHash, randomUUID } from 'node:crypto';
import { Calendar } from '../../src/demo/client/calendar.js';
import { Checks, FigureOff } from '../../src/demo/client/checks.js';
import { checkReport } from '../two-years/month-check.js';
import { openOwnService } from '../two-years/own-service.js';
import { simulate } from '../two-years/simulate.js';
import { Tally } from '../two-years/tally.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { expectBooksHold } from '../support/books-hold.js';
import { createTestDatabase } from '../support/database.js';
import { loadProgram } from '../support/program.js';
import type { TwoYears } from '../support/two-years.js';
import { startTwoYears } from '../support/two-years.js';

// Whoever comes first makes the two years, on a machine that may be busy.
jest.setTimeout(600_000);

let years: TwoYears;
beforeAll(async () => {
  years = await startTwoYears();
});
afterAll(() => years.service.stop());

type Text = { readonly text: string };

const text = async (path: string): Promise<string> => {
  const { service, key } = years;
  return ((await service.expect(200, 'get', path, { key })) as unknown as Text).text;
};
const get = async <T>(path: string): Promise<T> => JSON.parse(await text(path)) as T;
const frozen = (periodId: string): Promise<string> => text(`/v1/periods/${periodId}/report?format=json`);

/** Exact decimals as whole millionths. */
const micro = ({ value, exact }: { value: number; exact?: string }): bigint => {
  const [whole, fraction = ''] = (exact ?? value.toFixed(6)).replace('-', '').split('.');
  const size = BigInt(whole) * 1_000_000n + BigInt(fraction.padEnd(6, '0'));
  return (exact ?? String(value)).startsWith('-') ? -size : size;
};
const MEASURES = ['litres', 'fermented', 'added'] as const;

/** By hand: 240 × 0.5 L + 6 × 30 L = 300 L; 120 L × 4.9 % + 180 L × 5.1 % = 5.88 L + 9.18 L = 15.06 L. */
const OPENING_STOCK = {
  main: { litres: '300.000000', fermented: '15.060000', added: '0.000000' },
  second: { litres: '0.000000', fermented: '0.000000', added: '0.000000' },
};

test.each(['main', 'second'] as const)(
  'all 24 reports of the %s premises balance, chain, and come back byte by byte',
  async (name) => {
    const ids = years.landmarks.periods[name];
    expect(ids).toHaveLength(24);
    const opened = years.landmarks.openingStock[name];
    expect(opened).toEqual(OPENING_STOCK[name]);
    let last: { report: PeriodReport; hash: string } | undefined;
    for (const id of ids) {
      const bytes = await frozen(id);
      expect(await frozen(id)).toBe(bytes);
      const report = JSON.parse(bytes) as PeriodReport;
      expect(report).toMatchObject({
        status: 'closed',
        producer: { simulated: true },
        reconciliation: { balances: true },
      });
      for (const measure of MEASURES) {
        const flows = report.lines.reduce((sum, line) => sum + micro(line[measure]), 0n);
        expect(micro(report.opening[measure]) + flows).toBe(micro(report.closing[measure]));
        // The first report opens with the stock that the script entered.
        const stock = { value: Number(opened[measure]), exact: opened[measure] };
        expect(micro(report.opening[measure])).toBe(micro(last === undefined ? stock : last.report.closing[measure]));
      }
      expect(report.opening.reportHash).toBe(last?.hash);
      last = { report, hash: createHash('sha256').update(bytes).digest('hex') };
    }
  },
);

test('several hundred lots, the trail holds, and no moment is impossible', async () => {
  const { service, producerId, key } = years;
  await expectBooksHold(service, producerId, key);
  const counts = await service.rowCounts();
  expect(counts.lot).toBeGreaterThan(250);
  expect(counts.posting).toBeGreaterThan(7_000);
});

test('the landmarks are there, each in its period', async () => {
  const { landmarks } = years;
  const places = [
    ...[
      'laboratory',
      'blendOfBlends',
      'export',
      'suspended',
      'destroyedLot',
      'theft',
      'returned',
      'rework',
      'repacking',
    ],
    ...[
      'relabelling',
      'yeastCrop',
      'heel',
      'conditioned',
      'split',
      'earlierCorrection',
      'earlierDifference',
      'difference',
    ],
    ...[
      'reversedReversal',
      'struck',
      'explained',
      'unexplained',
      'lapsedCalibration',
      'overTheMonthEnd',
      'lostOnTheWay',
    ],
    ...['nilMonth', 'fullest', 'suspectMaterialLotId'],
  ];
  expect(places.filter((name) => !(name in landmarks))).toEqual([]);
  const nil = await get<PeriodReport>(`/v1/periods/${String(landmarks.nilMonth?.periodId)}/report`);
  expect(
    nil.lines.filter(({ litres, litresOfPureAlcohol }) => litres.value !== 0 || litresOfPureAlcohol.value !== 0),
  ).toEqual([]);
  const earlier = landmarks.earlierDifference;
  const report = await get<PeriodReport>(`/v1/periods/${String(earlier?.periodId)}/report`);
  expect(report.corrections.map(({ operationId }) => operationId)).toContain(earlier?.correctionId);
});

test('a closed report in which one millionth of a litre is off does not pass', async () => {
  const { landmarks } = years;
  const report = await get<PeriodReport>(`/v1/periods/${landmarks.periods.main[0]}/report`);
  const tally = new Tally();
  for (const { line, litres } of report.lines) tally.add(landmarks.premises.main, 0, line, micro(litres));
  tally.open(landmarks.premises.main, {
    category: 'sugar-ferment',
    litres: 300_000_000n,
    fermented: 15_060_000n,
    added: 0n,
  });
  const checked = {
    checks: new Checks(),
    calendar: Calendar.from(landmarks.startsOn, 'Europe/London'),
    tally,
    site: { premises: landmarks.premises },
  };
  const closed = { premises: 'main', month: 0, periodId: landmarks.periods.main[0], hash: '' } as const;
  const check = (changed: PeriodReport): void => checkReport(checked, { ...closed, report: changed }, undefined);
  check(report);
  const off = structuredClone(report);
  off.categories[0].closing.litres = { value: off.categories[0].closing.litres.value + 0.000001, unit: 'L' };
  expect(() => check(off)).toThrow(FigureOff);
  const dear = structuredClone(report);
  const group = dear.duty.groups.find(({ money }) => money !== undefined);
  expect(group?.money).toBeDefined();
  if (group?.money !== undefined) group.money = { ...group.money, amount: `${group.money.amount}1` };
  expect(() => check(dear)).toThrow(FigureOff);
  tally.add(landmarks.premises.main, 0, 'released', 1n);
  expect(() => check(report)).toThrow(/released of month 1/);
  tally.add(landmarks.premises.main, 0, 'released', -1n);
  check(report);
  tally.open(landmarks.premises.main, { category: 'sugar-ferment', litres: 1n, fermented: 0n, added: 0n });
  expect(() => check(report)).toThrow(/opening of sugar-ferment, suspended/);
});

/** The figures of two months, without ids, hashes and times of entry. */
async function twoMonths(): Promise<unknown[]> {
  const database = await createTestDatabase();
  const program = await loadProgram();
  const client = program.createPrismaClient({ url: database.appUrl, poolSize: 4 });
  const own = await openOwnService(program, client);
  try {
    const { key, clock, transport } = await own.begin();
    const { closed } = await simulate({ transport, key, clock, runId: randomUUID(), months: 2 });
    return closed.map(({ premises, month, report }) => ({
      premises,
      month,
      lines: report.lines.map(({ line, litres, fermented, added, expandedUncertainty }) => ({
        line,
        litres,
        fermented,
        added,
        uncertain: expandedUncertainty.litresOfPureAlcohol.value.toFixed(9),
      })),
      closing: [report.closing.litres, report.closing.fermented, report.closing.added],
      money: report.duty.money,
    }));
  } finally {
    await own.close();
    await client.$disconnect();
    await database.drop();
  }
}

test('two runs of two months with the same seed give the same figures', async () => {
  expect(await twoMonths()).toEqual(await twoMonths());
});
