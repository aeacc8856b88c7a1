import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { holds, L, number, percent, posted, refused, reportLines } from './changes-world.js';

let service: TestService;
const AT = '2026-03-10T09:00:00Z';
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

/** Ten kegs of 30 L at 5 %, and a tank of 100 L at 5 %. */
async function packed() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const { lots, vessels, packaged } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [{ vessel: 'A', category: 'beer', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.05 }],
    [
      {
        mark: 'K1',
        category: 'beer',
        count: 10,
        nominalLitres: 30,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.05,
        container: 'keg',
      },
    ],
  );
  return { floor, lotId: lots[0], vesselId: vessels[0], path: `/v1/packaged-lots/${packaged[0]}`, kegs: packaged[0] };
}

test('a keg is filled into bottles; the rest is lost', async () => {
  const { floor, path, kegs } = await packed();
  const answer = await floor.post(`${path}/repackings`, {
    count: 1,
    into: { container: 'bottle', nominalVolume: { value: 330, unit: 'mL' }, count: 90 },
    occurredAt: AT,
  });
  // 90 × 0.33 L = 29.7 L of the 30 L; 5 % of them.
  expect(answer).toMatchObject({ fromPackagedLotId: kegs, lotMark: 'K1', count: 90, loss: L(0.3), flags: [] });
  expect(await posted(floor, answer.operationId)).toEqual({
    'packaged beer': [-0.3, -0.015, 0],
    'packaging-loss beer': [0.3, 0.015, 0],
  });
  expect(await floor.get(`/v1/packaged-lots/${String(answer.packagedLotId)}`)).toMatchObject({
    container: 'bottle',
    onHand: 90,
    declaredStrength: percent(5),
  });
  expect(await floor.get(path)).toMatchObject({ onHand: 9 });
  await reportLines(floor);
  await holds(floor);
});

test('another label, another category: each its own line', async () => {
  const { floor, path } = await packed();
  const label = await floor.post(`${path}/relabellings`, {
    count: 2,
    declaredStrength: percent(4.2),
    lotMark: 'K1-B',
    occurredAt: AT,
  });
  // The books say 5.0 %, the new label 4.2 % ± 0.3: it does not hold.
  expect(label).toMatchObject({ lotMark: 'K1-B', declaredStrength: percent(4.2), flags: ['label-does-not-hold'] });
  expect(await posted(floor, label.operationId)).toEqual({ 'packaged beer': [0, 0, 0] });
  const moved = await floor.post(`${path}/relabellings`, { count: 3, category: 'mixed-drink', occurredAt: AT });
  // 3 × 30 L × 5 %.
  expect(await posted(floor, moved.operationId)).toEqual({
    'packaged beer': [-90, -4.5, 0],
    'category-moves beer': [90, 4.5, 0],
    'category-moves mixed-drink': [-90, -4.5, 0],
    'packaged mixed-drink': [90, 4.5, 0],
  });
  expect(await floor.get(path)).toMatchObject({ onHand: 5 });
  expect(await reportLines(floor)).toMatchObject({
    'beer category-moves': -90,
    'mixed-drink category-moves': 90,
  });
  await holds(floor);
});

test('sugar that ferments in the bottle brings alcohol from fermentation', async () => {
  const { floor, lotId, vesselId } = await packed();
  const answer = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    count: 100,
    emptied: false,
    declaredStrength: percent(5.4),
    conditioning: { sugar: 'sucrose', gramsPerLitre: 6 },
    occurredAt: AT,
  });
  // 33 L × 6 g = 198 g of sucrose; four moles of ethanol (46.069 g) a mole (342.297 g): 106.594 g, over 789.239 g/L: 0.135059 L.
  const conditioning = answer.conditioning as { pureAlcohol: unknown; strengthAdded: unknown } & Record<
    'volumesOfCO2' | 'volumesFromSugar' | 'volumesBefore',
    number
  >;
  expect(number(conditioning.pureAlcohol)).toBeCloseTo(0.135059, 6);
  expect(number(conditioning.strengthAdded)).toBeCloseTo(0.409, 3);
  // 6 g/L × 4 × 44.009 / 342.297 = 3.0857 g/L of CO2, over 1.9767 g/L a volume.
  expect(conditioning.volumesFromSugar).toBeCloseTo(1.561, 3);
  // Water of 20 °C under 1 atm of CO₂ holds 0.039 mol/kg (CRC, from memory: 1.69 g/L), which is 0.86 volumes.
  expect(conditioning.volumesBefore).toBeCloseTo(0.86, 1);
  expect(conditioning.volumesOfCO2).toBeCloseTo(conditioning.volumesBefore + 1.561, 3);
  const alcohol = number(conditioning.pureAlcohol);
  expect(await posted(floor, answer.operationId)).toEqual({
    'liquid beer': [-33, -1.65, 0],
    'fermentation beer': [0, -alcohol, 0],
    'packaged beer': [33, expect.closeTo(1.65 + alcohol, 6), 0],
  });
  // 5 + 0.41 % against a label of 5.4 %.
  expect(answer.labelCheck).toMatchObject({ decision: 'conforms', measured: { value: expect.closeTo(5.409, 3) } });
  expect((answer.warnings as string[]).join(' ')).toMatch(/bursts above its rated pressure/);
  await reportLines(floor);
  await holds(floor);
});

test('each bad repacking says what is in the way, and stores nothing', async () => {
  const { floor, path, lotId, vesselId } = await packed();
  const into = { container: 'bottle', nominalVolume: { value: 330, unit: 'mL' }, count: 90 };
  const repack = (more: object) => ({ count: 1, into, occurredAt: AT, ...more });
  const no = (body: Record<string, unknown>, code: string, pointer: string, rule: string) =>
    refused(floor, `${path}/repackings`, body, { code, pointer, rule });
  await no(repack({ count: 11 }), 'insufficient-stock', '/count', 'insufficient-stock');
  await no(repack({ into: { ...into, count: 91 } }), 'insufficient-stock', '/into/count', 'insufficient-stock');
  await no(repack({ loss: L(0.2) }), 'validation-failed', '/loss', 'adds-up');
  await refused(
    floor,
    `${path}/relabellings`,
    { count: 1, lotMark: 'K1', declaredStrength: percent(5), occurredAt: AT },
    { code: 'validation-failed', rule: 'nothing-changed' },
  );
  await refused(
    floor,
    `${path}/relabellings`,
    { count: 11, lotMark: 'K2', occurredAt: AT },
    { code: 'insufficient-stock', pointer: '/count' },
  );
  await refused(
    floor,
    '/v1/packaged-lots/018f0000-0000-7000-8000-000000000000/relabellings',
    { count: 1, lotMark: 'K2', occurredAt: AT },
    { code: 'not-found' },
  );
  await refused(
    floor,
    `/v1/lots/${lotId}/packagings`,
    {
      vesselId,
      container: 'bottle',
      nominalVolume: L(0.33),
      count: 10,
      declaredStrength: percent(5),
      conditioning: { sugar: 'honey', gramsPerLitre: 6 },
    },
    { code: 'validation-failed', pointer: '/conditioning/sugar' },
  );
  await holds(floor);
});
