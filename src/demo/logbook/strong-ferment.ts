import type { DilutionAnswer } from '../../production/operations/dilutions/dilutions.dto.js';
import type { Lot } from '../../production/lots/lots.dto.js';
import type { Floor } from '../client/floor.js';
import { micro, toNumber } from '../client/micro.js';
import { pureAlcohol } from '../client/notebook.js';
import type { Entry, World } from '../client/world.js';
import { SUCROSE_KG } from './premises.js';

const ORIGINAL: [number, number] = [1.0902, 20];
const FINAL: [number, number] = [0.9952, 20];
const TARGET = 4.5;
const BOTTLE_L = 0.33;

/** The second lot: fermented strong, gauged, diluted with water to 4.5 %, and two more bottles than the gauge said. */
export function strongFerment(world: World, floor: Floor): Entry[] {
  let lot: Lot;
  let bottles = { packagedLotId: '', nominalLitres: BOTTLE_L, declared: TARGET };
  const sugar = () => [{ materialLotId: world.site.materialLots.sucrose, mass: { value: SUCROSE_KG, unit: 'kg' } }];
  const gravities = { original: ORIGINAL, final: FINAL, sugar: 'sucrose' as const };
  return [
    world.entry(0, 3, '08:00', 'Strong ferment planned: 100 L', async () => {
      lot = await floor.lot('strong');
      return `lot ${lot.code}`;
    }),
    world.entry(0, 3, '09:30', 'Original gravity, strong', (at) => floor.gravity(lot.id, at, ...ORIGINAL)),
    world.entry(0, 3, '10:00', 'Wash collected into FV 2', (at) => floor.charge(lot, 'FV 2', at, 100, 20, sugar())),
    world.entry(0, 8, '09:10', 'Gravity, strong', (at) => floor.gravity(lot.id, at, 1.041, 22)),
    world.entry(0, 19, '09:00', 'Gravity, strong, below water', (at) => floor.gravity(lot.id, at, ...FINAL)),
    world.entry(0, 20, '08:00', 'FV 2 gauged', (at) => floor.gauge(lot.id, 'FV 2', at, 98.2)),
    world.entry(0, 20, '08:30', 'Strength of record, strong', async (at) =>
      floor.found(await floor.finding(lot.id, 'FV 2', at, 'of-record', gravities)),
    ),
    world.entry(0, 21, '09:00', 'Diluted with water to 4.5 %', (at) => dilute(world, lot.id, at)),
    world.entry(0, 22, '08:00', 'FV 2 gauged again', (at) => {
      const there = toNumber(world.books.at(world.site.vessels['FV 2']).litres);
      return floor.gauge(lot.id, 'FV 2', at, Math.round((there - 0.3) * 10) / 10);
    }),
    world.entry(0, 22, '09:00', 'Bottled: two more than the gauge said', async (at) => {
      const there = toNumber(world.books.at(world.site.vessels['FV 2']).litres);
      const count = Math.floor(there / BOTTLE_L) + 2;
      const run = { nominalLitres: BOTTLE_L, declared: TARGET, count, container: 'bottle' as const };
      const packed = await floor.pack(lot.id, 'FV 2', at, run);
      world.checks.same(
        'the run is flagged',
        packed.flags.some(({ code }) => code === 'more-than-gauged'),
        true,
      );
      world.checks.same('the label conforms', packed.labelCheck.decision, 'conforms');
      bottles = { ...bottles, packagedLotId: packed.packagedLotId };
      return `${packed.count}, a gain of ${packed.gain.value.toFixed(2)} L, flagged`;
    }),
    world.entry(0, 25, '09:00', 'Fifty cases released', (at) => floor.out('release', bottles, 600, at)),
    world.entry(1, 18, '09:00', 'Four cases exported', (at) =>
      floor.out('export', bottles, 48, at, { counterparty: 'Importer (invented)', evidence: { document: 'EXP-0001' } }),
    ),
  ];
}

async function dilute({ api, site, books, checks }: World, lotId: string, at: string): Promise<string> {
  const vesselId = site.vessels['FV 2'];
  const before = books.at(vesselId);
  const answer = await api.post<DilutionAnswer>(`/v1/lots/${lotId}/dilutions`, {
    vesselId,
    targetStrength: { value: TARGET, unit: '%' },
    occurredAt: at,
  });
  books.dilute(vesselId, answer.water.value, answer.volumeChange.value);
  const after = books.at(vesselId);
  checks.same('pure alcohol is kept in a dilution', micro(answer.pureAlcohol.value), pureAlcohol(before));
  checks.same('litres after the dilution', micro(answer.volume.value), after.litres);
  checks.near('strength after the dilution', answer.strength.value, TARGET, 1e-4);
  const litres = (100 * toNumber(pureAlcohol(before))) / TARGET;
  checks.near('litres by the alcohol kept', answer.volume.value, litres, 0.01);
  checks.between('volume change on mixing with water', answer.volumeChange.value / litres, -0.001, 0.001);
  return `${answer.water.value.toFixed(2)} L of water, ${answer.volume.value.toFixed(2)} L at ${answer.strength.value.toFixed(2)} %`;
}
