import { REPORT_LINES } from '../../src/ledger/figures/report-lines.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { withConnection } from '../../src/platform/database/connection.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { holds, kg, L, materialLot, percent, refused } from '../production/changes-world.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { everyKind } from './every-kind.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-03-31T21:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const WEIR = 'Weir Brewery, at the / lock (invented)';
const MAY_HAVE_OWNER = ['/v1/lots', '/v1/material-lots'];
const MONTHS: [string, string][] = [
  ['2026-02-01', '2026-03-01'],
  ['2026-03-01', '2026-04-01'],
];

/** A floor on which every lot and material lot that is made belongs to somebody. */
async function floorOf(owner?: string): Promise<Floor> {
  const floor = await Floor.open(service, MONTHS);
  const post = floor.post.bind(floor);
  floor.post = (path, body, ...rest) =>
    post(path, owner !== undefined && MAY_HAVE_OWNER.includes(path) ? { owner, ...body } : body, ...rest);
  return floor;
}

/** Whose accounts of each side the producer has, however little is on them. */
const ownersOf = (floor: Floor): Promise<string[]> =>
  withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<{ seen: string }>(
      `SELECT DISTINCT side || ' ' || owner AS seen FROM account WHERE producer_id = $1 ORDER BY 1`,
      [floor.producerId],
    );
    return rows.map(({ seen }) => seen);
  });
const HELD = [`nominal ${WEIR}`, `stock ${WEIR}`];

const reportOf = async (floor: Floor, month: number) => {
  const { id } = ((await floor.get(`/v1/periods?premisesId=${floor.premisesId}`)).items as { id: string }[])[month];
  return (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
};

test('every kind of operation keeps the owner, and the report is the same but for whose it is', async () => {
  const [held, own] = [await floorOf(WEIR), await floorOf()];
  for (const floor of [held, own]) {
    await everyKind(floor);
  }
  expect(await ownersOf(held)).toEqual(HELD);
  expect(await ownersOf(own)).toEqual(['nominal own', 'stock own']);
  const [theirs, ours] = [await reportOf(held, 1), await reportOf(own, 1)];
  expect(theirs.reconciliation.balances).toBe(true);
  expect(theirs.lines.map(({ line }) => line)).toEqual([...REPORT_LINES]);
  const figures = ({ lines }: PeriodReport) =>
    lines.map(({ line, litres, litresOfPureAlcohol }) => [line, litres.value, litresOfPureAlcohol.value]);
  expect(figures(theirs)).toEqual(figures(ours));
  expect(theirs.stock.items.length).toBeGreaterThan(5);
  expect(theirs.stock.items.map(({ owner }) => owner)).toEqual(theirs.stock.items.map(() => WEIR));
  expect(ours.stock.items.filter(({ owner }) => owner !== undefined)).toEqual([]);
  await holds(held);
}, 60_000);

const AT = '2026-03-10T12:00:00Z';
const SPIRIT = { name: 'Spirit', kind: 'spirit', strength: percent(96) };

test('spirit, yeast, goods in transit and reworked, a later laboratory value and a wrong count keep the owner too', async () => {
  const floor = await floorOf(WEIR);
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: hill, startsOn: '2026-03-01', endsBefore: '2026-04-01' });
  const { lots, vessels, packaged } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [
      { vessel: 'A', category: 'cider', litres: 200, volumeU: 0.5, percent: 5, strengthU: 0.05 },
      { vessel: 'M', category: 'perry', litres: 90, volumeU: 0.5, percent: 6, strengthU: 0.05 },
    ],
    [{ mark: 'B', category: 'cider', count: 50, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  const spirit = await materialLot(floor, SPIRIT, { volume: L(20) });
  expect(await floor.get(`/v1/material-lots/${spirit.materialLotId}`)).toMatchObject({ owner: WEIR });
  await floor.post(`/v1/lots/${await floor.lot('spirits')}/spirit-charges`, {
    vesselId: await floor.vessel('S'),
    spirits: [{ materialLotId: spirit.materialLotId, volume: L(10) }],
    water: L(10),
    occurredAt: AT,
  });
  const yeast = await floor.post('/v1/materials', { name: 'Yeast', kind: 'yeast' });
  const crop = await floor.post(`/v1/lots/${lots[0]}/yeast-crops`, {
    vesselId: vessels[0],
    materialId: yeast.id,
    materialLotCode: 'Y',
    volume: L(2),
    occurredAt: AT,
  });
  expect(await floor.get(`/v1/material-lots/${String(crop.materialLotId)}`)).toMatchObject({ owner: WEIR });
  const pack = (n: number) =>
    floor.post(`/v1/lots/${lots[n]}/packagings`, {
      vesselId: vessels[n],
      container: 'bottle',
      nominalVolume: L(0.5),
      count: 100,
      declaredStrength: percent(5),
      loss: L(0),
      emptied: false,
      occurredAt: AT,
    });
  await pack(0);
  const run = await pack(1);
  await floor.post(`/v1/lots/${lots[0]}/findings`, {
    method: 'certificate',
    certificate: { strength: percent(5.2), expandedUncertainty: { value: 0.1, unit: '%' }, coverageFactor: 2 },
    occurredAt: '2026-03-12T12:00:00Z',
  });
  const bulk = { lotId: lots[0], vesselId: vessels[0], volume: L(20) };
  const there = {
    lotId: await floor.lot('cider', { premisesId: hill }),
    vesselId: await floor.vessel('H', 'tank', hill),
  };
  for (const [goods, arrival] of [
    [
      { packagedLotId: packaged[0], count: 10 },
      { count: 9, reasonCode: 'breakage' },
    ],
    [bulk, { ...there, volume: L(20) }],
  ]) {
    const sent = { ...goods, toPremisesId: hill, document: 'D', occurredAt: '2026-03-13T12:00:00Z' };
    const { id } = await floor.post('/v1/transits', sent);
    await floor.post(`/v1/transits/${String(id)}/arrival`, { ...arrival, occurredAt: '2026-03-14T12:00:00Z' });
  }
  await floor.post('/v1/movements', {
    kind: 'own-use',
    packagedLotId: packaged[0],
    premisesId: hill,
    count: 1,
    occurredAt: '2026-03-15T12:00:00Z',
  });
  const released = { packagedLotId: packaged[0], count: 4 };
  await floor.post('/v1/movements', { kind: 'release', ...released, occurredAt: '2026-03-16T12:00:00Z' });
  for (const dutyStatus of ['suspended', 'paid']) {
    const back = { kind: 'return', packagedLotId: packaged[0], count: 2, dutyStatus, counterparty: 'Inn (invented)' };
    await floor.post('/v1/movements', { ...back, occurredAt: '2026-03-17T12:00:00Z' });
  }
  const paid = { packagedLotId: packaged[0], count: 1, dutyStatus: 'paid' };
  await floor.post('/v1/movements', {
    kind: 'destruction',
    ...paid,
    reasonCode: 'breakage',
    evidence: { method: 'poured away' },
    witness: 'W',
    occurredAt: '2026-03-18T12:00:00Z',
  });
  const sample = { kind: 'sample', ...bulk, volume: L(1), occurredAt: '2026-03-19T12:00:00Z' };
  const taken = await floor.post('/v1/movements', sample);
  await floor.post(`/v1/operations/${String(taken.id)}/reversal`, { reasonCode: 'misread' });
  const again = await floor.lot('cider');
  const rework = { packagedLotId: packaged[0], count: 5, lotId: again, vesselId: await floor.vessel('R') };
  await floor.post('/v1/reworks', { ...rework, occurredAt: '2026-03-20T12:00:00Z' });
  await floor.post(`/v1/operations/${String(run.operationId)}/difference`, {
    correct: { count: 98 },
    reasonCode: 'wrong-count',
  });
  expect(await ownersOf(floor)).toEqual(HELD);
  const { items } = (await reportOf(floor, 1)).stock;
  expect(items.filter(({ dutyStatus }) => dutyStatus === 'paid')).toMatchObject([{ owner: WEIR, count: 1 }]);
  await holds(floor);
}, 60_000);

test('what belongs to another owner does not become part of it: refused with its place, nothing stored', async () => {
  const floor = await Floor.open(service, MONTHS);
  const [theirs, ours] = [await floor.lot('cider', { owner: WEIR }), await floor.lot('cider', { owner: 'own' })];
  expect(await floor.get(`/v1/lots/${theirs}`)).toMatchObject({ owner: WEIR });
  expect((await floor.get(`/v1/lots/${ours}`)).owner).toBeUndefined();
  const [A, B, C] = [await floor.vessel('A'), await floor.vessel('B'), await floor.vessel('C')];
  const sugar = await materialLot(floor, { name: 'Sugar', kind: 'sugar', fermentable: 'sucrose' }, { mass: kg(25) });
  const spirit = await materialLot(floor, SPIRIT, { volume: L(20) });
  const other = { code: 'conflict', rule: 'other-owner' };
  const charge = { vesselId: A, volume: L(100), occurredAt: '2026-03-02T12:00:00Z' };
  const { materialLotId } = sugar;
  await refused(
    floor,
    `/v1/lots/${theirs}/charges`,
    { ...charge, materials: [{ materialLotId, mass: kg(1) }] },
    {
      ...other,
      pointer: '/materials/0/materialLotId',
    },
  );
  const spirits = [{ materialLotId: spirit.materialLotId, volume: L(1) }];
  await refused(
    floor,
    `/v1/lots/${theirs}/spirit-charges`,
    { vesselId: A, spirits, water: L(1), occurredAt: AT },
    {
      ...other,
      pointer: '/spirits/0/materialLotId',
    },
  );
  const opened = (lotId: string, vesselId: string): Json => ({ lotId, vesselId, volume: L(100), strength: percent(5) });
  const bottles = { container: 'bottle', nominalVolume: L(0.5), count: 10, lotMark: 'B', declaredStrength: percent(5) };
  const opening = await floor.post('/v1/openings', {
    premisesId: floor.premisesId,
    occurredAt: '2026-03-01T00:00:00Z',
    liquids: [opened(theirs, A), opened(ours, B)],
    packaged: [{ ...bottles, lotId: theirs, packagedOn: '2026-02-20' }],
  });
  const [packagedLotId] = opening.packagedLotIds as string[];
  const added = { vesselId: A, purpose: 'sugar', materialLotId, mass: kg(1), occurredAt: AT };
  await refused(floor, `/v1/lots/${theirs}/additions`, added, { ...other, pointer: '/materialLotId' });
  const split = { fromVesselId: A, toVesselId: C, volume: L(10), newLotId: ours, occurredAt: AT };
  await refused(floor, `/v1/lots/${theirs}/splits`, split, { ...other, pointer: '/newLotId' });
  const part = (vesselId: string): Json => ({ vesselId, volume: L(10) });
  const blend = { lotId: theirs, vesselId: C, occurredAt: AT };
  await refused(
    floor,
    '/v1/blends',
    { ...blend, components: [part(A), part(B)] },
    {
      code: 'conflict',
      pointer: '/components/1/vesselId',
      rule: 'kept-apart',
    },
  );
  const wash = { volume: L(10), gravity: { value: 1.05, scale: 'sg-20-20' } };
  await refused(
    floor,
    '/v1/blends',
    { ...blend, lotId: ours, components: [part(A)], wash },
    { ...other, pointer: '/lotId' },
  );
  const rework = { packagedLotId, count: 2, lotId: ours, vesselId: C, occurredAt: AT };
  await refused(floor, '/v1/reworks', rework, { ...other, pointer: '/lotId' });
  for (const [name, code] of [
    ['', 'validation-failed'],
    ['x'.repeat(121), 'validation-failed'],
    ['two\nlines', 'validation-failed'],
  ]) {
    const lot = { premisesId: floor.premisesId, category: 'cider', owner: name };
    await refused(floor, '/v1/lots', lot, { code, pointer: '/owner' });
  }
  await holds(floor);
});
