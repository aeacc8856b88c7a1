import { SteppableClock } from '../../src/platform/clock.js';
import { problemOf } from '../support/problem.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
let vesselId: string;
let lotId: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-05-01']]);
  vesselId = await floor.vessel('FV 1');
  lotId = await floor.finishedLot(vesselId, {
    litres: 400,
    original: 1.04,
    final: 1.0,
    day: '2026-03-02',
    finishedDay: '2026-03-12',
  });
});
afterAll(() => service.stop());

const run = (more: object): object => ({
  vesselId,
  container: 'bottle',
  nominalVolume: { value: 330, unit: 'mL' },
  count: 100,
  declaredStrength: { value: 5.2, unit: '%' },
  emptied: false,
  loss: { value: 0, unit: 'L' },
  occurredAt: '2026-03-20T09:00:00Z',
  ...more,
});

// 330 mL: tolerable negative error 3 %, 9.9 mL (76/211/EEC Annex I 2.4).
test('fills of a run give its mean and are checked; the check is kept with the run and stands in the lot record', async () => {
  const packed = await floor.post(
    `/v1/lots/${lotId}/packagings`,
    run({ fills: { values: [331.5, 330.2, 331.3], unit: 'mL' } }) as Record<string, unknown>,
  );
  expect(packed.fillDifference).toEqual({ value: 0.1, unit: 'L' });
  expect(packed.flags).not.toContainEqual(expect.objectContaining({ code: 'fills-short' }));
  const check = {
    verdict: 'passes',
    count: 3,
    tolerableNegativeError: { value: 9.9, unit: 'mL' },
    belowTolerableNegativeError: 0,
    belowTwiceTolerableNegativeError: 0,
    meanReachesNominal: true,
  };
  expect(packed.fillCheck).toMatchObject(check);
  expect((packed.fillCheck as { mean: { value: number } }).mean.value).toBeCloseTo(331, 9);
  // s of 0.5, −0.8, 0.3 about the mean: √(0.98 / 2).
  expect((packed.fillCheck as { standardDeviation: { value: number } }).standardDeviation.value).toBeCloseTo(0.7, 9);

  const { packagings } = await floor.get(`/v1/lots/${lotId}/record`);
  expect(packagings).toMatchObject([{ meanFill: { value: 0.331, unit: 'L' }, fillCheck: check }]);
  const pdf = await service.expect(200, 'get', `/v1/lots/${lotId}/record?format=pdf`, { key: floor.key });
  expect((pdf.body as Buffer).subarray(0, 5).toString()).toBe('%PDF-');
});

test('fills that are short are a flag, not a refusal', async () => {
  const packed = await floor.post(
    `/v1/lots/${lotId}/packagings`,
    run({ fills: { values: [320, 321.4, 309.9], unit: 'mL' }, lotMark: 'short' }) as Record<string, unknown>,
  );
  // 320.1 and 310.2 mL are the limits.
  expect(packed.fillCheck).toMatchObject({
    verdict: 'fails',
    belowTolerableNegativeError: 2,
    belowTwiceTolerableNegativeError: 1,
    meanReachesNominal: false,
  });
  expect(packed.flags).toContainEqual(expect.objectContaining({ code: 'fills-short' }));
  expect((packed.fillDifference as { value: number }).value).toBeLessThan(-1);
});

test.each([
  [
    'the mean beside them',
    { fills: { values: [330, 331], unit: 'mL' }, meanFill: { value: 330, unit: 'mL' } },
    400,
    '/meanFill',
  ],
  ['a single one', { fills: { values: [330], unit: 'mL' } }, 422, '/fills/values'],
  ['a mass', { fills: { values: [330, 331], unit: 'g' } }, 400, '/fills/unit'],
  ['one beyond twice nominal', { fills: { values: [330, 661], unit: 'mL' } }, 422, '/fills/values/1'],
  ['one below nothing', { fills: { values: [330, -1], unit: 'mL' } }, 422, '/fills/values/1'],
  [
    'a container that the rule does not know',
    { fills: { values: [58, 58], unit: 'L' }, nominalVolume: { value: 58, unit: 'L' }, count: 1 },
    422,
    '/nominalVolume',
  ],
])('fills with %s are refused, and nothing is stored', async (_what, more, status, pointer) => {
  const before = await service.rowCounts();
  const answer = await service.call('post', `/v1/lots/${lotId}/packagings`, { key: floor.key, body: run(more) });
  expect([answer.status, problemOf(answer).errors?.[0].pointer]).toEqual([status, pointer]);
  expect(await service.rowCounts()).toEqual(before);
});
