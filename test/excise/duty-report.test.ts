import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { changeSettings } from './chargeable-world.js';
import { startingSet, withCategory, withRate } from './rules-support.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const PATH = '/v1/duty-rule-sets';

async function released(count: number, sets: readonly object[]) {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  for (const set of sets) await floor.post(PATH, { ...set });
  const { packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 1000,
        nominalLitres: 0.33,
        declaredPercent: 4.55,
        percent: 4.6,
        strengthU: 0.1,
      },
      {
        mark: 'K-1',
        category: 'cider',
        count: 10,
        nominalLitres: 50,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.05,
        container: 'keg',
      },
    ],
  );
  const out = (packagedLotId: string, n: number, day: string) =>
    floor.post('/v1/movements', { kind: 'release', packagedLotId, count: n, occurredAt: `2026-03-${day}T12:00:00Z` });
  await out(packaged[0], count, '05');
  await out(packaged[0], 24, '05');
  await out(packaged[0], 24, '20');
  await out(packaged[1], 2, '20');
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const report = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  return { floor, periodId: id, report };
}

const UK = withRate(startingSet('uk-litre-of-alcohol'), 'beer', '2026-01-01', 21.78);

test('calculates duty by category and band with raw value, step and result, beside the books', async () => {
  const { report, floor, periodId } = await released(300, [UK]);
  const { duty } = report;
  const [set] = (await floor.get(PATH)).items as { id: string }[];
  expect(report.versions.ruleSet).toEqual({ id: set.id, version: '1' });
  expect(duty.rule).toMatchObject({ id: set.id, version: '1' });
  expect(duty.ruleSets).toHaveLength(1);
  expect(duty.ruleSets[0]).toMatchObject({ validFrom: '2026-01-01', strengthRule: 'declared' });
  // By hand: 348 × 0.33 L = 114.84 L; 4.55 cut to 4.5 %: 5.1678 L; × 21.78 = 112.554684, cut to 112.55.
  const [beer, cider] = duty.groups;
  expect(beer).toMatchObject({
    category: 'beer',
    band: '3.5-8.4',
    releases: 3,
    litres: { value: 114.84 },
    litresOfPureAlcoholForDuty: { value: 5.1678 },
    quantity: { unit: 'L', raw: '5.1678', result: '5.1678' },
    rate: { currency: 'GBP', amount: '21.78' },
    money: { currency: 'GBP', amount: '112.55' },
  });
  expect(beer.steps).toEqual([
    {
      name: 'duty cut to the penny',
      basis: 'money',
      mode: 'cut',
      places: 2,
      grouping: 'period',
      raw: '112.554684',
      result: '112.55',
    },
  ]);
  expect(cider).toMatchObject({
    category: 'other',
    band: '3.5-8.4',
    litres: { value: 100 },
    quantity: { result: '5' },
  });
  expect([cider.money, duty.complete, duty.money]).toEqual([undefined, false, [{ currency: 'GBP', amount: '112.55' }]]);
  expect(duty.releases[0]).toMatchObject({
    declaredStrength: { value: 4.55 },
    measuredStrength: { strength: { value: 4.6 } },
    strengthFrom: 'declared',
    strengthForDuty: { value: 4.5 },
    band: '3.5-8.4',
    litresOfPureAlcoholForDuty: { value: 4.455 },
    steps: [{ name: 'strength cut to 0.1', raw: '4.55', result: '4.5' }],
    flags: [],
  });
  // Tie: 5.1678 + 5 for duty, 114.84 × 4.6 % + 5 = 10.28264 in the books.
  expect(duty).toMatchObject({
    litres: { value: 214.84 },
    litresOfPureAlcoholForDuty: { value: 10.1678 },
    litresOfPureAlcoholInBooks: { value: 10.28264 },
    tie: { litres: { value: 0 }, litresOfPureAlcohol: { value: -0.11484 }, balances: true },
  });
  const summed = (of: (group: (typeof duty.groups)[number]) => number) =>
    duty.groups.reduce((sum, each) => sum + of(each), 0);
  expect(summed(({ litresOfPureAlcoholInBooks: { value } }) => value)).toBeCloseTo(10.28264, 9);
  // The same books make the same bytes; closed, they stay.
  const text = async () =>
    (await service.expect(200, 'get', `/v1/periods/${periodId}/report`, { key: floor.key })).text;
  expect(await text()).toBe(await text());
  // The set has no rate of cider: closing waits for it, unless the producer allows otherwise.
  const refused = await service.expect(409, 'post', `/v1/periods/${periodId}/closing`, { key: floor.key, body: {} });
  expect(refused.body.findings).toMatchObject([{ code: 'duty-incomplete' }]);
  expect(refused.body.detail).toContain('The release of K-1 on 2026-03-20 has no duty yet');
  await changeSettings(floor, { allowIncompleteDuty: true });
  await floor.post(`/v1/periods/${periodId}/closing`, {});
  const frozen = await text();
  expect((JSON.parse(frozen) as PeriodReport).duty).toEqual(duty);
  await floor.post(PATH, { ...UK, name: 'Another' });
  expect(await text()).toBe(frozen);
});

test('the duty date picks the set: two versions in one month, each with its own lines', async () => {
  const { report } = await released(300, [
    UK,
    { ...withRate(startingSet('plain-litre-of-alcohol'), 'all', '2026-03-10', 10), name: 'From the tenth' },
  ]);
  const { groups, ruleSets, rule, money } = report.duty;
  expect(ruleSets.map(({ version, description }) => [version, description])).toEqual([
    ['1', UK.name],
    ['2', 'From the tenth'],
  ]);
  expect(rule.description).toBe('From the tenth');
  // 324 bottles by the first: 4.8114 L × 21.78; 24 bottles and 100 L by the second: (0.36036 + 5) × 10.
  expect(groups.map((each) => [each.ruleSet.version, each.category, each.quantity.result, each.money?.amount])).toEqual(
    [
      ['1', 'beer', '4.8114', '104.79'],
      ['2', 'all', '5.36036', '53.6036'],
    ],
  );
  expect(money).toEqual([{ currency: 'GBP', amount: '158.3936' }]);
  expect(report.versions.ruleSet.version).toBe('2');
});

test('barrels by removal and by day, over the whole service', async () => {
  const { report } = await released(300, [withRate(startingSet('us-barrels'), 'beer', '2026-01-01', 3.5, 'USD')]);
  const [group] = report.duty.groups;
  // 99 L = 0.84365, 7.92 L = 0.06749; 7.92 L and 100 L = 0.06749 + 0.85217.
  expect(group.days.map(({ day, quantity }) => [day, quantity.raw, quantity.result])).toEqual([
    ['2026-03-05', '0.91114', '0.91'],
    ['2026-03-20', '0.91966', '0.92'],
  ]);
  expect(group.money).toEqual({ currency: 'USD', amount: '6.41' });
});

test('the measured strength counts where the rule says so, and an edge within its uncertainty is left undecided', async () => {
  const edge = withCategory(UK, 'beer', {
    bands: [
      { code: 'low', fromStrength: { value: 0, unit: '%' }, belowStrength: { value: 4.7, unit: '%' } },
      { code: 'high', fromStrength: { value: 4.7, unit: '%' } },
    ],
    rates: ['low', 'high'].map((band) => ({ band, from: '2026-01-01', amount: 10 })),
  });
  const { report } = await released(300, [{ ...edge, strengthForDuty: { rule: 'measured' } }]);
  const [beer] = report.duty.groups;
  expect([beer.band, beer.money, beer.quantity.result]).toEqual([undefined, undefined, '5.28264']);
  expect(report.duty.releases[0].flags.map(({ code }) => code)).toEqual(['band-undecided']);
  expect(report.duty.complete).toBe(false);
});

test('degrees Plato come from the finding of record by the large Balling formula', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  await floor.post(PATH, withRate(startingSet('de-plato'), 'beer', '2026-01-01', 0.787, 'EUR') as never);
  const vessel = await floor.vessel('F1');
  const day = { day: '2026-03-02', finishedDay: '2026-03-12' };
  const lotId = await floor.finishedLot(vessel, { litres: 200, original: 1.0485, final: 1.01, ...day });
  const packed = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId: vessel,
    container: 'keg',
    nominalVolume: { value: 50, unit: 'L' },
    count: 3,
    emptied: false,
    declaredStrength: { value: 5, unit: '%' },
    occurredAt: '2026-03-15T09:00:00Z',
  });
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count: 2,
    occurredAt: '2026-03-20T12:00:00Z',
  });
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const { duty } = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  // 1.0485 at 20/20 is 12.03 °P: whole degrees 12; 1 hl × 12 × 0.787 = 9.444, cut to 9.44.
  const [plato] = duty.releases[0].steps;
  const [group] = duty.groups;
  const [money] = group.steps;
  expect(Math.abs(Number(plato.raw) - 12.03)).toBeLessThan(0.02);
  expect([plato.result, group.degree, money.raw, money.result]).toEqual(['12', 12, '9.444', '9.44']);
  expect(duty.money).toEqual([{ currency: 'EUR', amount: '9.44' }]);
});

test('what is released again with its duty paid is not charged again, and the tie still balances', async () => {
  const { floor, periodId, report } = await released(300, [UK]);
  const [{ packagedLotId }] = report.duty.releases;
  const move = (kind: string, count: number, day: string) =>
    floor.post('/v1/movements', {
      kind,
      packagedLotId,
      count,
      dutyStatus: 'paid',
      counterparty: 'A shop (invented)',
      reasonCode: 'unsold',
      evidence: { document: 'R-1' },
      occurredAt: `2026-03-${day}T12:00:00Z`,
    });
  await move('return', 24, '21');
  await move('release', 10, '22');
  const { duty } = (await floor.get(`/v1/periods/${periodId}/report`)) as unknown as PeriodReport;
  // Ten bottles of 0.33 L at 4.6 %.
  expect(duty.previouslyDutyPaid).toMatchObject({
    releases: 1,
    litres: { value: 3.3, unit: 'L' },
    litresOfPureAlcohol: { value: 0.1518, unit: 'L' },
    goods: [{ packagedLotId, count: 10, litres: { value: 3.3 }, litresOfPureAlcoholInBooks: { value: 0.1518 } }],
  });
  expect([duty.groups, duty.money, duty.litres]).toEqual([report.duty.groups, report.duty.money, report.duty.litres]);
  expect(duty.tie).toEqual(report.duty.tie);
});
