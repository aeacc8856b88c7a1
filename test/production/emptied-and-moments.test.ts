import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
beforeEach(async () => {
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
});
afterEach(() => expectBooksHold(service, floor.producerId, floor.key));
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
const CHARGED_AT = '2026-03-02T10:00:00.000Z';
const certificate = {
  strength: { value: 5, unit: '%' },
  expandedUncertainty: { value: 0.1, unit: '%' },
  coverageFactor: 2,
};

/** 100 L of wash in a fermenter. */
async function charged() {
  const lotId = await floor.lot();
  const vesselId = await floor.vessel('FV1');
  const charge = await floor.post(`/v1/lots/${lotId}/charges`, { vesselId, volume: L(100), occurredAt: CHARGED_AT });
  return { lotId, vesselId, compositionId: String(charge.compositionId) };
}

describe('a composition of which nothing is left', () => {
  test.each([
    ['a provisional finding', { standing: 'provisional' }],
    ['a first finding of record', { standing: 'of-record' }],
    ['a first finding, of record by default', {}],
  ])('%s is refused, and nothing is stored; a supporting one is kept', async (_, standing) => {
    const { lotId, vesselId, compositionId } = await charged();
    await floor.post('/v1/movements', {
      kind: 'destruction',
      lotId,
      vesselId,
      volume: L(100),
      reasonCode: 'spoilage',
      evidence: { method: 'poured away' },
      witness: 'Witness W (invented)',
      occurredAt: '2026-03-05T10:00:00Z',
    });
    const before = await service.rowCounts();
    const body = { method: 'certificate', certificate, occurredAt: '2026-03-06T10:00:00Z' };
    for (const named of [{}, { compositionId }]) {
      const refused = await service.call('post', `/v1/lots/${lotId}/findings`, {
        key: floor.key,
        body: { ...body, ...standing, ...named },
      });
      expect(problemOf(refused)).toMatchObject({
        code: 'conflict',
        errors: [{ pointer: '/compositionId', rule: 'empty' }],
      });
    }
    expect(await service.rowCounts()).toEqual(before);
    await floor.post(`/v1/lots/${lotId}/findings`, { ...body, standing: 'supporting' });
  });
});

describe('a reading belongs to what the lot was at its moment', () => {
  test.each([
    ['a millisecond before the charge', '2026-03-02T09:59:59.999Z', false],
    ['at the moment of the charge', CHARGED_AT, true],
    ['a millisecond after it', '2026-03-02T10:00:00.001Z', true],
  ])('%s', async (_, takenAt, isOfIt) => {
    const { lotId, vesselId, compositionId } = await charged();
    for (const named of [{}, { vesselId }]) {
      const reading = await floor.post(`/v1/lots/${lotId}/readings`, {
        kind: 'gravity',
        gravity: { value: 1.05, scale: 'sg-20-20' },
        takenAt,
        ...named,
      });
      expect(reading.compositionId).toBe(isOfIt ? compositionId : undefined);
    }
  });

  test('at the moment at which the last of it goes there is none any more', async () => {
    const { lotId, vesselId, compositionId } = await charged();
    const occurredAt = '2026-03-05T10:00:00.000Z';
    await floor.post('/v1/movements', { kind: 'process-loss', lotId, vesselId, volume: L(100), occurredAt });
    const readAt = async (takenAt: string) => {
      const gravity = { value: 1.05, scale: 'sg-20-20' };
      return (await floor.post(`/v1/lots/${lotId}/readings`, { kind: 'gravity', gravity, takenAt })).compositionId;
    };
    expect(await readAt('2026-03-05T09:59:59.999Z')).toBe(compositionId);
    expect(await readAt(occurredAt)).toBeUndefined();
  });
});
