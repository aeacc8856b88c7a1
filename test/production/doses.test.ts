import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const percent = (value: number) => ({ value, unit: '%' });
const L = (value: number) => ({ value, unit: 'L' });
const near = (value: number, places = 6): number => expect.closeTo(value, places) as unknown as number;
const day = (d: string) => ({ occurredAt: `2026-03-${d}T12:00:00Z` });

/** 200 L at 4 % vol in a tank; a flavouring of 60 % vol, a colour without alcohol by volume and one by mass. */
async function floorWithDoses() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 200, volumeU: 0.5, percent: 4, strengthU: 0.02 }],
    [],
  );
  const received = async (code: string, kind: string, more: Json) => {
    const material = await floor.post('/v1/materials', { name: code, kind });
    const facts = { materialId: material.id, premisesId: floor.premisesId, code, ...day('01'), ...more };
    return String((await floor.post('/v1/material-lots', facts)).id);
  };
  const flavouring = await received('FL-1', 'flavouring', { volume: L(2), strength: percent(60) });
  const colour = await received('CO-1', 'other', { volume: L(5) });
  const powder = await received('PO-1', 'other', { mass: { value: 1, unit: 'kg' } });
  const pack = (more: Json) => ({
    vesselId: stock.vessels[0],
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    count: 100,
    emptied: false,
    declaredStrength: percent(4.3),
    ...day('05'),
    ...more,
  });
  return {
    floor,
    path: `/v1/lots/${stock.lots[0]}/packagings`,
    lotId: stock.lots[0],
    flavouring,
    colour,
    powder,
    pack,
  };
}
const mL = (value: number) => ({ value, unit: 'mL' });

test('a flavouring with alcohol, dosed into each bottle: books, strength, label check, composition and trace say so', async () => {
  const { floor, path, lotId, flavouring, colour, pack } = await floorWithDoses();
  // By hand, in each bottle: 327 mL at 4 % and 2 mL at 60 % and 1 mL of colour make 330 mL: (13.08 + 1.2) / 330 = 4.327272… % vol.
  const strength = (100 * (327 * 0.04 + 2 * 0.6)) / 330;
  const doses = [
    { materialLotId: flavouring, perContainer: mL(2) },
    { materialLotId: colour, perContainer: mL(1) },
  ];
  const run = await floor.post(path, pack({ meanFill: mL(327), doses }));
  expect(run).toMatchObject({
    volume: L(33),
    strength: percent(near(strength)),
    fillDifference: L(0),
    rest: L(near(200 - 32.7)),
    labelCheck: { decision: 'conforms', measured: percent(near(strength)) },
    doses: [
      { materialLotId: flavouring, perContainer: mL(2), pureAlcohol: L(0.12) },
      { materialLotId: colour, perContainer: mL(1), pureAlcohol: L(0) },
    ],
  });
  // 100 bottles: 1.308 L of pure alcohol fermented and 0.12 L added.
  expect(run.pureAlcohol).toEqual(L(near(1.428)));
  const packagedLotId = String(run.packagedLotId);
  const kept = await floor.get(`/v1/packaged-lots/${packagedLotId}`);
  expect(kept).toMatchObject({ strength: percent(near(strength)), doses: run.doses });
  const [account] = (await floor.get(`/v1/accounts?packagedLotId=${packagedLotId}`)).items as Json[];
  expect(account).toMatchObject({ litres: L(33), litresOfPureAlcohol: L(near(1.428)) });
  const [material] = (await floor.get(`/v1/accounts?materialLotId=${flavouring}`)).items as Json[];
  expect(material).toMatchObject({ litres: L(1.8), litresOfPureAlcohol: L(1.08) });
  // 1 mL in each of 100 bottles out of 5 L.
  expect(await floor.get(`/v1/material-lots/${colour}`)).toMatchObject({ onHand: L(4.9) });
  const trace = (await floor.get(`/v1/packaged-lots/${packagedLotId}/trace`)) as {
    materialLots: { code: string; volume?: { value: number } }[];
  };
  expect(trace.materialLots.map(({ code, volume }) => [code, volume?.value])).toEqual([
    ['FL-1', near(0.2)],
    ['CO-1', near(0.1)],
  ]);
  const recalled = (await floor.get(`/v1/recalls?materialLotId=${flavouring}`)) as { packagedLots: Json[] };
  expect(recalled.packagedLots.map((each) => each.packagedLotId)).toEqual([packagedLotId]);
  const record = (await floor.get(`/v1/lots/${lotId}/record`)) as { packagings: Json[] };
  expect(record.packagings).toMatchObject([{ strength: percent(near(strength)) }]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a dose on top of a full bottle is beyond its nominal volume: the fill difference takes it at the strength of the whole', async () => {
  const { floor, path, flavouring, pack } = await floorWithDoses();
  // 330 mL at 4 % and 2 mL at 60 % make 332 mL at (13.2 + 1.2) / 332 = 4.337349… % vol; 330 mL of it are in the books, 2 mL the fill difference.
  const strength = (100 * (330 * 0.04 + 2 * 0.6)) / 332;
  const run = await floor.post(path, pack({ doses: [{ materialLotId: flavouring, perContainer: mL(2) }] }));
  expect(run).toMatchObject({
    volume: L(33),
    strength: percent(near(strength)),
    fillDifference: L(near(0.2)),
    pureAlcohol: L(near(0.33 * strength, 5)),
  });
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('a powder of some milligrams takes up no litres; one of grams does', async () => {
  const { floor, path, powder, pack } = await floorWithDoses();
  const little = await floor.post(
    path,
    pack({ doses: [{ materialLotId: powder, perContainer: { value: 0.05, unit: 'g' } }] }),
  );
  expect(little).toMatchObject({ strength: percent(4), fillDifference: L(0) });
  // 5 g take up 3.1 mL, as sucrose does: 330 mL at 4 % in 333.1 mL.
  const more = { count: 50, doses: [{ materialLotId: powder, perContainer: { value: 5, unit: 'g' } }], ...day('06') };
  const much = await floor.post(path, pack(more));
  expect(much).toMatchObject({ strength: percent(near((4 * 330) / 333.1)), fillDifference: L(near(50 * 0.0031)) });
  // 100 bottles took 0.05 g each and 50 took 5 g each: 5 g and 250 g out of 1 kg.
  expect(await floor.get(`/v1/material-lots/${powder}`)).toMatchObject({ onHand: { value: near(0.745), unit: 'kg' } });
  const beyond = await floor.post(
    path,
    pack({ count: 160, doses: [{ materialLotId: powder, perContainer: { value: 5, unit: 'g' } }], ...day('07') }),
  );
  expect((beyond.flags as { code: string }[]).map(({ code }) => code)).toEqual([
    'label-does-not-hold',
    'stock-below-zero',
  ]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('what cannot be dosed is refused, and nothing is stored', async () => {
  const { floor, path, flavouring, colour, pack } = await floorWithDoses();
  const before = await service.rowCounts();
  const refusals: [name: string, doses: Json[], status: number, rule: string, pointer: string][] = [
    [
      'alcohol by mass',
      [{ materialLotId: flavouring, perContainer: { value: 2, unit: 'g' } }],
      400,
      'volume-needed',
      '/doses/0/perContainer',
    ],
    [
      'more than there is',
      [{ materialLotId: flavouring, perContainer: mL(21) }],
      409,
      'insufficient-stock',
      '/doses/0/perContainer',
    ],
    [
      'twice the same',
      [colour, colour].map((materialLotId) => ({ materialLotId, perContainer: mL(1) })),
      400,
      'not-unique',
      '/doses/1',
    ],
    ['nothing', [{ materialLotId: colour, perContainer: mL(0) }], 422, 'range', '/doses/0/perContainer'],
  ];
  for (const [name, doses, status, rule, pointer] of refusals) {
    const refused = await service.call('post', path, { key: floor.key, body: pack({ doses }) });
    const [error] = problemOf(refused).errors ?? [];
    expect([name, refused.status, error?.pointer.startsWith(pointer)]).toEqual([name, status, true]);
    if (name !== 'nothing') expect(error?.rule).toBe(rule);
  }
  expect(await service.rowCounts()).toEqual(before);
});

test('the count of a dosed run is put right by entering it again', async () => {
  const { floor, path, flavouring, pack } = await floorWithDoses();
  const run = await floor.post(path, pack({ doses: [{ materialLotId: flavouring, perContainer: mL(2) }] }));
  const refused = await service.call('post', `/v1/operations/${String(run.operationId)}/difference`, {
    key: floor.key,
    body: { correct: { count: 99 }, reasonCode: 'wrong-count' },
  });
  expect([problemOf(refused).code, problemOf(refused).errors?.[0].rule]).toEqual(['not-computable', 'with-doses']);
  await floor.post(`/v1/operations/${String(run.operationId)}/reversal`, { reasonCode: 'wrong-count' });
  await expectBooksHold(service, floor.producerId, floor.key);
});
