import type { Lot } from '../../production/lots/lots.dto.js';
import type { Floor } from '../client/floor.js';
import { toNumber } from '../client/micro.js';
import type { Entry, World } from '../client/world.js';
import { DEXTROSE_KG } from './premises.js';

const BOTTLE_L = 0.33;
const DECLARED = 5;
const ORIGINAL: [number, number] = [1.0352, 21];
const HALFWAY: [number, number] = [1.013, 21];
const FINAL: [number, number] = [0.9968, 20];
const LATER_ORIGINAL: [number, number] = [1.035, 20.5];
const LATER_HALFWAY: [number, number] = [1.0105, 21];

const dextrose = (world: World) => [
  { materialLotId: world.site.materialLots.dextrose, mass: { value: DEXTROSE_KG, unit: 'kg' } },
];

/** A lot that still ferments when the first month ends, and is finished, bottled and partly released in the second. */
export function overTheFirstMonth(world: World, floor: Floor): Entry[] {
  let lot: Lot;
  let bottles = { packagedLotId: '', nominalLitres: BOTTLE_L, declared: DECLARED };
  const { calendar } = world;
  const atEnd = { original: ORIGINAL, final: HALFWAY };
  const finished = { original: ORIGINAL, final: FINAL };
  return [
    world.entry(0, 25, '08:00', 'House ferment once more, 200 L', async () => {
      lot = await floor.lot('house');
      return `lot ${lot.code}`;
    }),
    world.entry(0, 25, '09:30', 'Original gravity of it', (at) => floor.gravity(lot.id, at, ...ORIGINAL)),
    world.entry(0, 25, '10:00', 'Collected into FV 1', (at) => floor.charge(lot, 'FV 1', at, 200, 21, dextrose(world))),
    world.entry(0, calendar.lastDay(0), '17:00', 'Gravity at the end of the month', (at) =>
      floor.gravity(lot.id, at, ...HALFWAY),
    ),
    world.entry(0, calendar.lastDay(0), '17:30', 'Strength so far', async (at) =>
      floor.found(await floor.finding(lot.id, 'FV 1', at, 'provisional', atEnd)),
    ),
    world.entry(1, 6, '09:00', 'Gravity of it, below water', (at) => floor.gravity(lot.id, at, ...FINAL)),
    world.entry(1, 7, '08:00', 'FV 1 gauged once more', (at) => floor.gauge(lot.id, 'FV 1', at, 197.6)),
    world.entry(1, 7, '08:30', 'Its strength of record', async (at) =>
      floor.found(await floor.finding(lot.id, 'FV 1', at, 'of-record', finished)),
    ),
    world.entry(1, 8, '10:00', 'Racked to BT 1 again', (at) => floor.transfer(lot.id, 'FV 1', 'BT 1', at, 2.4)),
    world.entry(1, 9, '09:00', 'Bottles of 330 mL', async (at) => {
      const there = toNumber(world.books.at(world.site.vessels['BT 1']).litres);
      const count = Math.floor(there / BOTTLE_L) - 2;
      const run = { nominalLitres: BOTTLE_L, declared: DECLARED, count, container: 'bottle' as const };
      const packed = await floor.pack(lot.id, 'BT 1', at, run);
      bottles = { ...bottles, packagedLotId: packed.packagedLotId };
      return `${packed.count}, ${packed.loss.value.toFixed(2)} L lost`;
    }),
    world.entry(1, 12, '09:00', 'Twenty cases released', (at) =>
      floor.out('release', bottles, 240, at, { counterparty: 'Wholesaler (invented)' }),
    ),
  ];
}

/** A lot that still ferments when the second month ends. */
export function overTheSecondMonth(world: World, floor: Floor): Entry[] {
  let lot: Lot;
  const { calendar } = world;
  const atEnd = { original: LATER_ORIGINAL, final: LATER_HALFWAY };
  return [
    world.entry(1, 23, '08:00', 'House ferment a third time, 180 L', async () => {
      lot = await floor.lot('house');
      return `lot ${lot.code}`;
    }),
    world.entry(1, 23, '09:30', 'Its original gravity', (at) => floor.gravity(lot.id, at, ...LATER_ORIGINAL)),
    world.entry(1, 23, '10:00', 'Collected into FV 1 again', (at) =>
      floor.charge(lot, 'FV 1', at, 180, 20.5, dextrose(world)),
    ),
    world.entry(1, calendar.lastDay(1), '17:00', 'Gravity at the end of the second month', (at) =>
      floor.gravity(lot.id, at, ...LATER_HALFWAY),
    ),
    world.entry(1, calendar.lastDay(1), '17:30', 'Its strength so far', async (at) =>
      floor.found(await floor.finding(lot.id, 'FV 1', at, 'provisional', atEnd)),
    ),
  ];
}
