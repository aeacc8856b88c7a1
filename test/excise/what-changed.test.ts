import type { ChangedFigure, PeriodChanges } from '../../src/excise/reporting/changes/changes.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

/** March with 100 bottles of half a litre, 4 % vol, ten of them released, and closed. */
async function closedMarch() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const { packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  const [march, april] = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  const moved = (kind: string, count: number, more: object = {}) => ({
    kind,
    packagedLotId: packaged[0],
    count,
    occurredAt: '2026-03-10T12:00:00Z',
    ...more,
  });
  const release = String((await floor.post('/v1/movements', moved('release', 10))).id);
  const beforeClosing = await floor.get(`/v1/periods/${march}/changes`);
  await floor.post(`/v1/periods/${march}/closing`, {});
  const changes = async () => (await floor.get(`/v1/periods/${march}/changes`)) as unknown as Required<PeriodChanges>;
  const frozen = (await floor.get(`/v1/periods/${march}/report`)) as unknown as PeriodReport;
  return { floor, march, april, moved, release, changes, frozen, beforeClosing };
}

const three = ({ frozen, change, corrected }: ChangedFigure) =>
  [frozen, change, corrected].map(({ litres, litresOfPureAlcohol }) => [litres.value, litresOfPureAlcohol.value]);
const APRIL_1 = { occurredAt: '2026-04-01T12:00:00Z' };

test('an open period has no frozen report; a closed one that nothing touches is unchanged', async () => {
  const { beforeClosing, changes, frozen } = await closedMarch();
  expect(beforeClosing).toMatchObject({ state: 'open', unchanged: true, operations: [] });
  expect(beforeClosing).not.toHaveProperty('closing');
  const found = await changes();
  expect(found).toMatchObject({ unchanged: true, operations: [], lines: [], categories: [] });
  expect(three(found.closing)).toEqual([
    [45, 1.8],
    [0, 0],
    [45, 1.8],
  ]);
  expect(found.closing.frozen).toEqual(frozen.closing);
  expect(found.closing.corrected).toEqual(frozen.closing);
});

test('a movement put right: what the report would be stands beside the frozen one, line by line, and for duty', async () => {
  const { floor, moved, release, changes, frozen, march } = await closedMarch();
  const corrects = { operationId: release, reasonCode: 'wrong-count' };
  await floor.post('/v1/movements', moved('release', 8, { corrects, ...APRIL_1 }));
  const found = await changes();
  expect(found.unchanged).toBe(false);
  expect(found.operations.map(({ kind, litres, reverses }) => [kind, litres.value, reverses])).toEqual([
    ['reversal', 5, release],
    ['movement', -4, undefined],
  ]);
  expect(found.lines.map(({ line, ...figure }) => [line, three(figure)])).toEqual([
    [
      'released',
      [
        [-5, -0.2],
        [1, 0.04],
        [-4, -0.16],
      ],
    ],
  ]);
  expect(three(found.closing)).toEqual([
    [45, 1.8],
    [1, 0.04],
    [46, 1.84],
  ]);
  expect(found.categories.map(({ category, ...figure }) => [category, three(figure)[2]])).toEqual([
    ['beer', [46, 1.84]],
  ]);
  expect(found.litresOfPureAlcoholForDuty).toMatchObject({
    frozen: { value: 0.2 },
    change: { value: -0.04 },
    corrected: { value: 0.16 },
  });
  // By hand: the strength is unsure by 0.1 % vol of all that is there, k = 1.959964.
  expect(found.closing.corrected.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(1.959964 * 0.001 * 46, 5);
  expect(found.lines[0].corrected.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(1.959964 * 0.001 * 4, 5);
  expect(await floor.get(`/v1/periods/${march}/report`)).toEqual(frozen);
});

test('a release that was never one: taken back and entered as a loss of another kind', async () => {
  const { floor, moved, release, changes } = await closedMarch();
  const corrects = { operationId: release, reasonCode: 'wrong-kind' };
  await floor.post('/v1/movements', moved('accidental-loss', 10, { corrects, reasonCode: 'breakage', ...APRIL_1 }));
  const found = await changes();
  const lines = new Map(found.lines.map(({ line, ...figure }) => [line, three(figure)]));
  expect(lines.get('released')?.[2]).toEqual([0, 0]);
  expect(lines.get('accidental-loss')).toEqual([
    [0, 0],
    [-5, -0.2],
    [-5, -0.2],
  ]);
  expect(three(found.closing)[1]).toEqual([0, 0]);
  expect(found.litresOfPureAlcoholForDuty.corrected.value).toBe(0);
});

test('a correction that was itself taken back is listed and does not count', async () => {
  const { floor, release, changes } = await closedMarch();
  const reversal = await floor.post(`/v1/operations/${release}/reversal`, { reasonCode: 'did-not-happen' });
  expect(three((await changes()).closing)[2]).toEqual([50, 2]);
  await floor.post(`/v1/operations/${String(reversal.operationId)}/reversal`, { reasonCode: 'did-not-happen' });
  const found = await changes();
  expect(found.operations.find(({ id }) => id === reversal.operationId)?.reversed).toBe(true);
  expect(three(found.closing)[2]).toEqual([45, 1.8]);
  expect(found.litresOfPureAlcoholForDuty.corrected.value).toBe(0.2);
});

test('an entry with several lines put right: each line of it as it would stand, not on the line of earlier periods', async () => {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const { lots, vessels } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [],
  );
  const run = (count: number, meanFill: number, loss: number, more: object) =>
    floor.post(`/v1/lots/${lots[0]}/packagings`, {
      vesselId: vessels[0],
      container: 'bottle',
      nominalVolume: { value: 0.5, unit: 'L' },
      count,
      meanFill: { value: meanFill, unit: 'L' },
      loss: { value: loss, unit: 'L' },
      emptied: false,
      declaredStrength: { value: 5, unit: '%' },
      ...more,
    });
  const made = await run(150, 0.502, 0.7, { occurredAt: '2026-03-10T12:00:00Z' });
  const [{ id: march }] = (await floor.get('/v1/periods')).items as { id: string }[];
  await floor.post(`/v1/periods/${march}/closing`, {});
  await run(150, 0.504, 0.9, {
    // As the reversal, at the time of the correction: before it the bottles had not come back.
    occurredAt: '2026-04-02T08:00:00Z',
    corrects: { operationId: made.operationId, reasonCode: 'misread' },
  });
  const found = (await floor.get(`/v1/periods/${march}/changes`)) as unknown as Required<PeriodChanges>;
  expect(found.lines.map(({ line, ...figure }) => [line, three(figure)])).toEqual(
    expect.arrayContaining([
      [
        'fill-difference',
        [
          [-0.3, -0.015],
          [-0.3, -0.015],
          [-0.6, -0.03],
        ],
      ],
      [
        'packaging-loss',
        [
          [-0.7, -0.035],
          [-0.2, -0.01],
          [-0.9, -0.045],
        ],
      ],
    ]),
  );
  expect(found.lines.map(({ line }) => line)).not.toContain('earlier-period');
  // In all the lines change by what the closing changes by.
  expect(three(found.closing)).toEqual([
    [99, 4.95],
    [-0.5, -0.025],
    [98.5, 4.925],
  ]);
});
