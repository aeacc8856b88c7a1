import { setTimeout as delay } from 'node:timers/promises';
import type { PrintJob } from '../../src/excise/reporting/printing/print-job.js';
import { definitionOf } from '../../src/excise/reporting/printing/print-job.js';
import { PdfQueue } from '../../src/excise/reporting/printing/pdf-queue.js';
import type { PrintState } from '../../src/excise/reporting/printing/print-state.dto.js';
import { makePdf } from '../../src/excise/reporting/render/pdf-maker.js';
import type { PrintProgress } from '../../src/excise/reporting/render/pdf-maker.js';
import type { PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/parts/report.dto.js';
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
let job: PrintJob;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(NOW) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await openStock(floor, '2026-03-01T08:00:00Z', [], [CASES]);
  const { items } = await floor.get('/v1/periods');
  periodId = (items as { id: string }[])[0].id;
  const report = (await floor.get(`/v1/periods/${periodId}/report`)) as unknown as PeriodReport;
  const evidence = (await floor.get(`/v1/periods/${periodId}/evidence`)) as unknown as PeriodEvidence;
  job = { kind: 'period-report', input: { report, evidence, hash: 'a'.repeat(64), at: NOW } };
});
afterAll(() => service.stop());

// That it answers 202 before is held by test/demo/start.test.ts: only the compiled program prints in a thread of its own.
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
  const once = await makePdf(definitionOf(job), (progress) => seen.push(progress));
  expect(seen.map(({ stage }) => stage).filter((stage, at, all) => stage !== all[at - 1])).toEqual([
    'laying-out',
    'drawing',
  ]);
  expect(seen.at(-1)?.shareDrawn).toBeCloseTo(1, 6);
  const shares = seen.map(({ shareDrawn }) => shareDrawn);
  expect([...shares].sort((a, b) => a - b)).toEqual(shares);
  expect((await makePdf(definitionOf(job))).equals(once)).toBe(true);
});

test('one after another; what fails is not kept and does not stop the next; too many are refused', async () => {
  const press = new PdfQueue();
  const broken = press.print('broken', { ...job, input: { ...job.input, report: {} } } as unknown as PrintJob);
  const next = press.print('next', job);
  expect(press.print('next', job)).toBe(next);
  expect(next.progress.stage).toBe('waiting');
  await expect(broken.done).rejects.toThrow();
  expect((await next.done).subarray(0, 5).toString()).toBe('%PDF-');
  expect(press.find('broken')).toBeUndefined();
  expect(press.find('next')?.pdf).toBeDefined();

  const waiting = Array.from({ length: 16 }, (_, index) => press.print(`waiting ${index}`, job));
  expect(() => press.print('one too many', job)).toThrow('Too many documents');
  await Promise.all(waiting.map(({ done }) => done));
  expect((await press.print('one too many', job).done).byteLength).toBeGreaterThan(1000);
  await press.onModuleDestroy();
});
