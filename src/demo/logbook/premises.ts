import type { RecipeWithPlan } from '../../production/registers/recipes/recipes.dto.js';
import type { ReturnStartingPointPage } from '../../excise/returns/mappings/return-mappings.dto.js';
import type { Entry, Site, World } from '../client/world.js';
import { HYDROMETER_CORRECTION } from '../client/rules-of-thumb.js';

/** Kilograms of dextrose monohydrate in the house ferment of 200 L. */
export const DEXTROSE_KG = 20.4;
export const SUCROSE_KG = 23.5;
const SPIRIT_LITRES = 25;
const SPIRIT_STRENGTH = 96;

type WithId = { readonly id: string };

const litres = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

/** Day one: the premises with what stands on them, the plans, and the spirit that came in. */
export function openPremises(world: World): Entry[] {
  let spiritId = '';
  return [
    world.entry(0, 1, '07:00', 'Premises, vessels, instruments, materials and plans', async () => {
      const opened = await open(world);
      world.site = opened.site;
      spiritId = opened.spiritId;
      return `${Object.keys(world.site.vessels).length} vessels, ${Object.keys(world.site.recipes).length} recipes`;
    }),
    world.entry(0, 1, '08:00', 'Neutral spirit taken in, 25 L of 96 %', (at) => takeSpirit(world, spiritId, at)),
  ];
}

async function open(world: World): Promise<{ site: Site; spiritId: string }> {
  const { api, calendar } = world;
  const made = async (path: string, body: object): Promise<string> => (await api.post<WithId>(path, body)).id;
  const premisesId = await made('/v1/premises', {
    name: 'Mill Lane (invented)',
    timeZone: calendar.timeZone,
    address: '1 Mill Lane, Sampleton (invented)',
    approvals: [{ authority: 'Customs office (invented)', number: 'BR-0001' }],
  });
  const personId = await made('/v1/people', { name: 'A. Brewer (invented)' });
  api.people = [personId];
  await api.settle({
    recipientRequired: 'flag',
    legalName: 'Mill Lane Drinks Ltd (invented)',
    address: '1 Mill Lane, Sampleton (invented)',
    taxNumber: 'TAX-0001 (invented)',
  });
  const periodIds = [];
  for (const month of [0, 1, 2]) {
    const [startsOn, endsBefore] = [calendar.monthStart(month), calendar.monthStart(month + 1)];
    periodIds.push(await made('/v1/periods', { premisesId, startsOn, endsBefore }));
  }
  const vessel = (name: string, kind: string, capacity: number) =>
    made('/v1/vessels', { premisesId, name, kind, capacity: litres(capacity) });
  const vessels = {
    'FV 1': await vessel('FV 1', 'fermenter', 250),
    'FV 2': await vessel('FV 2', 'fermenter', 320),
    'BT 1': await vessel('BT 1', 'bright-tank', 250),
    'MT 1': await vessel('MT 1', 'mixing-tank', 250),
  };
  const hydrometerId = await openHydrometer(world);
  const material = (name: string, more: object) => made('/v1/materials', { name, ...more });
  const dextroseId = await material('Dextrose monohydrate', { kind: 'sugar', fermentable: 'dextrose-monohydrate' });
  const sucroseId = await material('White sugar', { kind: 'sugar', fermentable: 'sucrose' });
  await material('Dried yeast', { kind: 'yeast' });
  const spiritId = await material('Neutral spirit', { kind: 'spirit', strength: percent(SPIRIT_STRENGTH) });
  const receivedAt = calendar.at(0, 1, '07:00');
  const intake = (materialId: string, code: string, kilograms: number) =>
    made('/v1/material-lots', {
      materialId,
      premisesId,
      code,
      supplier: 'Sugar merchant (invented)',
      document: { number: `INV-${code} (invented)`, date: calendar.monthStart(0) },
      mass: { value: kilograms, unit: 'kg' },
      occurredAt: receivedAt,
    });
  const materialLots = {
    dextrose: await intake(dextroseId, 'DX-1', 75),
    sucrose: await intake(sucroseId, 'SU-1', 50),
    spirit: '',
  };
  const recipes = await plan(world, dextroseId, sucroseId);
  await mapReturn(world);
  const site = { premisesId, personId, hydrometerId, periodIds, vessels, materialLots, recipes };
  return { site, spiritId };
}

/** One of the ready-made forms, so that a newcomer finds a return; it is an example. */
async function mapReturn({ api }: World): Promise<void> {
  const { items } = await api.get<ReturnStartingPointPage>('/v1/return-mappings/starting-points');
  const start = items.find(({ key }) => key === 'us-brewers-report');
  if (start === undefined) {
    throw new Error('The ready-made form of the demo is missing.');
  }
  await api.post('/v1/return-mappings', start.mapping);
}

async function openHydrometer({ api, calendar }: World): Promise<string> {
  const { id } = await api.post<WithId>('/v1/instruments', {
    name: 'Hydrometer 2',
    kind: 'hydrometer',
    scale: 'sg-20-20',
    referenceTemperature: { value: 20, unit: 'Cel' },
    resolution: 0.0005,
    serialNumber: 'H-0002',
  });
  const region = { correction: HYDROMETER_CORRECTION, expandedUncertainty: 0.0004, coverageFactor: 2 };
  await api.post(`/v1/instruments/${id}/calibrations`, {
    performedOn: calendar.dayFromStart(-60),
    validUntil: calendar.dayFromStart(304),
    certificate: 'CAL-0001 (invented)',
    regions: [
      { from: 0.98, to: 1.04, ...region },
      { from: 1.04, to: 1.1, ...region, expandedUncertainty: 0.0006 },
    ],
  });
  return id;
}

async function plan({ api, checks }: World, dextroseId: string, sucroseId: string): Promise<Site['recipes']> {
  const recipe = (name: string, category: string, plan: object) =>
    api.post<RecipeWithPlan>('/v1/recipes', { name, category, plan });
  const house = await recipe('House ferment', 'sugar-ferment', {
    kind: 'sugar-wash',
    volume: litres(200),
    strength: percent(5),
    fermentables: [{ materialId: dextroseId, kind: 'dextrose-monohydrate', mass: { value: DEXTROSE_KG, unit: 'kg' } }],
    finalGravity: { value: 0.997, scale: 'sg-20-20' },
  });
  const { strength, originalGravity } = house.latest.expected;
  checks.near('planned strength of the house ferment', strength?.value ?? NaN, 5, 0.1);
  checks.between('dextrose in 19 L for about 5 %', (DEXTROSE_KG * 19) / 200, 1.5, 2);
  checks.between('planned original gravity', originalGravity?.value ?? NaN, 1.031, 1.036);
  const strong = await recipe('Strong ferment', 'sugar-ferment', {
    kind: 'sugar-wash',
    volume: litres(100),
    strength: percent(12.5),
    fermentables: [{ materialId: sucroseId, kind: 'sucrose', mass: { value: SUCROSE_KG, unit: 'kg' } }],
    finalGravity: { value: 0.995, scale: 'sg-20-20' },
  });
  checks.near('planned strong gravity', strong.latest.expected.originalGravity?.value ?? NaN, 1.09, 0.003);
  const mixed = await recipe('Mixed from spirit', 'mixed-from-spirit', {
    kind: 'spirit-based',
    volume: litres(192),
    strength: percent(5),
  });
  return { house: house.id, strong: strong.id, mixed: mixed.id };
}

async function takeSpirit(world: World, materialId: string, at: string): Promise<string> {
  const { api, books, site } = world;
  const { id } = await api.post<WithId>('/v1/material-lots', {
    materialId,
    premisesId: site.premisesId,
    code: 'NS-1',
    supplier: 'Spirit merchant (invented)',
    document: { number: 'DN-0001 (invented)', date: world.calendar.monthStart(0) },
    volume: litres(SPIRIT_LITRES),
    occurredAt: at,
  });
  world.site = { ...site, materialLots: { ...site.materialLots, spirit: id } };
  books.receive(id, SPIRIT_LITRES, SPIRIT_STRENGTH);
  return `${(SPIRIT_LITRES * SPIRIT_STRENGTH) / 100} L of pure alcohol`;
}
