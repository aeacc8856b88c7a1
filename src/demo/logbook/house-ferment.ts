import type { Lot } from '../../production/lots/lots.dto.js';
import type { Floor } from '../client/floor.js';
import { toNumber } from '../client/micro.js';
import type { GravityRead } from '../client/rules-of-thumb.js';
import type { Entry, World } from '../client/world.js';
import { DEXTROSE_KG } from './premises.js';

const ORIGINAL: GravityRead = [1.0345, 23];
const FINAL: GravityRead = [0.9972, 19];
const KEG_L = 19;
const BOTTLE_L = 0.33;
const DECLARED = 5;
const BAR = { counterparty: 'The Bell (invented)' };
const SHOP = { counterparty: 'Corner Shop (invented)' };
const LAB = { counterparty: 'Laboratory L (invented)' };

/** The first lot: 200 L planned at 5.0 % from dextrose, read a little short of plan, fermented dry, into kegs and bottles. */
export function houseFerment(world: World, floor: Floor): Entry[] {
  let lot: Lot;
  let kegs = { packagedLotId: '', nominalLitres: KEG_L, declared: DECLARED };
  let bottles = { ...kegs, nominalLitres: BOTTLE_L };
  const dextrose = () => [
    { materialLotId: world.site.materialLots.dextrose, mass: { value: DEXTROSE_KG, unit: 'kg' } },
  ];
  const gravities = { original: [...ORIGINAL], final: [...FINAL] } as {
    original: [number, number];
    final: [number, number];
  };
  return [
    world.entry(0, 2, '08:00', 'House ferment planned: 200 L at 5.0 %', async () => {
      lot = await floor.lot('house');
      return `lot ${lot.code}`;
    }),
    world.entry(0, 2, '09:30', 'Original gravity', (at) => floor.gravity(lot.id, at, ...ORIGINAL)),
    world.entry(0, 2, '10:00', 'Wash collected into FV 1', (at) => floor.charge(lot, 'FV 1', at, 200, 23, dextrose())),
    world.entry(0, 4, '09:00', 'Gravity', (at) => floor.gravity(lot.id, at, 1.0205, 22)),
    world.entry(0, 4, '09:05', 'pH', async (at) => {
      await world.api.post(`/v1/lots/${lot.id}/readings`, { kind: 'ph', value: 3.9, takenAt: at });
      return '3.9';
    }),
    world.entry(0, 7, '09:00', 'Gravity', (at) => floor.gravity(lot.id, at, 1.0055, 21.5)),
    world.entry(0, 12, '09:00', 'Gravity, below water', (at) => floor.gravity(lot.id, at, ...FINAL)),
    world.entry(0, 12, '09:30', 'Strength for now', async (at) =>
      floor.found(await floor.finding(lot.id, 'FV 1', at, 'provisional', gravities)),
    ),
    world.entry(0, 12, '10:00', 'Sample from FV 1', (at) => floor.outOfVessel('sample', lot.id, 'FV 1', 0.25, at)),
    world.entry(0, 13, '08:30', 'FV 1 gauged', (at) => floor.gauge(lot.id, 'FV 1', at, 198)),
    world.entry(0, 13, '09:00', 'Strength of record', async (at) => {
      const finding = await floor.finding(lot.id, 'FV 1', at, 'of-record', gravities);
      world.checks.between('real extract of a dry ferment, °P', finding.realExtract ?? NaN, -1, 2);
      await compareWithTable(world, lot.id, at, finding.strength.value);
      return floor.found(finding);
    }),
    world.entry(0, 14, '10:00', 'Racked to BT 1', (at) => floor.transfer(lot.id, 'FV 1', 'BT 1', at, 3)),
    world.entry(0, 15, '15:20', 'A hose bursts', (at) =>
      floor.outOfVessel('accidental-loss', lot.id, 'BT 1', 1.5, at, 'leak'),
    ),
    world.entry(0, 16, '09:00', 'Five kegs of 19 L filled', async (at) => {
      const run = { nominalLitres: KEG_L, declared: DECLARED, count: 5, container: 'keg' as const };
      const loss = { value: 0.8, unit: 'L' };
      const packed = await floor.pack(lot.id, 'BT 1', at, { ...run, loss, dispense: 'draught-connector' });
      kegs = { ...kegs, packagedLotId: packed.packagedLotId };
      return `${packed.loss.value} L lost`;
    }),
    world.entry(0, 17, '09:00', 'The rest into bottles of 330 mL', async (at) => {
      const there = toNumber(world.books.at(world.site.vessels['BT 1']).litres);
      const count = Math.floor(there / BOTTLE_L) - 3;
      const run = { nominalLitres: BOTTLE_L, declared: DECLARED, count, container: 'bottle' as const };
      const packed = await floor.pack(lot.id, 'BT 1', at, run);
      bottles = { ...bottles, packagedLotId: packed.packagedLotId };
      return `${packed.count}, ${packed.loss.value.toFixed(2)} L lost`;
    }),
    world.entry(0, 20, '09:00', 'Three kegs released', (at) => floor.out('release', kegs, 3, at, BAR)),
    world.entry(0, 20, '10:00', 'Four bottles to the laboratory', (at) => floor.out('sample', bottles, 4, at, LAB)),
    world.entry(0, 21, '09:00', 'Ten cases released', (at) => floor.out('release', bottles, 120, at, SHOP)),
    world.entry(1, 10, '09:00', 'Five cases released', (at) => floor.out('release', bottles, 60, at, SHOP)),
    world.entry(1, 15, '09:00', 'A case destroyed', (at) =>
      floor.out('destruction', bottles, 12, at, {
        reasonCode: 'past-date',
        evidence: { method: 'poured off, two people present' },
        witness: 'Invented Witness',
      }),
    ),
    world.entry(1, 20, '17:00', 'Six bottles for the staff party', (at) => floor.out('own-use', bottles, 6, at)),
  ];
}

/** The published factor table for the gravity drop, as a second opinion that posts nothing. */
async function compareWithTable({ api, checks }: World, lotId: string, at: string, strength: number): Promise<void> {
  const body = { method: 'gravity-drop-table', standing: 'supporting', occurredAt: at };
  const second = await api.post<{ strength: { value: number }; uncertainty: { expanded: { value: number } } }>(
    `/v1/lots/${lotId}/findings`,
    body,
  );
  checks.near('strength by the gravity drop', second.strength.value, strength, 0.2);
  const books = await api.get<{ holds: boolean }>('/v1/audit-trail/check');
  checks.same('audit trail holds', books.holds, true);
}
