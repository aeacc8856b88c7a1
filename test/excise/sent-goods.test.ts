import type { Attention } from '../../src/excise/attention/attention.dto.js';
import type { ClosingCheck } from '../../src/excise/closing/closing.dto.js';
import type { Movement } from '../../src/excise/movements/movements.dto.js';
import type { OpenProofs } from '../../src/excise/movements/proofs/proofs.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Recall } from '../../src/production/trace/trace.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

type Json = Record<string, unknown>;

const L = (value: number) => ({ value, unit: 'L' });

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-20T08:00:00Z')) });
});
afterAll(() => service.stop());

const DISPATCHED = '2026-03-10T09:00:00Z';
const WAREHOUSE = 'A warehouse (invented)';

/** 500 bottles of 0.5 L and a tank with 200 L, both of 5 % vol; March and April are open. */
async function stocked() {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const { packaged, lots, vessels } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'beer', litres: 200, volumeU: 1, percent: 5, strengthU: 0.1 }],
    [{ mark: 'B-1', category: 'beer', count: 500, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  const move = async (kind: string, more: Json): Promise<string> =>
    String(
      (await floor.post('/v1/movements', { kind, packagedLotId: packaged[0], occurredAt: DISPATCHED, ...more })).id,
    );
  const dispatch = (count: number, more: Json = {}): Promise<string> =>
    move('dispatch-suspended', { count, counterparty: WAREHOUSE, evidence: { document: 'ADM-1' }, ...more });
  return { floor, bottles: packaged[0], lot: lots[0], tank: vessels[0], move, dispatch };
}

const settle = async (floor: Floor, settings: Json): Promise<void> => {
  const { key } = floor;
  const now = await service.expect(200, 'get', '/v1/producer', { key });
  const body = { settings: { ...(now.body.settings as Json), ...settings } };
  await service.expect(200, 'patch', '/v1/producer', { key, body, headers: { 'if-match': now.headers.etag } });
};
const openProofs = async (floor: Floor, query = ''): Promise<OpenProofs> =>
  (await floor.get(`/v1/open-proofs${query}`)) as unknown as OpenProofs;
const attention = async (floor: Floor, code: string) =>
  ((await floor.get(`/v1/attention?code=${code}`)) as unknown as Attention).items;
const reports = async (floor: Floor): Promise<PeriodReport[]> => {
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  return Promise.all(
    items.map(async ({ id }) => (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport),
  );
};
const lineOf = (report: PeriodReport, name: string) => {
  const each = report.lines.find(({ line }) => line === name);
  return [each?.litres.value, each?.litresOfPureAlcohol.value];
};
async function refused(floor: Floor, path: string, body: Json) {
  const before = await service.rowCounts();
  const answer = await service.call('post', path, { key: floor.key, body });
  const problem = problemOf(answer);
  expect(await service.rowCounts()).toEqual(before);
  return [answer.status, problem.code, problem.errors?.[0]?.pointer, problem.errors?.[0]?.rule];
}

test('what is open, since when, to whom; a setting says from when it is overdue', async () => {
  const { floor, move, dispatch, bottles } = await stocked();
  const first = await dispatch(40);
  const second = await dispatch(10, { occurredAt: '2026-04-10T08:00:00Z', evidence: { document: 'ADM-2' } });
  const exported = await move('export', {
    count: 20,
    evidence: { document: 'EX-1' },
    occurredAt: '2026-03-20T08:00:00Z',
  });
  await move('export', { count: 20, evidence: { document: 'EX-2', proof: 'P-2' }, counterparty: 'A buyer (invented)' });
  const list = await openProofs(floor);
  // On 20 April at 8:00: 40 whole days and 23 hours since 10 March at 9:00, 31 days since 20 March at 8:00, 10 since 10 April.
  expect(list.dueAfterDays).toBe(30);
  expect(list.items).toMatchObject([
    {
      movementId: first,
      daysOpen: 40,
      overdue: true,
      counterparty: WAREHOUSE,
      document: 'ADM-1',
      litres: L(20),
      litresOfPureAlcohol: L(1),
    },
    { movementId: exported, kind: 'export', daysOpen: 31, overdue: true },
    { movementId: second, daysOpen: 10, overdue: false },
  ]);
  expect(list.recipients).toMatchObject([
    { counterparty: WAREHOUSE, open: 2, overdue: 1, since: '2026-03-10T09:00:00.000Z', litresOfPureAlcohol: L(1.25) },
    { open: 1, overdue: 1 },
  ]);
  expect((await openProofs(floor, `?counterparty=${WAREHOUSE.toUpperCase()}`)).items).toHaveLength(2);
  expect((await attention(floor, 'proof-missing')).map(({ links }) => links[1])).toEqual([
    `/v1/movements/${first}`,
    `/v1/movements/${exported}`,
  ]);
  await settle(floor, { proofDueDays: 5 });
  expect(await attention(floor, 'proof-missing')).toHaveLength(3);
  // A proof, and goods that came back whole, are no longer open.
  await floor.post(`/v1/movements/${second}/proof`, { proof: 'RR-2' });
  await move('return', {
    count: 20,
    counterparty: 'A buyer (invented)',
    returnOf: exported,
    occurredAt: '2026-04-01T08:00:00Z',
  });
  expect((await openProofs(floor)).items.map(({ movementId }) => movementId)).toEqual([first]);
  expect(await refused(floor, `/v1/movements/${exported}/proof`, { proof: 'X' })).toEqual([
    409,
    'conflict',
    '/proof',
    'nothing-out',
  ]);
  const released = await move('release', { packagedLotId: bottles, count: 1 });
  expect(await refused(floor, `/v1/movements/${released}/proof`, { proof: 'X' })).toEqual([
    409,
    'conflict',
    '/proof',
    'no-proof',
  ]);
  await floor.post(`/v1/operations/${first}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await refused(floor, `/v1/movements/${first}/proof`, { proof: 'X' })).toEqual([
    409,
    'conflict',
    '/proof',
    'reversed',
  ]);
  expect((await openProofs(floor)).items).toEqual([]);
});

test('48 sent, 44 accepted, 3 refused, 1 missing: the proof says so, the return and the loss account for it', async () => {
  const { floor, bottles, move, dispatch } = await stocked();
  const sent = await dispatch(48);
  const proof = { proof: 'RR-1', arrivedCount: 44, refusedCount: 3 };
  const discrepancy = { sent: L(24), arrived: L(22), refused: L(1.5), short: L(0.5) };
  expect(await floor.post(`/v1/movements/${sent}/proof`, proof)).toEqual({
    movementId: sent,
    proof: 'RR-1',
    discrepancy,
  });
  expect(await floor.get(`/v1/movements/${sent}`)).toMatchObject({
    evidence: { proof: 'RR-1' },
    proofDiscrepancy: discrepancy,
  });
  const [open] = await attention(floor, 'arrival-differs');
  expect(open.detail).toBe(
    'Of the dispatch under suspension to A warehouse (invented) of 10 March 2026, document ADM-1, 24 L were sent and 22 L accepted, 1.5 L were refused; 2 L are not accounted for.',
  );
  await move('return', { count: 3, counterparty: WAREHOUSE, returnOf: sent, occurredAt: '2026-04-02T09:00:00Z' });
  expect((await attention(floor, 'arrival-differs'))[0].detail).toContain('0.5 L are not accounted for');
  const loss = {
    kind: 'transit-loss',
    lostFrom: sent,
    reasonCode: 'breakage',
    evidence: { document: 'ADM-1' },
    occurredAt: '2026-04-03T09:00:00Z',
  };
  expect(await refused(floor, '/v1/movements', { ...loss, count: 46 })).toEqual([
    409,
    'conflict',
    '/lostFrom',
    'more-than-outstanding',
  ]);
  const lost = (await floor.post('/v1/movements', { ...loss, count: 1 })) as unknown as Movement;
  expect(lost).toMatchObject({ lostFrom: sent, packagedLotId: bottles, litres: L(0.5), litresOfPureAlcohol: L(0.025) });
  expect(await floor.get(`/v1/movements/${lost.id}`)).toMatchObject({ ...lost });
  expect(await attention(floor, 'arrival-differs')).toEqual([]);
  const [march, april] = await reports(floor);
  expect(lineOf(march, 'dispatched-suspended')).toEqual([-24, -1.2]);
  // In April 3 came back, and 1 of what had been sent was lost: it is taken off the dispatches and stands as lost.
  expect(lineOf(april, 'dispatched-suspended')).toEqual([0.5, 0.025]);
  expect(lineOf(april, 'transit-loss')).toEqual([-0.5, -0.025]);
  expect(lineOf(april, 'returned')).toEqual([1.5, 0.075]);
  expect(april.losses).toMatchObject([{ line: 'transit-loss', reasonCode: 'breakage', litres: L(-0.5) }]);
  expect([march.reconciliation.balances, april.reconciliation.balances]).toEqual([true, true]);
  expect(april.closing.litres.value).toBe(200 + 250 - 24 + 1.5);
  // 44 are still out: a 45th cannot come back, and the recall says 44.
  const back = { kind: 'return', packagedLotId: bottles, counterparty: WAREHOUSE, occurredAt: '2026-04-05T09:00:00Z' };
  expect((await refused(floor, '/v1/movements', { ...back, count: 45 })).slice(0, 2)).toEqual([
    409,
    'insufficient-stock',
  ]);
  const recall = (await floor.get(`/v1/recalls?packagedLotId=${bottles}`)) as unknown as Recall;
  expect(recall.packagedLots[0]).toMatchObject({ returned: 3, outstanding: 44 });
  expect(recall.packagedLots[0].recipients).toMatchObject([{ operationId: sent, returned: L(1.5) }]);
  expect(recall.packagedLots[0].returns).toMatchObject([{ returnOf: [sent] }]);
  await floor.post(`/v1/operations/${lost.id}/reversal`, { reasonCode: 'did-not-happen' });
  expect(await attention(floor, 'arrival-differs')).toHaveLength(1);
  await floor.post('/v1/movements', { ...back, count: 45 });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('bulk and kegs by serial that were lost on the way', async () => {
  const { floor, lot, tank, move } = await stocked();
  const sent = await move('dispatch-suspended', {
    packagedLotId: undefined,
    lotId: lot,
    vesselId: tank,
    volume: L(100),
    counterparty: WAREHOUSE,
    evidence: { document: 'ADM-3' },
  });
  const proof = { proof: 'RR-3', arrivedVolume: L(98.5) };
  const answer = await floor.post(`/v1/movements/${sent}/proof`, proof);
  expect(answer.discrepancy).toEqual({ sent: L(100), arrived: L(98.5), short: L(1.5) });
  expect(await refused(floor, `/v1/movements/${sent}/proof`, { proof: 'X', arrivedCount: 3 })).toEqual([
    400,
    'validation-failed',
    '/arrivedCount',
    'as-sent',
  ]);
  const loss = { kind: 'transit-loss', lostFrom: sent, reasonCode: 'leak', evidence: { document: 'ADM-3' } };
  await floor.post('/v1/movements', { ...loss, volume: L(1.5), occurredAt: '2026-03-12T09:00:00Z' });
  const [march] = await reports(floor);
  expect(lineOf(march, 'dispatched-suspended')).toEqual([-98.5, -4.925]);
  expect(lineOf(march, 'transit-loss')).toEqual([-1.5, -0.075]);
  expect(await attention(floor, 'arrival-differs')).toEqual([]);

  const run = await floor.post(`/v1/lots/${lot}/packagings`, {
    vesselId: tank,
    container: 'keg',
    nominalVolume: L(30),
    count: 3,
    serials: ['K-1', 'K-2', 'K-3'],
    lotMark: 'K-1',
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-13T09:00:00Z',
  });
  const kegs = await move('export', {
    packagedLotId: run.packagedLotId,
    serials: ['K-1', 'K-2', 'K-3'],
    evidence: { document: 'EX-3' },
    occurredAt: '2026-03-14T09:00:00Z',
  });
  const stolen = { ...loss, lostFrom: kegs, occurredAt: '2026-03-16T09:00:00Z' };
  expect((await refused(floor, '/v1/movements', { ...stolen, count: 1 })).slice(0, 3)).toEqual([
    400,
    'validation-failed',
    '/serials',
  ]);
  await floor.post('/v1/movements', { ...stolen, serials: ['K-2'] });
  const { items } = (await floor.get('/v1/containers?serial=K-2')) as { items: Json[] };
  expect(items).toMatchObject([{ serial: 'K-2', state: 'out' }]);
  for (const [more, pointer] of [
    [{ packagedLotId: run.packagedLotId, count: 1 }, '/packagedLotId'],
    [{ kind: 'theft', count: 1 }, '/lostFrom'],
    [{ reasonCode: undefined, count: 1 }, '/reasonCode'],
  ] as const) {
    expect((await refused(floor, '/v1/movements', { ...stolen, ...more })).slice(0, 3)).toEqual([
      400,
      'validation-failed',
      pointer,
    ]);
  }
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('recipients: not asked for, flagged and listed, or refused, as the setting says', async () => {
  const { floor, bottles, move } = await stocked();
  const release = { kind: 'release', packagedLotId: bottles, occurredAt: DISPATCHED };
  const flagsOf = async (body: Json) => ((await floor.post('/v1/movements', body)) as unknown as Movement).flags;
  expect(await flagsOf({ ...release, count: 100 })).toBeUndefined();
  await settle(floor, { recipientRequired: 'flag' });
  // 40 bottles are 20 L: retail. One more is not.
  expect(await flagsOf({ ...release, count: 40 })).toBeUndefined();
  const flagged = (await floor.post('/v1/movements', { ...release, count: 41 })) as unknown as Movement;
  expect(flagged.flags).toMatchObject([{ code: 'recipient-missing' }]);
  expect(await floor.get(`/v1/movements/${flagged.id}`)).toMatchObject({ flags: flagged.flags });
  expect(await flagsOf({ ...release, count: 41, counterparty: 'A pub (invented)' })).toBeUndefined();
  expect(await flagsOf({ ...release, kind: 'sample', count: 1 })).toHaveLength(1);
  expect(await flagsOf({ ...release, kind: 'export', count: 1, evidence: { document: 'EX' } })).toHaveLength(1);
  const listed = await attention(floor, 'recipient-missing');
  expect(listed.map(({ detail }) => detail)).toEqual([
    'The release of 20.5 L on 10 March 2026 names nobody who received it.',
    'The sample of 0.5 L on 10 March 2026 names nobody who received it.',
    'The export of 0.5 L on 10 March 2026 names nobody who received it.',
  ]);
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  const check = (await floor.get(`/v1/periods/${items[0].id}/closing-check`)) as unknown as ClosingCheck;
  const findings = check.findings.filter(({ code }) => code === 'recipient-missing');
  expect(findings.map(({ blocks }) => blocks)).toEqual([false, false, false]);
  // Entered again with its recipient, it is settled.
  await move('release', {
    count: 41,
    counterparty: 'A pub (invented)',
    corrects: { operationId: flagged.id, reasonCode: 'typing-error' },
  });
  expect(await attention(floor, 'recipient-missing')).toHaveLength(2);
  await settle(floor, { recipientRequired: 'refuse', retailVolume: { value: 1, unit: 'L' } });
  expect(await flagsOf({ ...release, count: 2 })).toBeUndefined();
  expect(await refused(floor, '/v1/movements', { ...release, count: 3 })).toEqual([
    400,
    'validation-failed',
    '/counterparty',
    'recipient-required',
  ]);
});

test('a return without its release is refused where the setting asks for it, as is one of other goods', async () => {
  const { floor, bottles, move } = await stocked();
  const released = await move('release', { count: 10 });
  const back = { kind: 'return', packagedLotId: bottles, count: 2, counterparty: 'A shop (invented)' };
  const at = { occurredAt: '2026-04-02T09:00:00Z' };
  await floor.post('/v1/movements', { ...back, ...at });
  await settle(floor, { returnOfRequired: true });
  expect(await refused(floor, '/v1/movements', { ...back, ...at })).toEqual([
    400,
    'validation-failed',
    '/returnOf',
    'required',
  ]);
  const sample = await move('sample', { count: 1 });
  expect((await refused(floor, '/v1/movements', { ...back, ...at, returnOf: sample })).slice(0, 3)).toEqual([
    409,
    'conflict',
    '/returnOf',
  ]);
  expect(await floor.post('/v1/movements', { ...back, ...at, returnOf: released })).toMatchObject({
    returnedFrom: { matchedBy: 'named', movements: [{ movementId: released, litres: L(1) }] },
  });
});

test('an entry into a closed period is refused plainly, and so is its correction dated there', async () => {
  const { floor, bottles, move } = await stocked();
  const released = await move('release', { count: 10 });
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  await settle(floor, { allowIncompleteDuty: true });
  await floor.post(`/v1/periods/${items[0].id}/closing`, {});
  const release = { kind: 'release', packagedLotId: bottles, count: 12, occurredAt: DISPATCHED };
  expect((await refused(floor, '/v1/movements', release)).slice(0, 2)).toEqual([409, 'period-closed']);
  const corrects = { operationId: released, reasonCode: 'wrong-count' };
  expect((await refused(floor, '/v1/movements', { ...release, corrects })).slice(0, 2)).toEqual([409, 'period-closed']);
});
