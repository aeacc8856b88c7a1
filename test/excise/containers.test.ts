import { SteppableClock } from '../../src/platform/clock.js';
import type { Container } from '../../src/production/operations/containers/containers.dto.js';
import { expectBooksHold } from '../support/books-hold.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import type { Json } from './containers-world.js';
import { day, kegs, L, move, states } from './containers-world.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

test('a keg is filled, goes out, comes back part full by measure, is emptied and filled again; the list says where each is', async () => {
  const { floor, run, path, packagedLotId } = await kegs(service);
  const out = await move(floor, {
    kind: 'release',
    packagedLotId,
    serials: ['K-1', 'K-2'],
    counterparty: 'Corner house (invented)',
    ...day('06'),
  });
  expect(out).toMatchObject({ count: 2, serials: ['K-1', 'K-2'], litres: { value: 38 } });
  expect(await floor.get(`/v1/movements/${String(out.id)}`)).toMatchObject({ serials: ['K-1', 'K-2'] });
  expect(await states(floor)).toEqual([
    ['K-1', 'out', 'out', 19],
    ['K-2', 'out', 'out', 19],
    ['K-3', 'in-stock', 'filled', 19],
  ]);
  const [first] = (await floor.get('/v1/containers?state=out&limit=1')).items as Container[];
  expect(first).toMatchObject({
    serial: 'K-1',
    counterparty: 'Corner house (invented)',
    packagedLotId,
    operationId: out.id,
  });
  const back = await move(floor, {
    kind: 'return',
    packagedLotId,
    serials: ['K-1'],
    volume: L(6.5),
    counterparty: 'Corner house (invented)',
    ...day('10'),
  });
  expect(back).toMatchObject({ litres: { value: 6.5 }, litresOfPureAlcohol: { value: 0.325 } });
  expect(await states(floor, '?serial=K-1')).toEqual([['K-1', 'in-stock', 'back', 6.5]]);
  await move(floor, {
    kind: 'destruction',
    packagedLotId,
    serials: ['K-1'],
    volume: L(6.5),
    reasonCode: 'past-date',
    evidence: { method: 'poured off' },
    witness: 'Witness W (invented)',
    ...day('11'),
  });
  await floor.post('/v1/empties-returns', { premisesId: floor.premisesId, serials: ['K-2', 'K-9'], ...day('11') });
  expect(await states(floor, '?state=empty')).toEqual([
    ['K-1', 'empty', 'emptied', 6.5],
    ['K-2', 'empty', 'came-empty', undefined],
    ['K-9', 'empty', 'came-empty', undefined],
  ]);
  const again = await floor.post(path, run(['K-1', 'K-2'], day('12')));
  expect(await states(floor, `?packagedLotId=${String(again.packagedLotId)}`)).toEqual([
    ['K-1', 'in-stock', 'filled', 19],
    ['K-2', 'in-stock', 'filled', 19],
  ]);
  await floor.post('/v1/reworks', {
    packagedLotId,
    count: 1,
    serials: ['K-3'],
    lotId: await floor.lot('cider'),
    vesselId: await floor.vessel('R1', 'tank'),
    ...day('13'),
  });
  expect(await states(floor, '?serial=K-3')).toEqual([['K-3', 'empty', 'emptied', 19]]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what a container cannot have done is refused, naming it and what stands in the way, and nothing is stored', async () => {
  const { floor, run, path, packagedLotId, filled } = await kegs(service);
  const out = await move(floor, { kind: 'release', packagedLotId, serials: ['K-1'], ...day('10') });
  const other = await kegs(service);
  const sale = (more: Json) => ({ kind: 'release', packagedLotId, ...day('11'), ...more });
  const back = { kind: 'return', packagedLotId, counterparty: 'X (invented)', ...day('11') };
  const before = await service.rowCounts();
  const elsewhere: [name: string, path: string, body: Json, serial: string, operation: unknown][] = [
    ['filled while full', path, run(['K-2'], day('06')), 'K-2', filled.operationId],
    ['filled while out', path, run(['K-1'], day('11')), 'K-1', out.id],
    ['filled before it was', path, run(['K-3'], day('04')), 'K-3', filled.operationId],
    ['sold twice', '/v1/movements', sale({ serials: ['K-1'] }), 'K-1', out.id],
    [
      'sold before it was, under another sale',
      '/v1/movements',
      sale({ serials: ['K-1'], ...day('07') }),
      'K-1',
      out.id,
    ],
    ['never filled', '/v1/movements', sale({ serials: ['K-7'] }), 'K-7', undefined],
    ['back that never went', '/v1/movements', { ...back, serials: ['K-2'] }, 'K-2', filled.operationId],
    [
      'empty that is full',
      '/v1/empties-returns',
      { premisesId: floor.premisesId, serials: ['K-2'], ...day('11') },
      'K-2',
      filled.operationId,
    ],
  ];
  for (const [name, to, body, serial, operation] of elsewhere) {
    const refused = await service.call('post', to, { key: floor.key, body });
    expect([name, refused.status, problemOf(refused).code, refused.body.serial, refused.body.operation]).toEqual([
      name,
      409,
      'container-elsewhere',
      serial,
      operation,
    ]);
  }
  const malformed: [name: string, path: string, body: Json, pointer: string][] = [
    ['twice in a run', path, run(['K-5', 'K-5'], day('11')), '/serials'],
    ['one too few', path, run(['K-5'], { count: 2, ...day('11') }), '/serials'],
    ['two in a sale of three', '/v1/movements', sale({ count: 3, serials: ['K-2', 'K-3'] }), '/serials'],
    ['two for one measure', '/v1/movements', { ...back, serials: ['K-1', 'K-2'], volume: L(3) }, '/serials'],
    [
      'of bulk',
      '/v1/movements',
      { kind: 'sample', lotId: other.lotId, vesselId: packagedLotId, volume: L(1), serials: ['K-1'] },
      '/serials',
    ],
  ];
  for (const [name, to, body, pointer] of malformed) {
    const refused = await service.call('post', to, { key: floor.key, body });
    expect([name, refused.status, problemOf(refused).errors?.[0].pointer.startsWith(pointer)]).toEqual([
      name,
      400,
      true,
    ]);
  }
  expect(await service.rowCounts()).toEqual(before);
  // The run is not undone under the sale of one of its kegs; the sale is, and then the keg is full again.
  const undo = (id: unknown) =>
    service.call('post', `/v1/operations/${String(id)}/reversal`, {
      key: floor.key,
      body: { reasonCode: 'did-not-happen' },
    });
  expect((await undo(filled.operationId)).status).toBe(409);
  expect((await undo(out.id)).status).toBe(201);
  expect(await states(floor, '?serial=K-1')).toEqual([['K-1', 'in-stock', 'filled', 19]]);
  expect((await undo(filled.operationId)).status).toBe(201);
  expect(await states(floor)).toEqual([]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('one keg sold by several at once is sold once', async () => {
  const { floor, packagedLotId } = await kegs(service);
  const sale = { kind: 'release', packagedLotId, serials: ['K-1'], ...day('11') };
  const answers = await Promise.all(
    [1, 2, 3].map(() => service.call('post', '/v1/movements', { key: floor.key, body: sale })),
  );
  expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('the count of a run with serials is what its serials are: it is not put right beside them', async () => {
  const { floor, filled } = await kegs(service);
  const before = await service.rowCounts();
  const path = `/v1/operations/${String(filled.operationId)}/difference`;
  const refused = await service.call('post', path, {
    key: floor.key,
    body: { correct: { count: 2 }, reasonCode: 'wrong-count' },
  });
  expect([problemOf(refused).code, problemOf(refused).errors?.[0].rule]).toEqual(['not-computable', 'with-serials']);
  expect(await service.rowCounts()).toEqual(before);
});

test('a keg that is part full goes by its measure, not by the count; no more comes out of it, or back, than was in it', async () => {
  const { floor, packagedLotId } = await kegs(service);
  const out = await move(floor, { kind: 'release', packagedLotId, serials: ['K-1'], ...day('06') });
  const shop = { counterparty: 'Corner house (invented)' };
  const back = { kind: 'return', packagedLotId, serials: ['K-1'], ...shop, ...day('08') };
  const came = await move(floor, { ...back, volume: L(6.5) });
  const vesselId = await floor.vessel('R2', 'tank');
  const rework = { packagedLotId, serials: ['K-1'], lotId: await floor.lot('cider'), vesselId, ...day('09') };
  const before = await service.rowCounts();
  const refused: [name: string, path: string, body: Json, inIt: number, operation: unknown][] = [
    ['sold as full', '/v1/movements', { kind: 'release', packagedLotId, serials: ['K-1'], ...day('09') }, 6.5, came.id],
    [
      'sold beyond the measure',
      '/v1/movements',
      { kind: 'release', packagedLotId, serials: ['K-1'], volume: L(6.6), ...day('09') },
      6.5,
      came.id,
    ],
    ['reworked as full', '/v1/reworks', { ...rework, count: 1 }, 6.5, came.id],
  ];
  for (const [name, path, body, inIt, operation] of refused) {
    const answer = await service.call('post', path, { key: floor.key, body });
    expect([name, answer.status, problemOf(answer).code, answer.body.contents, answer.body.operation]).toEqual([
      name,
      409,
      'container-holds-less',
      L(inIt),
      operation,
    ]);
  }
  expect(await service.rowCounts()).toEqual(before);
  expect(await floor.post('/v1/reworks', { ...rework, volume: L(6.5) })).toMatchObject({
    volume: { value: 6.5 },
    pureAlcohol: { value: 0.325 },
  });
  expect(await states(floor, '?serial=K-1')).toEqual([['K-1', 'empty', 'emptied', 6.5]]);
  // What goes out goes out whole: what was drawn off before is entered before. Sold part full, it does not come back with more.
  const part = { kind: 'release', packagedLotId, serials: ['K-2'], volume: L(4), ...day('10') };
  const whole = await service.call('post', '/v1/movements', { key: floor.key, body: part });
  expect([whole.status, problemOf(whole).errors?.[0].rule]).toEqual([409, 'takes-all']);
  await move(floor, { kind: 'sample', packagedLotId, serials: ['K-2'], volume: L(15), ...day('09') });
  expect(await states(floor, '?serial=K-2')).toEqual([['K-2', 'in-stock', 'part-drawn', 4]]);
  const sold = await move(floor, { kind: 'release', packagedLotId, serials: ['K-2'], volume: L(4), ...day('10') });
  const more = { ...back, serials: ['K-2'], volume: L(4.5), ...day('11') };
  const answer = await service.call('post', '/v1/movements', { key: floor.key, body: more });
  expect([problemOf(answer).code, answer.body.serial, answer.body.contents]).toEqual([
    'container-holds-less',
    'K-2',
    L(4),
  ]);
  // What is not here is not sold, whatever is in it.
  const again = { kind: 'release', packagedLotId, serials: ['K-2'], ...day('11') };
  const elsewhere = await service.call('post', '/v1/movements', { key: floor.key, body: again });
  expect([problemOf(elsewhere).code, elsewhere.body.operation]).toEqual(['container-elsewhere', sold.id]);
  expect(out.litres).toEqual(L(19));
  await expectBooksHold(service, floor.producerId, floor.key);
});
