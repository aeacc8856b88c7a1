import type { ConsolidatedReport } from '../../src/excise/reporting/consolidated/consolidated.dto.js';
import type { EarlierPeriodDuty } from '../../src/excise/reporting/documents/earlier-periods.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { changeSettings } from './chargeable-world.js';
import { inventedRules as rules, percent, RATES } from './invented-rules.js';

// Duty of closed months that are corrected: half-litre bottles of 4 % vol, so 0.02 L of pure alcohol each. Every sum by hand beside its check.

const START = new Date('2026-08-31T22:30:00Z');
const clock = new SteppableClock(START);
let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock });
});
afterAll(() => service.stop());

const MONTHS = ['2026-03', '2026-04', '2026-05', '2026-06', '2026-07', '2026-08', '2026-09'];
/** A release of a hundred bottles in each month from March to July, and those months closed. */
async function closedMonths(set: Record<string, unknown>) {
  const floor = await Floor.open(
    service,
    MONTHS.map((month) => [`${month}-01`, `2026-${String(Number(month.slice(5)) + 1).padStart(2, '0')}-01`]),
  );
  await floor.post('/v1/duty-rule-sets', set);
  await changeSettings(floor, { allowIncompleteDuty: true });
  const { packaged, lots } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 2000,
        nominalLitres: 0.5,
        declaredPercent: 4,
        percent: 4,
        strengthU: 0.1,
      },
    ],
  );
  const periods = ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
  const release = (count: number, more: object) =>
    floor.post('/v1/movements', { kind: 'release', packagedLotId: packaged[0], count, ...more });
  const released: string[] = [];
  for (const [index, month] of MONTHS.slice(0, 5).entries()) {
    const { id } = await release(100, { occurredAt: `${month}-10T12:00:00Z` });
    released.push(String(id));
    await floor.post(`/v1/periods/${periods[index]}/closing`, {});
  }
  clock.advance(1_000);
  const earlier = async (index: number): Promise<EarlierPeriodDuty[]> => {
    const report = (await floor.get(`/v1/periods/${periods[index]}/report`)) as unknown as PeriodReport;
    return report.duty.earlierPeriods;
  };
  const corrected = (index: number, count: number) =>
    release(count, { corrects: { operationId: released[index], reasonCode: 'wrong-count' } });
  return { floor, periods, released, release, earlier, corrected, lots };
}

const moneyOf = (parts: readonly EarlierPeriodDuty[]) =>
  parts.map(({ startsOn, money }) => [startsOn, ...money.map(({ amount, currency }) => `${amount} ${currency}`)]);

test('the CSV has the table of earlier periods', async () => {
  const { floor, periods, corrected } = await closedMonths(rules(RATES));
  await corrected(3, 120);
  const csv = await service.expect(200, 'get', `/v1/periods/${periods[5]}/report?format=csv`, { key: floor.key });
  expect(csv.text).toMatch(/^earlier-period-duty,.*,2026-06-01 to 2026-06-30,+50,60,10,0\.4,24\.00,28\.80,4\.80,/m);
});

test('the consolidated report sums what its periods declare of earlier ones, the goods returned, and the money box', async () => {
  const { floor, corrected, periods } = await closedMonths(rules(RATES));
  await corrected(3, 120);
  const [{ packagedLotId }] = (await floor.get('/v1/movements')).items as { packagedLotId: string }[];
  await floor.post('/v1/movements', {
    kind: 'return',
    packagedLotId,
    count: 10,
    counterparty: 'Corner shop (invented)',
    occurredAt: '2026-08-20T12:00:00Z',
  });
  const report = (await floor.get(
    '/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-09-01',
  )) as unknown as ConsolidatedReport;
  // June: twenty bottles more, 0.4 L at 12. Declared in August.
  expect(report.duty.earlierPeriods).toMatchObject([
    {
      periodId: periods[3],
      declaredIn: periods[5],
      litresOfPureAlcoholForDuty: { value: 0.4 },
      money: [{ currency: 'EUR', amount: '4.8' }],
    },
  ]);
  // Ten bottles of March come back: 0.2 L at 10.
  expect(report.duty.returned).toMatchObject([
    { treatment: 'claim', returns: 1, litres: { value: 5 }, money: [{ currency: 'EUR', amount: '2' }] },
  ]);
  // Releases: three months of 20 and two of 24.
  expect(report.money).toEqual([
    {
      currency: 'EUR',
      releases: '108',
      deficiency: '0',
      earlierPeriods: '4.8',
      returns: '0',
      total: '112.8',
      claims: '2',
    },
  ]);
  const pdf = await service.expect(200, 'get', '/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-09-01', {
    key: floor.key,
    headers: { accept: 'application/pdf' },
  });
  expect(pdf.headers['content-type']).toBe('application/pdf');
});

test('a rate that is entered later gives the money of the months that had none', async () => {
  const { floor, earlier } = await closedMonths(rules(undefined));
  expect(await earlier(5)).toEqual([]);
  await floor.post('/v1/duty-rule-sets', rules(RATES));
  const august = await earlier(5);
  // 2 L of pure alcohol a month: 20 at 10, 24 at 12.
  expect(moneyOf(august)).toEqual([
    ['2026-03-01', '20 EUR'],
    ['2026-04-01', '20 EUR'],
    ['2026-05-01', '20 EUR'],
    ['2026-06-01', '24 EUR'],
    ['2026-07-01', '24 EUR'],
  ]);
  expect(august.map(({ causes }) => causes)).toEqual(Array.from({ length: 5 }, () => ['rules']));
  // The same rules once more change nothing.
  await floor.post('/v1/duty-rule-sets', { ...rules(RATES), name: 'Invented rules, printed again' });
  expect(moneyOf(await earlier(5))).toEqual(moneyOf(august));
});

test('a strength that is found anew changes the duty of what was released, where the measured one counts', async () => {
  const { floor, earlier, lots } = await closedMonths(rules(RATES, 'measured'));
  await floor.post(`/v1/lots/${lots[0]}/findings`, {
    method: 'certificate',
    certificate: { strength: percent(4.5), expandedUncertainty: percent(0.1), coverageFactor: 2 },
    sampledAt: '2026-03-01T09:00:00Z',
  });
  const august = await earlier(5);
  // 50 L a month by 0.5 % more: 0.25 L, 2.50 at 10 and 3.00 at 12.
  expect(moneyOf(august).map(([, money]) => money)).toEqual(['2.5 EUR', '2.5 EUR', '2.5 EUR', '3 EUR', '3 EUR']);
  expect(august[0].causes).toEqual(['strengths']);
});

test('a duty date outside the period of what is corrected is refused, and nothing is stored', async () => {
  const { floor, released } = await closedMonths(rules(RATES));
  const [{ packagedLotId }] = (await floor.get('/v1/movements')).items as { packagedLotId: string }[];
  const before = await service.rowCounts();
  const answer = await service.call('post', '/v1/movements', {
    key: floor.key,
    body: {
      kind: 'release',
      packagedLotId,
      count: 90,
      dutyDate: '2026-05-02',
      corrects: { operationId: released[1], reasonCode: 'wrong-count' },
    },
  });
  expect(problemOf(answer)).toMatchObject({ code: 'out-of-range' });
  expect(problemOf(answer).detail).toContain('from 2026-04-01 and before 2026-05-01');
  expect(await service.rowCounts()).toEqual(before);
});

test('five closed months with a changed rate: each at the rate of its own day, to the cent', async () => {
  const { floor, periods, earlier, corrected } = await closedMonths(rules(RATES));
  expect(await earlier(5)).toEqual([]);
  const april = await corrected(1, 110);
  expect(april).toMatchObject({ duty: { dutyDate: '2026-04-10' } });
  await corrected(0, 90);
  await corrected(2, 100);
  await corrected(3, 120);
  await corrected(4, 95);
  const august = await earlier(5);
  // 0.02 L a bottle: March 10 fewer, 0.2 L at 10; April 10 more; May the same count; June 20 more, 0.4 L at 12; July 5 fewer, 0.1 L at 12.
  expect(moneyOf(august)).toEqual([
    ['2026-03-01', '-2 EUR'],
    ['2026-04-01', '2 EUR'],
    ['2026-06-01', '4.8 EUR'],
    ['2026-07-01', '-1.2 EUR'],
  ]);
  const [, second, third] = august;
  expect(second.entries.map(({ kind, reasonCode }) => [kind, reasonCode])).toEqual([
    ['reversal', 'wrong-count'],
    ['movement', undefined],
  ]);
  expect(third.groups).toMatchObject([
    {
      category: 'all',
      band: 'any',
      rate: { amount: '12', currency: 'EUR' },
      declared: { litres: { value: 50 }, litresOfPureAlcoholForDuty: { value: 2 }, money: { amount: '24' } },
      corrected: { litres: { value: 60 }, litresOfPureAlcoholForDuty: { value: 2.4 }, money: { amount: '28.8' } },
      change: {
        litres: { value: 10 },
        litresOfPureAlcoholForDuty: { value: 0.4 },
        quantity: '0.4',
        money: { amount: '4.8' },
      },
      products: [
        {
          lotMark: 'B-1',
          declared: { litres: { value: 50 } },
          corrected: { litres: { value: 60 } },
          change: { litres: { value: 10 } },
        },
      ],
    },
  ]);
  // What changed since April was closed, as the officer asks it of April itself.
  const changes = await floor.get(`/v1/periods/${periods[1]}/changes`);
  expect(changes.duty).toMatchObject({ money: [{ amount: '2', currency: 'EUR' }] });

  // August declares it; in September only what changes after that is left.
  clock.set(new Date('2026-09-03T08:00:00Z'));
  await floor.post(`/v1/periods/${periods[5]}/closing`, {});
  expect(await earlier(6)).toEqual([]);
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: april.packagedLotId,
    count: 100,
    corrects: { operationId: april.id, reasonCode: 'wrong-count' },
  });
  const september = await earlier(6);
  expect(moneyOf(september)).toEqual([['2026-04-01', '-2 EUR']]);
  expect(september[0].groups).toMatchObject([
    { declared: { money: { amount: '22' } }, corrected: { money: { amount: '20' } } },
  ]);
  expect(await earlier(5)).toEqual(august);
  const nowEven = await floor.get(`/v1/periods/${periods[1]}/changes`);
  expect(nowEven.duty).toMatchObject({ groups: [], money: [] });
});

test('a correction that is corrected in the same open month belongs to the closed month still', async () => {
  const { floor, periods, earlier, release, released } = await closedMonths(rules(RATES));
  const first = await release(110, { corrects: { operationId: released[1], reasonCode: 'wrong-count' } });
  const second = await release(105, { corrects: { operationId: first.id, reasonCode: 'wrong-count' } });
  expect(second).toMatchObject({ duty: { dutyDate: '2026-04-10' } });
  expect(moneyOf(await earlier(5))).toEqual([]);
  // 5 bottles more, 0.1 L at 10; it is September by now, so that September declares it.
  const september = await earlier(6);
  expect(moneyOf(september)).toEqual([['2026-04-01', '1 EUR']]);
  const report = (await floor.get(`/v1/periods/${periods[6]}/report`)) as unknown as PeriodReport;
  expect(report.duty.releases).toEqual([]);
  expect(report.lines.find(({ line }) => line === 'released')?.litres.value).toBe(0);
  const changes = await floor.get(`/v1/periods/${periods[1]}/changes`);
  expect(changes.lines).toMatchObject([{ line: 'released', change: { litres: { value: -2.5 } } }]);
  // Taken back as a whole, nothing is left of it.
  await floor.post(`/v1/operations/${String(second.id)}/reversal`, { reasonCode: 'wrong-count' });
  await release(100, { corrects: undefined });
  expect(moneyOf(await earlier(6))).toEqual([['2026-04-01', '-20 EUR']]);
});
