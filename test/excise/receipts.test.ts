import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { OperationEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import type { Receipt } from '../../src/production/operations/receipts/receipts.dto.js';
import type { Trace } from '../../src/production/trace/trace.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;

const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

let service: TestService;
let floor: Floor;
let lotId: string;
let tank: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await floor.post('/v1/openings', {
    premisesId: floor.premisesId,
    nothing: true,
    occurredAt: '2026-03-01T08:00:00Z',
  });
  lotId = await floor.lot('beer');
  tank = await floor.vessel('T1');
});
afterAll(() => service.stop());

const head = (kind: string, more: Json = {}): Json => ({
  kind,
  premisesId: floor.premisesId,
  supplier: 'Weir Brewery (invented)',
  document: { number: 'DN-1', date: '2026-03-09' },
  lotId,
  occurredAt: '2026-03-10T09:00:00Z',
  ...more,
});
const bottles = (more: Json = {}): Json => ({
  container: 'bottle',
  nominalVolume: L(0.5),
  count: 238,
  lotMark: 'W-2291',
  declaredStrength: percent(4.8),
  ...more,
});
const receive = async (body: Json) => (await floor.post('/v1/receipts', body)) as unknown as Receipt;
const reportNow = async (): Promise<PeriodReport> => {
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  return (await floor.get(`/v1/periods/${items[0].id}/report`)) as unknown as PeriodReport;
};

test('each kind is a line of its own, with its duty status, its document beside it, and its strength by the document', async () => {
  // 238 of 240 bottles of 0.5 L at 4.82 % vol: 119 L, 5.7358 L of pure alcohol.
  const suspended = await receive(
    head('received-suspended', {
      packaged: bottles({ documentedCount: 240 }),
      strength: percent(4.82),
      expandedUncertainty: percent(0.1),
      coverageFactor: 2,
    }),
  );
  expect(suspended).toMatchObject({
    dutyStatus: 'suspended',
    count: 238,
    litres: L(119),
    litresOfPureAlcohol: L(5.7358),
    strength: percent(4.82),
    expandedUncertainty: percent(0.1),
    coverageFactor: 2,
    discrepancy: { documented: L(120), documentedCount: 240, short: L(1) },
  });
  expect(suspended.discrepancy?.over).toBeUndefined();
  const cider = await floor.lot('cider');
  // 500 L by the document, 498 L measured and 3 L refused: 1 L over.
  const imported = await receive(
    head('imported', {
      document: { number: 'IMP-7', date: '2026-03-11' },
      dutyStatus: 'paid',
      lotId: cider,
      bulk: { vesselId: tank, volume: L(498), documentedVolume: L(500), refusedVolume: L(3) },
      strength: percent(6),
      occurredAt: '2026-03-12T09:00:00Z',
    }),
  );
  expect(imported).toMatchObject({
    dutyStatus: 'paid',
    vesselId: tank,
    litresOfPureAlcohol: L(29.88),
    discrepancy: { documented: L(500), refused: L(3), over: L(1) },
  });
  const spirits = await floor.lot('liqueur');
  const bought = await receive(
    head('received-duty-paid', {
      lotId: spirits,
      document: { number: 'INV-3', date: '2026-03-12' },
      packaged: bottles({ count: 10, nominalVolume: L(0.7), declaredStrength: percent(20), lotMark: 'L-9' }),
      addedShare: 100,
      occurredAt: '2026-03-13T09:00:00Z',
    }),
  );
  expect([bought.dutyStatus, bought.discrepancy]).toEqual(['paid', undefined]);

  for (const each of [suspended, imported, bought]) {
    expect(await floor.get(`/v1/receipts/${each.id}`)).toMatchObject({ ...each });
  }
  const report = await reportNow();
  const line = (name: string) => {
    const each = report.lines.find((row) => row.line === name);
    return [each?.litres.value, each?.fermented.value, each?.added.value];
  };
  expect(line('received-suspended')).toEqual([119, 5.7358, 0]);
  expect(line('imported')).toEqual([498, 29.88, 0]);
  expect(line('received-duty-paid')).toEqual([7, 0, 1.4]);
  expect(line('receipts')).toEqual([0, 0, 0]);
  expect(report.reconciliation.balances).toBe(true);
  // U of the strength by the document: 0.1 at k = 2, so u = 0.05; of 119 L at k = 1.959964: 1.959964 × 119 × 0.0005.
  const u = report.lines.find((row) => row.line === 'received-suspended')?.expandedUncertainty.litresOfPureAlcohol;
  expect(u?.value).toBeCloseTo(1.959964 * 119 * 0.0005, 6);
  expect(report.received).toMatchObject([
    {
      line: 'received-suspended',
      day: '2026-03-10',
      product: 'W-2291',
      supplier: 'Weir Brewery (invented)',
      document: { number: 'DN-1', date: '2026-03-09' },
      dutyStatus: 'suspended',
      discrepancy: { documented: L(120), short: L(1) },
      litres: L(119),
    },
    { line: 'imported', document: { number: 'IMP-7' }, dutyStatus: 'paid', discrepancy: { over: L(1) } },
    { line: 'received-duty-paid', product: 'L-9', dutyStatus: 'paid' },
  ]);
  const evidence = (await floor.get(`/v1/operations/${suspended.id}/evidence`)) as unknown as OperationEvidence;
  expect(evidence.operations[0]).toMatchObject({ supplier: 'Weir Brewery (invented)', document: 'DN-1' });
  expect(evidence.findings[0]).toMatchObject({ methodId: 'document-statement', certificate: 'DN-1' });
  const { key } = floor;
  const periodId = report.period.id;
  const csv = await service.expect(200, 'get', `/v1/periods/${periodId}/report?format=csv`, { key });
  expect(csv.text).toMatch(/Weir Brewery \(invented\)/);
  const lists = async (query: string) =>
    ((await floor.get(`/v1/receipts${query}`)).items as Receipt[]).map((r) => r.id);
  expect(await lists('')).toEqual([suspended.id, imported.id, bought.id]);
  expect(await lists('?differs=true')).toEqual([suspended.id, imported.id]);
  expect(await lists('?kind=imported')).toEqual([imported.id]);
  expect(await lists('?documentNumber=INV-3')).toEqual([bought.id]);
  expect(await lists('?supplier=weir brewery (invented)&before=2026-03-12')).toEqual([suspended.id]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what was received leads one step back to its supplier, also through a blend, and forward to who got it', async () => {
  const { items } = (await floor.get('/v1/receipts')) as { items: Receipt[] };
  const [suspended, imported] = items;
  const release = {
    kind: 'release',
    packagedLotId: suspended.packagedLotId,
    count: 24,
    counterparty: 'Shop (invented)',
  };
  const released = await floor.post('/v1/movements', { ...release, occurredAt: '2026-03-14T09:00:00Z' });
  // 12 L at 4.8 % vol as declared.
  expect(released.duty).toMatchObject({ litresOfPureAlcohol: L(0.576) });
  const trace = (await floor.get(`/v1/packaged-lots/${String(suspended.packagedLotId)}/trace`)) as unknown as Trace;
  expect(trace.receipts).toMatchObject([
    {
      receiptId: suspended.id,
      kind: 'received-suspended',
      supplier: 'Weir Brewery (invented)',
      document: { number: 'DN-1', date: '2026-03-09' },
      share: 1,
    },
  ]);
  const forward = (await floor.get(`/v1/lots/${lotId}/trace?direction=forward`)) as unknown as Trace;
  expect(forward.packagedLots[0].recipients).toMatchObject([{ counterparty: 'Shop (invented)', count: 24 }]);
  // A case that duty was paid on goes out without duty.
  const liqueur = items[2].packagedLotId;
  const paid = { kind: 'release', packagedLotId: liqueur, count: 2, dutyStatus: 'paid' };
  const out = await floor.post('/v1/movements', { ...paid, occurredAt: '2026-03-14T10:00:00Z' });
  expect(out.duty).toBeUndefined();
  // The imported cider is packed with the rest: the run leads back to the document of the import.
  const run = await floor.post(`/v1/lots/${String(imported.lotId)}/packagings`, {
    vesselId: tank,
    container: 'keg',
    nominalVolume: L(20),
    count: 10,
    lotMark: 'K-1',
    declaredStrength: percent(6),
    occurredAt: '2026-03-15T09:00:00Z',
  });
  const kegs = (await floor.get(`/v1/packaged-lots/${String(run.packagedLotId)}/trace`)) as unknown as Trace;
  expect(kegs.receipts).toMatchObject([{ receiptId: imported.id, document: { number: 'IMP-7' }, share: 1 }]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('kegs by serial, a delivery that is refused whole, and a receipt put right', async () => {
  const beer = await floor.lot('beer');
  const kegs = await receive(
    head('received-suspended', {
      lotId: beer,
      packaged: bottles({ container: 'keg', nominalVolume: L(30), count: 2, serials: ['W-1', 'W-2'], lotMark: 'W-3' }),
      occurredAt: '2026-03-16T09:00:00Z',
    }),
  );
  expect(kegs.serials).toEqual(['W-1', 'W-2']);
  const { items } = (await floor.get('/v1/containers?serial=W-1')) as { items: Json[] };
  expect(items).toMatchObject([{ serial: 'W-1', packagedLotId: kegs.packagedLotId }]);
  const refused = await receive(
    head('received-suspended', {
      lotId: undefined,
      packaged: bottles({ count: 0, refusedCount: 48 }),
      note: 'caps leaked',
      occurredAt: '2026-03-17T09:00:00Z',
    }),
  );
  expect(refused).toMatchObject({ litres: L(0), discrepancy: { documented: L(24), refused: L(24) } });
  expect([refused.lotId, refused.packagedLotId]).toEqual([undefined, undefined]);
  const right = await receive(
    head('received-suspended', {
      lotId: beer,
      packaged: bottles({ container: 'keg', nominalVolume: L(50), count: 2, serials: ['W-1', 'W-2'], lotMark: 'W-3' }),
      occurredAt: '2026-03-16T09:00:00Z',
      corrects: { operationId: kegs.id, reasonCode: 'typing-error' },
    }),
  );
  expect(right.litres).toEqual(L(100));
  expect(await floor.get(`/v1/receipts/${kegs.id}`)).toMatchObject({ reversed: true });
  const { received, lines, reconciliation } = await reportNow();
  const entries = received.filter(({ product }) => product === 'W-3');
  expect(entries.map(({ litres }) => litres.value)).toEqual([60, -60, 100]);
  expect(lines.find(({ line }) => line === 'received-suspended')?.litres.value).toBe(119 + 100);
  expect(reconciliation.balances).toBe(true);
  await expectBooksHold(service, floor.producerId, floor.key);
});

const REFUSED: [what: string, change: () => Json, status: number, code: string, pointer: string][] = [
  ['both forms', () => ({ bulk: { vesselId: tank, volume: L(1) } }), 400, 'validation-failed', '/packaged'],
  ['neither form', () => ({ packaged: undefined }), 400, 'validation-failed', '/packaged'],
  ['a kind that is none', () => ({ kind: 'gift' }), 400, 'validation-failed', '/kind'],
  ['no document', () => ({ document: undefined }), 400, 'validation-failed', '/document'],
  ['no supplier', () => ({ supplier: undefined }), 400, 'validation-failed', '/supplier'],
  ['paid goods under suspension', () => ({ dutyStatus: 'paid' }), 400, 'validation-failed', '/dutyStatus'],
  ['U without k', () => ({ expandedUncertainty: percent(0.1) }), 400, 'validation-failed', '/coverageFactor'],
  ['no lot', () => ({ lotId: undefined }), 400, 'validation-failed', '/lotId'],
  ['nothing at all', () => ({ packaged: bottles({ count: 0 }) }), 400, 'validation-failed', '/packaged/count'],
  [
    'a lot of what was refused whole',
    () => ({ packaged: bottles({ count: 0, refusedCount: 1 }) }),
    400,
    'validation-failed',
    '/lotId',
  ],
  [
    'too few serials',
    () => ({ packaged: bottles({ count: 2, serials: ['A-1'] }) }),
    400,
    'validation-failed',
    '/packaged/serials',
  ],
  [
    'bulk without a strength',
    () => ({ packaged: undefined, bulk: { vesselId: tank, volume: L(1) } }),
    400,
    'validation-failed',
    '/strength',
  ],
  [
    'a vessel that is in use',
    () => ({ packaged: undefined, bulk: { vesselId: tank, volume: L(1) }, strength: percent(5) }),
    409,
    'vessel-in-use',
    '/bulk/vesselId',
  ],
  ['a time before any period', () => ({ occurredAt: '2026-02-10T09:00:00Z' }), 409, 'period-not-open', ''],
];

test.each(REFUSED)('%s is refused, and nothing is stored', async (_what, change, status, code, pointer) => {
  const before = await service.rowCounts();
  const body = { ...head('received-suspended', { packaged: bottles() }), ...change() };
  const answer = await service.call('post', '/v1/receipts', { key: floor.key, body });
  const problem = problemOf(answer);
  expect([answer.status, problem.code]).toEqual([status, code]);
  if (pointer !== '') expect(problem.errors?.map((each) => each.pointer)).toContain(pointer);
  expect(await service.rowCounts()).toEqual(before);
});

test('a material lot with alcohol leads to its document in list, report, evidence and trace', async () => {
  const materialId = (await floor.post('/v1/materials', { name: 'Spirit', kind: 'spirit', strength: percent(96) })).id;
  const lot = await floor.post('/v1/material-lots', {
    materialId,
    premisesId: floor.premisesId,
    code: 'NS-1',
    supplier: 'Spirit merchant (invented)',
    document: { number: 'AAD-77', date: '2026-03-18' },
    volume: L(25),
    occurredAt: '2026-03-19T09:00:00Z',
  });
  expect(lot.document).toEqual({ number: 'AAD-77', date: '2026-03-18' });
  const { items } = (await floor.get('/v1/material-lots?documentNumber=AAD-77')) as { items: Json[] };
  expect(items).toMatchObject([{ id: lot.id, document: lot.document, supplier: 'Spirit merchant (invented)' }]);
  const { received } = await reportNow();
  expect(received.find(({ line }) => line === 'receipts')).toMatchObject({
    product: 'Spirit NS-1',
    supplier: 'Spirit merchant (invented)',
    document: { number: 'AAD-77', date: '2026-03-18' },
    litresOfPureAlcohol: L(24),
  });
  const evidence = (await floor.get(
    `/v1/operations/${String(lot.operationId)}/evidence`,
  )) as unknown as OperationEvidence;
  expect(evidence.operations[0]).toMatchObject({ supplier: 'Spirit merchant (invented)', document: 'AAD-77' });
});
