import { setTimeout as delay } from 'node:timers/promises';
import type { PrintJob } from '../../src/excise/reporting/printing/print-job.js';
import type { PdfQueue } from '../../src/excise/reporting/printing/pdf-queue.js';
import type { PrintState } from '../../src/excise/reporting/printing/print-state.dto.js';
import { definition } from '../../src/excise/reporting/period/report-pdf.js';
import type { ReportPdfInput } from '../../src/excise/reporting/period/report-pdf.js';
import { makePdf } from '../../src/excise/reporting/render/pdf-maker.js';
import type { PrintProgress } from '../../src/excise/reporting/render/pdf-maker.js';
import type { PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { problemOf } from '../support/problem.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

const NOW = new Date('2026-04-02T08:00:00Z');
const CASES = {
  mark: 'B',
  category: 'beer',
  count: 60,
  nominalLitres: 0.33,
  declaredPercent: 4.5,
  percent: 4.6,
  strengthU: 0.1,
};

let service: TestService;
let floor: Floor;
let periodId: string;
let input: ReportPdfInput;
let job: PrintJob;
let queue: PdfQueue;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(NOW) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await openStock(floor, '2026-03-01T08:00:00Z', [], [CASES]);
  const { items } = await floor.get('/v1/periods');
  periodId = (items as { id: string }[])[0].id;
  const report = (await floor.get(`/v1/periods/${periodId}/report`)) as unknown as PeriodReport;
  const evidence = (await floor.get(`/v1/periods/${periodId}/evidence`)) as unknown as PeriodEvidence;
  input = { report, evidence, hash: 'a'.repeat(64), at: NOW };
  // The thread runs compiled modules, as in the service.
  const pages = (await loadOnce('excise/reporting/period/report-pdf.js')) as { REPORT_PAGES: string };
  const printing = (await loadOnce('excise/reporting/printing/pdf-queue.js')) as { PdfQueue: new () => PdfQueue };
  queue = new printing.PdfQueue();
  job = {
    producerId: 'A',
    document: 'd',
    version: '1',
    documentHash: input.hash,
    module: pages.REPORT_PAGES,
    input,
  };
});
afterAll(async () => {
  await queue.onModuleDestroy();
  await service.stop();
});

test('a report is printed when it is asked for, and is fetched once it is ready', async () => {
  const path = `/v1/periods/${periodId}/report/print-state`;
  let answer = await service.call('get', path, { key: floor.key });
  while (answer.status === 202) {
    await delay(20);
    answer = await service.call('get', path, { key: floor.key });
  }
  const { stage, pagesLaidOut, shareDrawn, document = '', sizeBytes } = answer.body as PrintState;
  expect({ status: answer.status, stage, shareDrawn }).toEqual({ status: 200, stage: 'ready', shareDrawn: 1 });
  expect(pagesLaidOut).toBeGreaterThan(2);
  const fetched = await service.call('get', document, { key: floor.key });
  expect(fetched.headers['content-type']).toBe('application/pdf');
  expect((fetched.body as Buffer).byteLength).toBe(sizeBytes);

  const stranger = await Floor.open(service, []);
  for (const [id, key] of [
    [periodId, stranger.key],
    ['0190aaaa-0000-7000-8000-000000000000', floor.key],
  ]) {
    const refused = await service.call('get', `/v1/periods/${id}/report/print-state`, { key });
    expect(problemOf(refused)).toMatchObject({ status: 404, code: 'not-found' });
  }
});

test('layout and drawing are reported on the way, and the same document has the same bytes', async () => {
  const seen: PrintProgress[] = [];
  const once = await makePdf(definition(input), (progress) => seen.push(progress));
  expect(seen.map(({ stage }) => stage).filter((stage, at, all) => stage !== all[at - 1])).toEqual([
    'laying-out',
    'drawing',
  ]);
  expect(seen.at(-1)?.shareDrawn).toBeCloseTo(1, 6);
  const shares = seen.map(({ shareDrawn }) => shareDrawn);
  expect([...shares].sort((a, b) => a - b)).toEqual(shares);
  expect((await makePdf(definition(input))).equals(once)).toBe(true);
});

test('one after another; what fails is not kept and does not stop the next', async () => {
  const broken = queue.print({ ...job, document: 'broken', input: { ...input, report: {} } });
  const next = queue.print({ ...job, document: 'next' });
  expect(queue.print({ ...job, document: 'next' })).toBe(next);
  expect(next.progress.stage).toBe('waiting');
  await expect(broken.done).rejects.toThrow();
  const { pdf, documentHash } = await next.done;
  expect({ head: pdf.subarray(0, 5).toString(), documentHash }).toEqual({ head: '%PDF-', documentHash: input.hash });
  expect(queue.find({ ...job, document: 'broken' })).toBeUndefined();
  expect(queue.find({ ...job, document: 'next' })?.pdf).toBe(pdf);
  expect(queue.find({ ...job, document: 'next', producerId: 'B' })).toBeUndefined();
});

test('a newer version takes the place of one that waits; whoever waits for it gets the newer one', async () => {
  const running = queue.print({ ...job, document: 'changing', version: '1', documentHash: '1' });
  const second = queue.print({ ...job, document: 'changing', version: '2', documentHash: '2' });
  expect(queue.print({ ...job, document: 'changing', version: '3', documentHash: '3' })).toBe(second);
  expect(queue.find({ ...job, document: 'changing', version: '2' })).toBeUndefined();
  expect((await running.done).documentHash).toBe('1');
  expect((await second.done).documentHash).toBe('3');
});

test('producers take turns; a producer is refused for its own waiting documents alone', async () => {
  const order: string[] = [];
  const print = async (producerId: string, document: string): Promise<void> => {
    await queue.print({ ...job, producerId, document }).done;
    order.push(`${producerId}${document}`);
  };
  // The first is printed at once; sixteen of one producer may wait.
  const ofA = Array.from({ length: 17 }, (_, index) => print('A', String(index)));
  expect(() => queue.print({ ...job, document: 'one too many' })).toThrow('16 of your documents wait');
  await Promise.all([...ofA, print('B', '0'), print('B', '1'), print('C', '0')]);
  expect(order.slice(0, 7)).toEqual(['A0', 'B0', 'C0', 'A1', 'B1', 'A2', 'A3']);
  expect(order).toHaveLength(20);
});

test('while one producer asks for reports without end, the first PDF of another starts after the one that is being printed', async () => {
  const months = Array.from({ length: 12 }, (_, index): [string, string] => [
    new Date(Date.UTC(2025, index, 1)).toISOString().slice(0, 10),
    new Date(Date.UTC(2025, index + 1, 1)).toISOString().slice(0, 10),
  ]);
  const busy = await Floor.open(service, months);
  await openStock(busy, '2025-01-01T08:00:00Z', [], [CASES]);
  const { items } = (await busy.get('/v1/periods?limit=50')) as unknown as { items: { id: string }[] };
  const statuses = new Set<number>();
  let printed = 0;
  let stopped = false;
  const askAgainAndAgain = async (id: string): Promise<void> => {
    while (!stopped) {
      statuses.add((await service.call('get', `/v1/periods/${id}/report?format=pdf`, { key: busy.key })).status);
      printed += 1;
      // A change, so that the next PDF is another one.
      await busy.lot();
    }
  };
  const loops = items.map(({ id }) => askAgainAndAgain(id));
  while (printed < 3) await delay(5);

  const other = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await openStock(other, '2026-03-01T08:00:00Z', [], [CASES]);
  const [{ id }] = (await other.get('/v1/periods')).items as { id: string }[];
  const state = () => service.call('get', `/v1/periods/${id}/report/print-state`, { key: other.key });
  let answer = await state();
  const before = printed;
  while ((answer.body as PrintState).stage === 'waiting') {
    await delay(5);
    answer = await state();
  }
  const meanwhile = printed - before;
  stopped = true;
  await Promise.all(loops);
  expect([200, 202]).toContain(answer.status);
  // One that was being printed, and one whose answer was on its way.
  expect(meanwhile).toBeLessThanOrEqual(2);
  expect([...statuses]).toEqual([200]);
});
