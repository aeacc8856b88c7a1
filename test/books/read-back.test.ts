import type { Floor } from '../support/floor.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { FullProducer } from '../support/full-producer.js';
import { APRIL_2, fullProducer } from '../support/full-producer.js';
import { collectionOf, routesOf } from '../support/routes.js';
import { TestService } from '../support/service.js';
import { writeBodies } from '../support/write-bodies.js';
import type { Json, Reading } from './read-back-again.js';
import { at, closingOf, event, MIXED, operationOf, readAgain, rounded, without } from './read-back-again.js';

// What a POST answers is what can be read afterwards: a value that was left out on its way into a table would be missing there.

let service: TestService;
let own: FullProducer;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(APRIL_2) });
  own = await fullProducer(service);
});
afterAll(() => service.stop());

const litres = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });
let vessels = 0;
const emptyVessel = ({ floor }: FullProducer): Promise<string> => floor.vessel(`EMPTY-${(vessels += 1)}`);

/** A wash that is found finished, in a vessel of its own. */
async function finished(producer: FullProducer): Promise<{ lot: string; vessel: string }> {
  const vessel = await emptyVessel(producer);
  const facts = { litres: 50, original: 1.04, final: 0.998, day: '2026-03-04', finishedDay: '2026-03-14' };
  return { lot: await producer.floor.finishedLot(vessel, facts), vessel };
}

const SETTING: Reading = {};
const TASTED = ['id', 'serving', 'chosen', 'personId', 'createdAt'];
/** Premises with one closed period in which nothing happened. */
async function closedAt(floor: Floor, name: string): Promise<{ premisesId: string; periodId: string }> {
  const premisesId = String((await floor.post('/v1/premises', { name, timeZone: 'Europe/London' })).id);
  const periodId = String((await floor.post('/v1/periods', { premisesId, month: '2026-02' })).id);
  await floor.post(`/v1/periods/${periodId}/closing`, {});
  return { premisesId, periodId };
}
const PACKED: Reading = {
  reads: ({ packagedLotId }) => ({ packed: `/v1/packaged-lots/${String(packagedLotId)}` }),
  answered: {
    packagedLotId: 'packed/id',
    lotMark: 'packed/lotMark',
    count: 'packed/count',
    labelCheck: 'operation/document/labelCheck',
    strength: 'packed/strength',
    expandedUncertainty: 'packed/expandedUncertainty',
  },
  notKept: ['loss', 'warnings'],
};

const MATERIAL_ENTRY: Reading = {
  id: async ({ floor, ids }) => {
    const { id } = await floor.post('/v1/materials', { name: `Salt ${Math.random()}`, kind: 'water-salt' });
    const lot = { materialId: id, premisesId: ids.premises, code: 'S-1', volume: { value: 25, unit: 'L' } };
    return String((await floor.post('/v1/material-lots', { ...lot, occurredAt: '2026-03-01T10:00:00Z' })).id);
  },
  reads: (answer, id) => ({ ...operationOf(answer), lot: `/v1/material-lots/${id}` }),
  answered: {
    operationId: 'operation/id',
    kind: 'operation/kind',
    occurredAt: 'operation/occurredAt',
    materialLotId: 'operation/document/materialLotId',
    quantity: 'operation/document/quantity',
    onHand: 'lot/onHand',
  },
  notKept: ['change', 'flags'],
  given: { quantity: 'operation/document/quantity', reasonCode: 'operation/reasonCode' },
};

/** Every POST that writes, in an order in which one producer can carry all of them out. */
const ROUTES: Readonly<Record<string, Reading>> = {
  'POST /v1/keys': { notKept: ['key'] },
  'POST /v1/keys/{id}/revocation': { reads: (_, id) => ({ made: `/v1/keys/${id}` }) },
  'POST /v1/premises': SETTING,
  'POST /v1/people': SETTING,
  'POST /v1/people/{id}/forgetting': {
    id: async ({ floor }) => String((await floor.post('/v1/people', { name: 'To be forgotten' })).id),
    reads: (_, id) => ({ person: `/v1/people/${id}` }),
    answered: { id: 'person/id' },
    notKept: ['forgottenAt'],
  },
  'POST /v1/periods': SETTING,
  'POST /v1/vessels': { added: ['contents'], notKept: ['flags'] },
  'POST /v1/instruments': SETTING,
  'POST /v1/instruments/{id}/calibrations': {
    reads: (_, id) => ({ listed: `/v1/instruments/${id}/calibrations` }),
    from: ({ listed }) => (listed.items as Json[])[1],
  },
  'POST /v1/materials': SETTING,
  'POST /v1/recipes': SETTING,
  'POST /v1/recipes/{id}/versions': SETTING,
  'POST /v1/lots': { added: ['contents'] },
  'POST /v1/tastings': { added: ['answers'] },
  // A single answer is shown in the panel of the closed tasting only: test/production/tastings reads it there.
  'POST /v1/tastings/{id}/answers': { answered: { tastingId: 'made/id' }, notKept: [...TASTED] },
  'POST /v1/duty-rule-sets': SETTING,
  'POST /v1/return-mappings': SETTING,
  'POST /v1/lots/{id}/steps': {
    reads: (_, id) => ({ steps: `/v1/lots/${id}/steps` }),
    from: ({ steps }) => (steps.entered as Json[])[0],
  },
  'POST /v1/lots/{id}/readings': { added: ['recordedAt'] },
  'POST /v1/readings/{id}/strike': {
    reads: (answer, id) => ({
      reading: `/v1/readings/${id}`,
      replacement: `/v1/readings/${String((answer.replacement as Json).id)}`,
    }),
    from: ({ reading, replacement }) => ({
      reading: { ...reading, struck: without(reading.struck as Json, 'recordedAt') },
      replacement: without(replacement, 'recordedAt'),
    }),
  },
  'POST /v1/readings/{id}/confirmation': {
    // After the finished lot's 0.998 a higher gravity is doubtful.
    id: async (producer) => producer.floor.gravity((await finished(producer)).lot, 1.01, '2026-03-14T12:00:00Z'),
    reads: (_, id) => ({ reading: `/v1/readings/${id}` }),
    from: ({ reading }) => reading,
  },
  'POST /v1/readings/{id}/correction': {
    id: async (producer) => producer.floor.gravity((await finished(producer)).lot, 1, '2026-03-14T12:00:00Z'),
    reads: (answer, id) => ({
      reading: `/v1/readings/${id}`,
      replacement: `/v1/readings/${String((answer.replacement as Json).id)}`,
    }),
    from: ({ reading, replacement }, { dryRun, findings }) => ({
      dryRun,
      findings,
      reading: { ...reading, struck: without(reading.struck as Json, 'recordedAt') },
      replacement: without(replacement, 'recordedAt'),
    }),
  },
  'POST /v1/lots/{id}/plans': { added: ['operations', 'recordedAt'] },
  'POST /v1/material-lots': { added: [], notKept: ['flags'] },
  'POST /v1/material-lots/{id}/counts': MATERIAL_ENTRY,
  'POST /v1/material-lots/{id}/write-offs': MATERIAL_ENTRY,
  'POST /v1/sample-days': {
    body: async ({ floor, ids }) => {
      const takenAt = '2026-03-20T10:00:00Z';
      const { key, service: own } = floor;
      const { body, headers } = await own.expect(200, 'get', '/v1/producer', { key });
      const settings = { ...(body as Json & { settings: Json }).settings, sampleVolume: { value: 100, unit: 'mL' } };
      const ifMatch = { 'if-match': String((headers as Json).etag) };
      await own.expect(200, 'patch', '/v1/producer', { key, body: { settings }, headers: ifMatch });
      await floor.gravity(ids.lots, 1.0, takenAt, { vesselId: ids.vessels });
      return { day: takenAt.slice(0, 10) };
    },
    reads: ({ samples }) => {
      const [{ movementId }] = samples as Json[];
      return { movement: `/v1/movements/${String(movementId)}`, operation: `/v1/operations/${String(movementId)}` };
    },
    from: ({ movement, operation }) => {
      const { litres, litresOfPureAlcohol, lotId, premisesId } = movement;
      const { vesselId, readings, samplesOf } = operation.document as Json;
      const sample = { movementId: movement.id, lotId, vesselId, readings, litres, litresOfPureAlcohol };
      return { premisesId, day: samplesOf, samples: [sample] };
    },
  },
  'POST /v1/lots/{id}/findings': {
    added: ['recordedAt'],
  },
  'POST /v1/lots/{id}/charges': event({
    id: ({ floor }) => floor.lot(),
    body: async (producer) => ({ vesselId: await emptyVessel(producer), temperature: { value: 20, unit: 'Cel' } }),
    answered: { warnings: 'operation/document/warnings', flags: 'operation/document/flags' },
    given: { vesselId: 'operation/document/vesselId', volume: 'operation/document/asRead/volume' },
  }),
  'POST /v1/lots/{id}/spirit-charges': event({
    ...MIXED,
    id: ({ floor }) => floor.lot(),
    body: async (producer) => ({ vesselId: await emptyVessel(producer) }),
  }),
  'POST /v1/lots/{id}/gauges': event({
    answered: { warnings: 'operation/document/warnings', flags: 'operation/document/flags' },
    notKept: ['bookVolume', 'difference', 'standardUncertainty'],
    given: { vesselId: 'operation/document/vesselId', volume: 'operation/document/asRead/volume' },
  }),
  'POST /v1/lots/{id}/transfers': event({
    body: async (producer) => ({ toVesselId: await emptyVessel(producer) }),
    notKept: ['loss', 'warnings'],
  }),
  'POST /v1/lots/{id}/packagings': event({
    ...PACKED,
    body: async () => ({ dispense: 'draught-connector', count: 2, serials: ['K-1', 'K-2'], packagedOn: '2026-03-20' }),
    // Of the flags the document keeps the codes.
    notKept: [...(PACKED.notKept ?? []), 'fillDifference', 'gain', 'rest', 'flags'],
    given: {
      dispense: 'packed/dispense',
      container: 'packed/container',
      count: 'packed/count',
      declaredStrength: 'packed/declaredStrength',
      packagedOn: 'packed/packagedOn',
      serials: 'operation/document/serials',
    },
  }),
  'POST /v1/packaged-lots/{id}/repackings': event({
    ...PACKED,
    answered: {
      ...PACKED.answered,
      flags: 'operation/document/flags',
      fromPackagedLotId: 'operation/document/fromPackagedLotId',
      category: 'packed/category',
      declaredStrength: 'packed/declaredStrength',
    },
  }),
  'POST /v1/packaged-lots/{id}/relabellings': event({
    ...PACKED,
    answered: {
      ...PACKED.answered,
      flags: 'operation/document/flags',
      fromPackagedLotId: 'operation/document/fromPackagedLotId',
      category: 'packed/category',
      declaredStrength: 'packed/declaredStrength',
    },
    given: { lotMark: 'packed/lotMark', count: 'packed/count' },
  }),
  'POST /v1/undo': {
    body: async ({ floor }) => {
      await floor.gravity(await floor.lot(), 1.04, '2026-03-20T08:00:00Z');
      return {};
    },
    reads: ({ id }) => ({ reading: `/v1/readings/${String(id)}` }),
    answered: { id: 'reading/id' },
    notKept: ['kind', 'action', 'enteredAt'],
  },
  'POST /v1/movements': { added: ['recordedAt'] },
  'POST /v1/movements/{id}/proof': {
    id: async ({ floor, ids }) => {
      const goods = { packagedLotId: ids['packaged-lots'], count: 1, occurredAt: '2026-03-21T08:00:00Z' };
      return String((await floor.post('/v1/movements', { kind: 'export', evidence: { document: 'D' }, ...goods })).id);
    },
    reads: (_, id) => ({ movement: `/v1/movements/${id}` }),
    answered: { movementId: 'movement/id', proof: 'movement/evidence/proof' },
  },
  'POST /v1/receipts': { added: ['recordedAt'] },
  'POST /v1/transits': { added: ['recordedAt'] },
  'POST /v1/stock-takes': {
    added: ['recordedAt'],
    body: async () => ({
      counts: [{ packagedLotId: own.ids['packaged-lots'], count: 200, reasonCode: 'counting-error' }],
    }),
  },
  'POST /v1/empties-returns': event({ answered: { serials: 'operation/document/serials', kind: 'none' } }),
  'POST /v1/lots/{id}/dilutions': event({ ...MIXED }),
  'POST /v1/lots/{id}/additions': event({
    ...MIXED,
    answered: { ...MIXED.answered, flags: 'operation/document/flags' },
  }),
  'POST /v1/lots/{id}/splits': event({
    body: async (producer) => ({ toVesselId: await emptyVessel(producer), newLotId: await producer.floor.lot() }),
    reads: ({ findingId }) => ({ finding: `/v1/findings/${String(findingId)}` }),
    answered: { findingId: 'finding/id', fromCompositionId: 'operation/document/fromCompositionId' },
    notKept: ['warnings', 'category', 'inProcess'],
  }),
  'POST /v1/lots/{id}/yeast-crops': event({
    body: async ({ floor }) => ({
      materialId: (await floor.post('/v1/materials', { name: 'Yeast', kind: 'yeast' })).id,
    }),
    reads: ({ materialLotId }) => ({ crop: `/v1/material-lots/${String(materialLotId)}` }),
    answered: { materialLotId: 'crop/id', strength: 'crop/strength' },
    notKept: ['warnings'],
    given: { materialId: 'crop/materialId', materialLotCode: 'crop/code' },
  }),
  'POST /v1/blends': event({
    ...MIXED,
    body: async (producer) => {
      const [one, other] = [await finished(producer), await finished(producer)];
      return {
        lotId: await producer.floor.lot(),
        vesselId: await emptyVessel(producer),
        components: [one, other].map(({ vessel }) => ({ vesselId: vessel, volume: litres(10) })),
      };
    },
  }),
  'POST /v1/reworks': event({
    ...MIXED,
    body: async (producer) => ({ lotId: await producer.floor.lot(), vesselId: await emptyVessel(producer) }),
  }),
  'POST /v1/openings': {
    body: async ({ floor, ids }) => {
      const premisesId = ids['other-premises'];
      await floor.post('/v1/periods', { premisesId, startsOn: '2026-03-01', endsBefore: '2026-04-01' });
      const lotId = await floor.lot('beer', { premisesId });
      const lots = {
        lotId,
        container: 'bottle',
        nominalVolume: litres(1),
        count: 3,
        lotMark: 'X',
        declaredStrength: percent(5),
      };
      return { premisesId, liquids: [], packaged: [{ ...lots, packagedOn: '2026-02-20', strength: percent(5) }] };
    },
    reads: (answer) => ({
      ...operationOf(answer),
      packed: `/v1/packaged-lots/${String((answer.packagedLotIds as string[])[0])}`,
    }),
    from: ({ operation, packed }) => ({
      operationId: operation.id,
      occurredAt: operation.occurredAt,
      packagedLotIds: [packed.id],
      compositionIds: [packed.compositionId],
    }),
    notKept: ['volume', 'pureAlcohol', 'warnings'],
  },
  'POST /v1/operations/{id}/reversal': {
    id: async ({ floor, ids }) => {
      const facts = {
        kind: 'release',
        packagedLotId: ids['packaged-lots'],
        count: 1,
        occurredAt: '2026-03-25T09:00:00Z',
      };
      return String((await floor.post('/v1/movements', facts)).id);
    },
    reads: operationOf,
    answered: {
      operationId: 'operation/id',
      occurredAt: 'operation/occurredAt',
      reverses: 'operation/document/reverses',
      kindReversed: 'operation/document/kindReversed',
    },
    given: { reasonCode: 'operation/reasonCode', personId: 'operation/personId' },
  },
  'POST /v1/operations/{id}/difference': {
    body: async () => ({ correct: { count: 299 } }),
    reads: ({ operations }) => ({ operation: `/v1/operations/${String((operations as Json[])[0].operationId)}` }),
    from: ({ operation }) => {
      const { corrects, ...document } = without(operation.document as Json, 'item', 'count', 'packagedLotId');
      const { id: operationId, premisesId, occurredAt } = operation;
      const postings = (operation.postings as Json[]).map(({ account, side, kind, litres, fermented, added }) => ({
        ...{ account, side, kind, litres, fermented, added },
      }));
      return {
        preview: false,
        corrects,
        kindCorrected: 'packaging',
        occurredAt,
        operations: [{ operationId, premisesId, postings }],
        ...document,
      };
    },
  },
  'POST /v1/transits/{id}/arrival': { reads: (_, id) => ({ made: `/v1/transits/${id}` }) },
  'POST /v1/periods/{id}/closing': {
    reads: (_, id) => ({ period: `/v1/periods/${id}`, report: `/v1/periods/${id}/report` }),
    from: closingOf,
    notKept: ['reportId'],
  },
  'POST /v1/periods/{id}/filings': {
    id: async ({ floor }) => (await closedAt(floor, 'Loft')).periodId,
    reads: (_, id) => ({ filings: `/v1/periods/${id}/filings` }),
    from: ({ filings }) => (filings.items as Json[])[0],
  },
  'POST /v1/premises/{id}/closing-down': {
    id: async ({ floor }) => (await closedAt(floor, 'Cabin')).premisesId,
    reads: (_, id) => ({ premises: `/v1/premises/${id}` }),
    from: ({ premises }) => {
      const closedDown = premises.closedDown as Json;
      const report = `/v1/periods/${String(closedDown.lastPeriodId)}/report`;
      return { premisesId: premises.id, ...closedDown, report };
    },
  },
  'POST /v1/periods/{id}/withdrawal': {
    id: async ({ floor }) => {
      const { id: premisesId } = await floor.post('/v1/premises', { name: 'Shed', timeZone: 'Europe/London' });
      return String((await floor.post('/v1/periods', { premisesId, month: '2026-02' })).id);
    },
    reads: (_, id) => ({ made: `/v1/periods/${id}` }),
  },
  'POST /v1/periods/{id}/nil-closings': {
    id: async ({ floor }) => {
      const { id: premisesId } = await floor.post('/v1/premises', { name: 'Barn', timeZone: 'Europe/London' });
      const period = { premisesId, startsOn: '2026-02-01', endsBefore: '2026-03-01' };
      return String((await floor.post('/v1/periods', period)).id);
    },
    reads: (_, id) => ({ period: `/v1/periods/${id}`, report: `/v1/periods/${id}/report` }),
    from: (read, { closings }) => ({ closings: [{ ...closingOf(read), reportId: (closings as Json[])[0].reportId }] }),
  },
};

let minute = 0;

test.each(Object.entries(ROUTES))('%s: what it answers can be read', async (name, row) => {
  const [, route] = name.split(' ');
  const id = (await row.id?.(own)) ?? own.ids[String(collectionOf(route))] ?? '';
  minute += 1;
  const example = writeBodies(own)[name];
  const occurredAt = new Date(Date.parse('2026-03-21T09:00:00Z') + minute * 60_000).toISOString();
  const body = { ...example, ...('occurredAt' in example ? { occurredAt } : {}), ...(await row.body?.(own)) };
  const { key } = own.floor;
  const headers = { 'idempotency-key': name.replaceAll(' ', '-') }; // Some bodies are entered a second time, and meant so.
  const answer = await service.call('post', route.replace('{id}', id), { key, body, headers });
  if (answer.status !== 201 && answer.status !== 200) throw new Error(`${answer.status} ${answer.text}`);
  const { location } = answer.headers as Json;
  const addresses = {
    ...(typeof location === 'string' ? { made: location } : {}),
    ...row.reads?.(answer.body, id),
  };
  const read: Record<string, Json> = {};
  for (const [what, address] of Object.entries(addresses)) {
    read[what] = (await service.expect(200, 'get', address, { key })).body as Json;
  }
  const answered = without(answer.body as Json, ...(row.notKept ?? []));
  expect(rounded(readAgain(row, read, answer.body as Json))).toEqual(rounded(answered));
  for (const [fact, path] of Object.entries(row.given ?? {})) {
    expect([fact, rounded(at(read, path))]).toEqual([fact, rounded((body as Json)[fact])]);
  }
});

test('every POST that writes is in the table, and the books hold', async () => {
  const routes = (await routesOf(service)).filter(
    ({ method, writes, access }) => method === 'post' && writes && access !== 'operator',
  );
  expect(Object.keys(ROUTES).sort()).toEqual(routes.map(({ name }) => name).sort());
  await expectBooksHold(service, own.floor.producerId, own.floor.key);
});
