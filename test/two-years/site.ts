import type { OpeningAnswer } from '../../src/production/operations/openings/openings.dto.js';
import type { RecipeWithPlan } from '../../src/production/registers/recipes/recipes.dto.js';
import { alcoholIn, micro } from '../../src/demo/client/micro.js';
import type { Context, MaterialName, PremisesName, Site, Vessel } from './context.js';
import { dutyRules } from './duty-rules.js';

type WithId = { readonly id: string };

const litres = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

const VESSELS: readonly [
  premises: PremisesName,
  kind: Vessel['kind'],
  prefix: string,
  count: number,
  litres: number,
][] = [
  ['main', 'fermenter', 'FV', 10, 300],
  ['main', 'bright-tank', 'BT', 6, 320],
  ['main', 'mixing-tank', 'MT', 4, 600],
  ['second', 'fermenter', 'SF', 2, 100],
  ['second', 'serving-tank', 'ST', 2, 100],
];

const MATERIALS: Readonly<Record<MaterialName, object>> = {
  sugar: { name: 'White sugar', kind: 'sugar', fermentable: 'sucrose' },
  malt: { name: 'Pale malt', kind: 'malt', fermentable: 'malt', extractYield: { value: 72, unit: '%' } },
  spirit: { name: 'Neutral spirit', kind: 'spirit', strength: percent(96) },
  flavouring: { name: 'Fruit flavouring in spirit', kind: 'flavouring', strength: percent(40) },
  yeast: { name: 'Yeast', kind: 'yeast' },
  fining: { name: 'Fining', kind: 'fining' },
  acid: { name: 'Citric acid', kind: 'acid' },
};

/** Day one: the premises with what stands on them, rules, plans, people, and the periods of all months and one more. */
export async function openSite(ctx: Context): Promise<void> {
  const { api, calendar } = ctx;
  const made = async (path: string, body: object): Promise<string> => (await api.post<WithId>(path, body)).id;
  const premises = {
    main: await made('/v1/premises', {
      name: 'Mill Lane (invented)',
      timeZone: calendar.timeZone,
      address: '1 Mill Lane, Sampleton (invented)',
      approvals: [{ authority: 'Customs office (invented)', number: 'BR-0001' }],
    }),
    second: await made('/v1/premises', {
      name: 'The Yard (invented)',
      timeZone: calendar.timeZone,
      address: '2 Yard Street, Sampleton (invented)',
      approvals: [{ authority: 'Customs office (invented)', number: 'BR-0002' }],
    }),
  };
  const periods: Record<PremisesName, string[]> = { main: [], second: [] };
  for (const name of ['main', 'second'] as const) {
    for (let month = 0; month <= ctx.months; month += 1) {
      const dates = { startsOn: calendar.monthStart(month), endsBefore: calendar.monthStart(month + 1) };
      periods[name].push(await made('/v1/periods', { premisesId: premises[name], ...dates }));
    }
  }
  const vessels: Vessel[] = [];
  for (const [name, kind, prefix, count, capacity] of VESSELS) {
    for (let n = 1; n <= count; n += 1) {
      const body = { premisesId: premises[name], name: `${prefix} ${n}`, kind, capacity: litres(capacity) };
      vessels.push({ id: await made('/v1/vessels', body), name: body.name, kind, premises: name });
    }
  }
  const people = [];
  for (const letter of ['A', 'B', 'C']) {
    people.push(await made('/v1/people', { name: `Brewer ${letter} (invented)` }));
  }
  const materials: Partial<Record<MaterialName, string>> = {};
  for (const [name, body] of Object.entries(MATERIALS)) {
    materials[name as MaterialName] = await made('/v1/materials', body);
  }
  api.people = people;
  await api.settle({ recipientRequired: 'flag' });
  const site = {
    premises,
    periods,
    vessels,
    people,
    materials: materials as Site['materials'],
    instruments: { first: await hydrometer(ctx, 'first'), second: await hydrometer(ctx, 'second') },
    dutyRuleSetId: await made('/v1/duty-rule-sets', {
      ...dutyRules(calendar.start, calendar.monthStart(12)),
      personId: people[1],
    }),
  };
  ctx.site = { ...site, recipes: await recipes(ctx, site.materials) };
}

/** The first hydrometer is calibrated for good; the second only until the eighth month is over. */
async function hydrometer({ api, calendar }: Context, which: 'first' | 'second'): Promise<string> {
  const { id } = await api.post<WithId>('/v1/instruments', {
    name: which === 'first' ? 'Hydrometer 1' : 'Hydrometer 2',
    kind: 'hydrometer',
    scale: 'sg-20-20',
    referenceTemperature: { value: 20, unit: 'Cel' },
    resolution: 0.0005,
  });
  const until = which === 'first' ? calendar.monthStart(36) : calendar.dayFromStart(242);
  await calibrate(api, id, calendar.dayFromStart(-30), until, which === 'first' ? 'CAL-1' : 'CAL-2');
  return id;
}

export async function calibrate(
  api: Context['api'],
  instrumentId: string,
  performedOn: string,
  validUntil: string,
  number: string,
): Promise<void> {
  const region = { correction: -0.0002, expandedUncertainty: 0.0004, coverageFactor: 2 };
  await api.post(`/v1/instruments/${instrumentId}/calibrations`, {
    performedOn,
    validUntil,
    certificate: `${number} (invented)`,
    regions: [
      { from: 0.98, to: 1.04, ...region },
      { from: 1.04, to: 1.11, ...region, expandedUncertainty: 0.0006 },
    ],
  });
}

async function recipes({ api }: Context, { sugar, malt }: Site['materials']): Promise<Site['recipes']> {
  const recipe = async (name: string, category: string, plan: object): Promise<string> =>
    (await api.post<RecipeWithPlan>('/v1/recipes', { name, category, plan })).id;
  const gravity = (value: number) => ({ value, scale: 'sg-20-20' });
  const of = (materialId: string, kind: string, kilograms: number) => [
    { materialId, kind, mass: { value: kilograms, unit: 'kg' } },
  ];
  const wash = (volume: number, kilograms: number, final: number) => ({
    kind: 'sugar-wash',
    volume: litres(volume),
    fermentables: of(sugar, 'sucrose', kilograms),
    finalGravity: gravity(final),
  });
  return {
    house: await recipe('House ferment', 'sugar-ferment', wash(220, 22, 0.997)),
    strong: await recipe('Strong ferment', 'sugar-ferment', wash(120, 28, 0.995)),
    flavoured: await recipe('Flavoured ferment', 'flavoured-ferment', wash(220, 22, 0.997)),
    blend: await recipe('House blend', 'blended-ferment', wash(220, 22, 0.997)),
    ale: await recipe('Pale ale', 'beer', {
      kind: 'malt',
      volume: litres(220),
      fermentables: of(malt, 'malt', 38),
      finalGravity: gravity(1.011),
    }),
    mixed: await recipe('Mixed from spirit', 'mixed-from-spirit', {
      kind: 'spirit-based',
      volume: litres(220),
      strength: percent(5),
    }),
  };
}

/** The books begin with bottles and kegs that were there before; the second premises begin with nothing. */
export async function openBooks(ctx: Context, at: string): Promise<void> {
  const { api, site } = ctx;
  const stock = [
    { container: 'bottle', nominalL: 0.5, count: 240, mark: 'OLD-1', percent: 4.9 },
    { container: 'keg', nominalL: 30, count: 6, mark: 'OLD-2', percent: 5.1 },
  ] as const;
  const packaged: object[] = [];
  const lots: string[] = [];
  for (const { container, nominalL, count, mark, percent: strength } of stock) {
    const category = 'sugar-ferment';
    const body = { premisesId: site.premises.main, code: mark, category, personId: site.people[0] };
    const { id: lotId } = await api.post<WithId>('/v1/lots', body);
    lots.push(lotId);
    const amount = BigInt(count) * micro(nominalL);
    const fermented = alcoholIn(amount, strength);
    ctx.tally.open(site.premises.main, { category, litres: amount, fermented, added: 0n });
    packaged.push({
      lotId,
      container,
      nominalVolume: litres(nominalL),
      count,
      lotMark: mark,
      declaredStrength: percent(strength),
      strength: percent(strength),
      strengthStandardUncertainty: { value: 0.1, unit: '%' },
      packagedOn: ctx.calendar.dayFromStart(-20),
    });
  }
  const opening = { premisesId: site.premises.main, packaged, occurredAt: at };
  const { packagedLotIds, compositionIds } = await api.post<OpeningAnswer>('/v1/openings', opening);
  await api.post('/v1/openings', { premisesId: site.premises.second, nothing: true, occurredAt: at });
  stock.forEach(({ container, nominalL, count, percent: declared }, index) =>
    ctx.goods.push({
      packagedLotId: packagedLotIds[index],
      lotId: lots[index],
      compositionId: compositionIds[index],
      container,
      nominal: micro(nominalL),
      declared,
      premises: 'main',
      onHand: count,
      out: 0,
    }),
  );
}
