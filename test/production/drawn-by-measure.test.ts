import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { holds, L, materialLot, number, percent } from './changes-world.js';

// Litres drawn by measure: 1 % of them, rectangular, where no u is given (common practice, no source); u/√3 as JCGM 100 4.3.7 has it. What is
// drawn and what stays have the error with opposite signs, so that both together are as certain as before.

let service: TestService;
const AT = '2026-03-10T09:00:00Z';
const DEFAULT_U = 0.01 / Math.sqrt(3);

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

interface Component {
  readonly litres: number;
  readonly lpa: number;
}

/** What each origin contributes to what stands on the accounts of a vessel or a material lot. */
const componentsOf = (
  floor: Floor,
  column: 'vessel_id' | 'material_lot_id',
  id: string,
): Promise<Map<string, Component>> =>
  service.program.withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<{ origin: string; litres: string; lpa: string }>(
      `SELECT c.origin, sum(c.c_litres)::text AS litres, sum(c.c_lpa)::text AS lpa
         FROM account a JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
         JOIN posting_component c ON c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line
        WHERE a.producer_id = $1 AND a.${column} = $2 GROUP BY c.origin`,
      [floor.producerId, id],
    );
    return new Map(
      rows
        .map(({ origin, litres, lpa }): [string, Component] => [origin, { litres: Number(litres), lpa: Number(lpa) }])
        .filter(([, { litres, lpa }]) => Math.abs(litres) + Math.abs(lpa) > 1e-9),
    );
  });

const partOf = (components: Map<string, Component>, end: string): Component =>
  [...components].find(([origin]) => origin.endsWith(end))?.[1] ?? { litres: 0, lpa: 0 };

const SPIRIT = { name: 'Spirit', kind: 'spirit', strength: percent(96) };

async function store() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const { materialLotId } = await materialLot(floor, SPIRIT, {
    volume: L(100),
    strengthStandardUncertainty: percent(0),
  });
  return { floor, spirit: materialLotId };
}

test('spirit comes in by a meter of class 0.5 unless its u is given', async () => {
  const { floor, spirit } = await store();
  // 100 L × 0.5 % / √3, at 96 %.
  const volume = partOf(await componentsOf(floor, 'material_lot_id', spirit), '/volume');
  expect(volume.litres).toBeCloseTo(0.5 / Math.sqrt(3), 9);
  expect(volume.lpa).toBeCloseTo((0.96 * 0.5) / Math.sqrt(3), 9);
  const { materialLotId } = await materialLot(floor, SPIRIT, { volume: L(100), volumeStandardUncertainty: L(0.1) });
  expect(partOf(await componentsOf(floor, 'material_lot_id', materialLotId), '/volume').litres).toBeCloseTo(0.1, 9);
});

test('spirit measured out for a charge is unsure by the measure, and so is what stays', async () => {
  const { floor, spirit } = await store();
  const lotId = await floor.lot('spirit-drink');
  const vesselId = await floor.vessel('M');
  const charge = {
    vesselId,
    spirits: [{ materialLotId: spirit, volume: L(20) }],
    water: L(30),
    waterStandardUncertainty: L(0),
    occurredAt: AT,
  };
  await floor.post(`/v1/lots/${lotId}/spirit-charges`, charge);
  const drawn = partOf(await componentsOf(floor, 'vessel_id', vesselId), '/spirits/0');
  expect(drawn.lpa).toBeCloseTo(0.96 * 20 * DEFAULT_U, 9);
  const stays = partOf(await componentsOf(floor, 'material_lot_id', spirit), '/spirits/0');
  expect(stays.litres).toBeCloseTo(-20 * DEFAULT_U, 9);
  expect(stays.lpa).toBeCloseTo(-0.96 * 20 * DEFAULT_U, 9);
  await holds(floor);
});

test('spirit measured out cold is more at 20 °C', async () => {
  const { floor, spirit } = await store();
  const vesselId = await floor.vessel('M');
  const answer = await floor.post(`/v1/lots/${await floor.lot('spirit-drink')}/spirit-charges`, {
    vesselId,
    spirits: [
      {
        materialLotId: spirit,
        volume: L(20),
        temperature: { value: 10, unit: 'Cel' },
        standardUncertainty: L(0.1),
      },
    ],
    water: L(30),
    occurredAt: AT,
  });
  // R 22 at 96 % vol: it expands by 1.07 per thousand and kelvin near 20 °C, 1.06 near 15 °C; so 20 L at 10 °C are 20.21 L.
  expect(number(answer.pureAlcohol)).toBeCloseTo(0.96 * 20.21, 2);
  const drawn = partOf(await componentsOf(floor, 'vessel_id', vesselId), '/spirits/0');
  // 0.1 L as given and ± 0.5 °C of 20 L, rectangular.
  expect(drawn.lpa / 0.96).toBeCloseTo(Math.hypot(0.1, (20 * 1.06e-3 * 0.5) / Math.sqrt(3)), 3);
  await holds(floor);
});

test('a part of a vessel in a blend or a split by measure; all of it has no measure', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const tank = (vessel: string, percentVol: number) => ({
    vessel,
    category: 'wine',
    litres: 100,
    volumeU: 0,
    percent: percentVol,
    strengthU: 0,
  });
  const { lots, vessels } = await openStock(floor, '2026-03-01T00:00:00Z', [tank('A', 12), tank('B', 6)], []);
  const [mixed, halved] = [await floor.vessel('C'), await floor.vessel('D')];
  await floor.post('/v1/blends', {
    lotId: await floor.lot('wine'),
    vesselId: mixed,
    components: [{ vesselId: vessels[0], volume: L(40), standardUncertainty: L(0.2) }, { vesselId: vessels[1] }],
    occurredAt: AT,
  });
  const blend = await componentsOf(floor, 'vessel_id', mixed);
  expect(partOf(blend, '/components/0').lpa).toBeCloseTo(0.12 * 0.2, 9);
  expect([...blend.keys()].some((origin) => origin.endsWith('/components/1'))).toBe(false);
  expect(partOf(await componentsOf(floor, 'vessel_id', vessels[0]), '/components/0').litres).toBeCloseTo(-0.2, 9);
  await floor.post(`/v1/lots/${lots[0]}/splits`, {
    fromVesselId: vessels[0],
    toVesselId: halved,
    volume: L(30),
    newLotId: await floor.lot('wine'),
    occurredAt: '2026-03-11T09:00:00Z',
  });
  const [there] = [...(await componentsOf(floor, 'vessel_id', halved)).values()].filter(({ litres }) => litres !== 0);
  expect(there.litres).toBeCloseTo(30 * DEFAULT_U, 9);
  expect(there.lpa).toBeCloseTo(0.12 * 30 * DEFAULT_U, 9);
  await holds(floor);
});
