import type { SpiritChargeAnswer } from '../../production/operations/charges/charges.dto.js';
import type { Lot } from '../../production/lots/lots.dto.js';
import type { Floor } from '../client/floor.js';
import { micro, toNumber } from '../client/micro.js';
import { pureAlcohol } from '../client/notebook.js';
import type { Entry, World } from '../client/world.js';

const SPIRIT_L = 10;
const TARGET = 5;
const KEG_L = 19;

/** The third lot: neutral spirit of 96 % diluted to 5.0 %, into kegs. */
export function fromSpirit(world: World, floor: Floor): Entry[] {
  let lot: Lot;
  let kegs = { packagedLotId: '', nominalLitres: KEG_L, declared: TARGET };
  return [
    world.entry(0, 5, '08:00', '2.375 L of 40 % made up to 5 %', () => ruleOfTheTrade(world)),
    world.entry(0, 5, '09:00', 'Spirit of 96 % diluted to 5.0 % in MT 1', async (at) => {
      lot = await floor.lot('mixed');
      return mix(world, lot, at);
    }),
    world.entry(0, 6, '09:00', 'Ten kegs of 19 L filled', async (at) => {
      const run = { nominalLitres: KEG_L, declared: TARGET, count: 10, container: 'keg' as const };
      const packed = await floor.pack(lot.id, 'MT 1', at, { ...run, dispense: 'draught-connector' });
      kegs = { ...kegs, packagedLotId: packed.packagedLotId };
      return `${packed.loss.value.toFixed(2)} L lost in the lines`;
    }),
    world.entry(0, 26, '09:00', 'Six kegs released', (at) =>
      floor.out('release', kegs, 6, at, { counterparty: 'The Bell (invented)' }),
    ),
    world.entry(1, 14, '09:00', 'Two kegs dispatched under suspension', (at) =>
      floor.out('dispatch-suspended', kegs, 2, at, {
        counterparty: 'Tax warehouse (invented)',
        evidence: { document: 'DOC-0001' },
      }),
    ),
  ];
}

async function ruleOfTheTrade({ api, checks }: World): Promise<string> {
  const answer = await api.compute<{ finalVolume: { value: number } }>('/v1/calculations/dilution', {
    strength: { value: 40, unit: '%' },
    targetStrength: { value: 5, unit: '%' },
    volume: { value: 2.375, unit: 'L' },
  });
  checks.near('2.375 L of 40 % made up to 5 %, L', answer.finalVolume.value, 19, 1e-6);
  return `${answer.finalVolume.value.toFixed(3)} L`;
}

async function mix({ api, site, books, checks }: World, lot: Lot, at: string): Promise<string> {
  const vesselId = site.vessels['MT 1'];
  const { spirit } = site.materialLots;
  const answer = await api.post<SpiritChargeAnswer>(`/v1/lots/${lot.id}/spirit-charges`, {
    vesselId,
    spirits: [{ materialLotId: spirit, volume: { value: SPIRIT_L, unit: 'L' } }],
    targetStrength: { value: TARGET, unit: '%' },
    occurredAt: at,
  });
  books.useSpirit(spirit, SPIRIT_L, vesselId, lot.category);
  books.dilute(vesselId, answer.water.value, answer.volumeChange.value);
  const there = books.at(vesselId);
  checks.same('pure alcohol of the spirit is kept', micro(answer.pureAlcohol.value), pureAlcohol(there));
  checks.same('pure alcohol of 10 L of 96 %', answer.pureAlcohol.value, 9.6);
  checks.same('litres mixed', micro(answer.volume.value), there.litres);
  checks.near('litres by the alcohol kept', answer.volume.value, (100 * 9.6) / TARGET, 1e-3);
  checks.near(
    'volume change, 96 to 5 %, of 100 L',
    (100 * answer.volumeChange.value) / answer.volume.value,
    -0.28,
    0.01,
  );
  return `${toNumber(there.litres).toFixed(2)} L, ${answer.volumeChange.value.toFixed(2)} L on mixing`;
}
