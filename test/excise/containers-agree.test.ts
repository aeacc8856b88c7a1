import { SteppableClock } from '../../src/platform/clock.js';
import type { Container } from '../../src/production/operations/containers/containers.dto.js';
import { expectBooksHold } from '../support/books-hold.js';
import type { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import type { Json } from './containers-world.js';
import { day, kegs, L, move, states } from './containers-world.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

/** The books of a packaged lot and the list of its containers hold the same, by premises. */
async function expectListAgrees(floor: Floor, packagedLotId: string): Promise<void> {
  const sums = (items: readonly { premisesId: string; litres?: { value: number } }[]) => {
    const by = new Map<string, number>();
    items.forEach(({ premisesId, litres }) => by.set(premisesId, (by.get(premisesId) ?? 0) + (litres?.value ?? 0)));
    return Object.fromEntries([...by].filter(([, value]) => value !== 0).sort());
  };
  const listed = (await floor.get(`/v1/containers?packagedLotId=${packagedLotId}&state=in-stock`)).items as Container[];
  const accounts = (await floor.get(`/v1/accounts?packagedLotId=${packagedLotId}`)).items as {
    kind: string;
    premisesId: string;
    litres: { value: number };
  }[];
  expect(sums(listed)).toEqual(sums(accounts.filter(({ kind }) => kind === 'packaged')));
}

test('whatever moves kegs with serials asks for their serials, naming how many, and stores nothing without', async () => {
  const { floor, packagedLotId } = await kegs(service);
  const other = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: other, startsOn: '2026-03-01', endsBefore: '2026-04-01' });
  await move(floor, { kind: 'release', packagedLotId, serials: ['K-1'], ...day('06') });
  const goods = { packagedLotId, count: 2, ...day('10') };
  const loss = { ...goods, reasonCode: 'leak', evidence: { method: 'poured off' } };
  const [emptyLot, emptyTank] = [await floor.lot('cider'), await floor.vessel('R3', 'tank')];
  const before = await service.rowCounts();
  const asked: [name: string, path: string, body: Json, words: string][] = [
    ['release', '/v1/movements', { kind: 'release', ...goods }, 'serials of the 2 kegs'],
    ['sample', '/v1/movements', { kind: 'sample', ...goods, count: undefined, volume: L(0.5) }, 'serial of the 1 keg'],
    ['loss', '/v1/movements', { kind: 'accidental-loss', ...loss, evidence: undefined }, 'serials of the 2 kegs'],
    [
      'destruction',
      '/v1/movements',
      { kind: 'destruction', ...loss, witness: 'Witness W (invented)' },
      'serials of the 2 kegs',
    ],
    ['return', '/v1/movements', { kind: 'return', ...goods, count: 1, counterparty: 'X' }, 'serial of the 1 keg'],
    ['transit', '/v1/transits', { ...goods, toPremisesId: other, document: 'DOC-1' }, 'serials of the 2 kegs'],
    [
      'stock-take',
      '/v1/stock-takes',
      { premisesId: floor.premisesId, counts: [{ packagedLotId, count: 2 }], ...day('10') },
      'serials of the 2 kegs',
    ],
    ['rework', '/v1/reworks', { ...goods, lotId: emptyLot, vesselId: emptyTank }, 'serials of the 2 kegs'],
    [
      'repacking',
      `/v1/packaged-lots/${packagedLotId}/repackings`,
      { count: 1, into: { container: 'bottle', nominalVolume: L(0.5), count: 38 }, ...day('10') },
      'serial of the 1 keg',
    ],
    [
      'relabelling',
      `/v1/packaged-lots/${packagedLotId}/relabellings`,
      { count: 2, lotMark: 'OTHER', ...day('10') },
      'serials of the 2 kegs',
    ],
  ];
  for (const [name, path, body, words] of asked) {
    const refused = await service.call('post', path, { key: floor.key, body });
    const [error] = (problemOf(refused).errors ?? []) as unknown as {
      rule: string;
      detail: string;
      needed: number;
    }[];
    expect([name, refused.status, error?.rule, error?.detail.includes(words)]).toEqual([
      name,
      400,
      'serials-needed',
      true,
    ]);
    expect(error).toHaveProperty('needed');
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('sent, arrived, missed, found, relabelled and repacked: the books and the list agree after every step', async () => {
  const { floor, packagedLotId } = await kegs(service);
  const other = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: other, startsOn: '2026-03-01', endsBefore: '2026-04-01' });
  const agree = () => expectListAgrees(floor, packagedLotId);
  await agree();
  await move(floor, { kind: 'sample', packagedLotId, serials: ['K-1'], volume: L(1.5), ...day('06') });
  expect(await states(floor, '?serial=K-1')).toEqual([['K-1', 'in-stock', 'part-drawn', 17.5]]);
  await agree();
  const sent = await floor.post('/v1/transits', {
    packagedLotId,
    count: 2,
    serials: ['K-2', 'K-3'],
    toPremisesId: other,
    document: 'DOC-1',
    ...day('07'),
  });
  expect(await states(floor, '?state=on-the-way')).toEqual([
    ['K-2', 'on-the-way', 'sent', 19],
    ['K-3', 'on-the-way', 'sent', 19],
  ]);
  await agree();
  await floor.post(`/v1/transits/${String(sent.id)}/arrival`, {
    count: 1,
    serials: ['K-2'],
    reasonCode: 'breakage',
    ...day('08'),
  });
  expect(await states(floor)).toEqual([
    ['K-1', 'in-stock', 'part-drawn', 17.5],
    ['K-2', 'in-stock', 'arrived', 19],
    ['K-3', 'missing', 'missing', 19],
  ]);
  await agree();
  // A keg is drawn where it stands.
  const elsewhere = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: { kind: 'sample', packagedLotId, serials: ['K-2'], volume: L(1), ...day('09') },
  });
  expect(problemOf(elsewhere).code).toBe('container-elsewhere');
  const take = (premisesId: string, serials: string[], d: string) =>
    floor.post('/v1/stock-takes', {
      premisesId,
      counts: [
        {
          packagedLotId,
          count: serials.length,
          ...(serials.length === 0 ? {} : { serials }),
          reasonCode: 'counting-error',
        },
      ],
      ...day(d),
    });
  const missed = (await take(floor.premisesId, [], '10')) as { counts: { difference: { value: number } }[] };
  expect(missed.counts[0].difference.value).toBe(-17.5);
  expect(await states(floor, '?state=missing')).toEqual([
    ['K-1', 'missing', 'missing', 17.5],
    ['K-3', 'missing', 'missing', 19],
  ]);
  await agree();
  await take(floor.premisesId, ['K-1'], '11');
  await take(other, ['K-2', 'K-3'], '11');
  expect((await states(floor)).map(([serial, state, event, litres]) => [serial, state, event, litres])).toEqual([
    ['K-1', 'in-stock', 'found', 17.5],
    ['K-2', 'in-stock', 'arrived', 19],
    ['K-3', 'in-stock', 'found', 19],
  ]);
  await agree();
  const vesselId = await floor.vessel('T9', 'tank');
  await floor.post('/v1/reworks', {
    packagedLotId,
    volume: L(10),
    serials: ['K-1'],
    lotId: await floor.lot('cider'),
    vesselId,
    ...day('12'),
  });
  expect(await states(floor, '?serial=K-1')).toEqual([['K-1', 'in-stock', 'part-drawn', 7.5]]);
  await agree();
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('kegs under another label, and kegs opened into other kegs, take their serials along', async () => {
  const { floor, packagedLotId } = await kegs(service);
  const relabelled = await floor.post(`/v1/packaged-lots/${packagedLotId}/relabellings`, {
    count: 2,
    serials: ['K-1', 'K-2'],
    lotMark: 'OTHER',
    ...day('06'),
  });
  const other = String(relabelled.packagedLotId);
  expect(await states(floor, `?packagedLotId=${other}`)).toEqual([
    ['K-1', 'in-stock', 'relabelled', 19],
    ['K-2', 'in-stock', 'relabelled', 19],
  ]);
  await expectListAgrees(floor, packagedLotId);
  await expectListAgrees(floor, other);
  const wrongLot = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: { kind: 'release', packagedLotId, serials: ['K-1'], ...day('07') },
  });
  expect(problemOf(wrongLot).code).toBe('container-elsewhere');
  const repacked = await floor.post(`/v1/packaged-lots/${other}/repackings`, {
    count: 1,
    serials: ['K-1'],
    into: { container: 'keg', nominalVolume: L(9), count: 2, serials: ['S-1', 'S-2'] },
    ...day('08'),
  });
  const small = String(repacked.packagedLotId);
  expect(await states(floor)).toEqual([
    ['K-1', 'empty', 'emptied', 19],
    ['K-2', 'in-stock', 'relabelled', 19],
    ['K-3', 'in-stock', 'filled', 19],
    ['S-1', 'in-stock', 'filled', 9],
    ['S-2', 'in-stock', 'filled', 9],
  ]);
  for (const id of [packagedLotId, other, small]) await expectListAgrees(floor, id);
  await move(floor, { kind: 'release', packagedLotId: small, serials: ['S-2'], ...day('09') });
  await expectListAgrees(floor, small);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a keg that a stock-take missed and that had been sold before is out', async () => {
  const { floor, packagedLotId } = await kegs(service);
  const taken = (await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    counts: [{ packagedLotId, count: 2, serials: ['K-1', 'K-2'] }],
    ...day('10'),
  })) as { counts: { operationId: string }[] };
  const [{ operationId }] = taken.counts;
  await move(floor, { kind: 'release', packagedLotId, serials: ['K-3'], explains: operationId, ...day('08') });
  expect(await states(floor, '?serial=K-3')).toEqual([['K-3', 'out', 'out', 19]]);
  await expectListAgrees(floor, packagedLotId);
  await move(floor, { kind: 'return', packagedLotId, serials: ['K-3'], counterparty: 'X (invented)', ...day('12') });
  expect(await states(floor, '?serial=K-3')).toEqual([['K-3', 'in-stock', 'back', 19]]);
  await expectListAgrees(floor, packagedLotId);
});
