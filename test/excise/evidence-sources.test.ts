import type { OperationEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });
const CERTIFICATE = {
  number: 'C-77 (invented)',
  date: '2026-02-20',
  expandedUncertainty: percent(0.1),
  coverageFactor: 2,
};
const DOCUMENT = { number: 'DN-12 (invented)', date: '2026-02-21' };

const evidenceOf = async (floor: Floor, operationId: unknown) =>
  (await floor.get(`/v1/operations/${String(operationId)}/evidence`)) as unknown as OperationEvidence;

async function spirit(floor: Floor) {
  const { id } = await floor.post('/v1/materials', { name: 'Spirit', kind: 'spirit', strength: percent(96) });
  return {
    materialId: id,
    premisesId: floor.premisesId,
    volume: L(10),
    occurredAt: '2026-03-02T09:00:00Z',
  };
}

test('bought spirit leads to its document and to the certificate of its strength, also from the lot that it is in', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const body = await spirit(floor);
  const lot = await floor.post('/v1/material-lots', {
    ...body,
    code: 'S-1',
    strength: percent(96.2),
    document: DOCUMENT,
    certificate: CERTIFICATE,
  });
  const charge = await floor.post(`/v1/lots/${await floor.lot('spirit-drink')}/spirit-charges`, {
    vesselId: await floor.vessel('D1', 'tank'),
    spirits: [{ materialLotId: lot.id, volume: L(2) }],
    water: L(18),
    occurredAt: '2026-03-03T09:00:00Z',
  });
  const { materialLots } = await evidenceOf(floor, charge.operationId);
  expect(materialLots).toMatchObject([
    {
      id: lot.id,
      code: 'S-1',
      strength: percent(96.2),
      receipt: `/v1/operations/${String(lot.operationId)}`,
      sources: [
        { kind: 'document', ...DOCUMENT },
        { kind: 'certificate', ...CERTIFICATE, strength: percent(96.2) },
      ],
    },
  ]);
  const receipt = await evidenceOf(floor, lot.operationId);
  expect(receipt.operations[0].sources).toEqual(materialLots[0].sources);
  // U / k = 0.05 % vol of 10 L: 0.005 L of pure alcohol, beside what the meter of the volume leaves uncertain.
  const operation = (await floor.get(`/v1/operations/${String(lot.operationId)}`)) as unknown as {
    document: { strengthStandardUncertainty: { value: number } };
  };
  expect(operation.document.strengthStandardUncertainty.value).toBe(0.05);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('an opening is stated by the producer, ± 0.3 % vol rectangular, or rests on its certificate', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const dip = await floor.post('/v1/instruments', { kind: 'dip', name: 'Dip 1' });
  const vessels = [await floor.vessel('T1'), await floor.vessel('T2')];
  const lots = [await floor.lot('cider'), await floor.lot('cider')];
  const liquids = lots.map((lotId, at) => ({ lotId, vesselId: vessels[at], volume: L(100), strength: percent(5) }));
  const opened = await floor.post('/v1/openings', {
    premisesId: floor.premisesId,
    liquids: [
      { ...liquids[0], document: DOCUMENT, instrumentId: dip.id },
      { ...liquids[1], certificate: CERTIFICATE },
    ],
    occurredAt: '2026-03-01T08:00:00Z',
  });
  const { operations, findings } = await evidenceOf(floor, opened.operationId);
  const stated = findings.find(({ methodId }) => methodId === 'opening-statement');
  // Half-width 0.3 % vol, rectangular: u = 0.3 / √3 (JCGM 100 4.3.7), U = 1.959964 u.
  expect(stated?.expandedUncertainty.value).toBeCloseTo((1.959964 * 0.3) / Math.sqrt(3), 6);
  expect(stated?.sources).toEqual([
    { kind: 'document', ...DOCUMENT },
    { kind: 'instrument', instrumentId: dip.id, instrument: `/v1/instruments/${String(dip.id)}` },
  ]);
  const kept = (await floor.get(`/v1/findings/${String(stated?.id)}`)) as unknown as {
    budget: { name: string; distribution: string }[];
  };
  expect(kept.budget).toMatchObject([{ name: 'stated by the producer', distribution: 'rectangular' }]);
  const certified = findings.find(({ methodId }) => methodId === 'certificate');
  expect(certified).toMatchObject({
    expandedUncertainty: percent(0.1),
    sources: [{ kind: 'certificate', number: CERTIFICATE.number, coverageFactor: 2 }],
  });
  expect(operations[0].sources).toHaveLength(3);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a certificate without its strength, or beside another uncertainty, is refused, and nothing is stored', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const body = { ...(await spirit(floor)), code: 'S-2' };
  const before = await service.rowCounts();
  for (const [more, pointer] of [
    [{ certificate: CERTIFICATE }, '/strength'],
    [
      { certificate: CERTIFICATE, strength: percent(96), strengthStandardUncertainty: percent(0.1) },
      '/strengthStandardUncertainty',
    ],
  ] as const) {
    const refused = await service.call('post', '/v1/material-lots', { key: floor.key, body: { ...body, ...more } });
    expect([refused.status, problemOf(refused).errors?.[0].pointer]).toEqual([400, pointer]);
  }
  expect(await service.rowCounts()).toEqual(before);
});
