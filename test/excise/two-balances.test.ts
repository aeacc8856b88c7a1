import type { ConsolidatedReport } from '../../src/excise/reporting/consolidated/consolidated.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { balanceSums } from '../../src/excise/reporting/period/balance-sums.js';
import { balanceTable } from '../../src/excise/reporting/period/balance-tables.js';
import { releasesTable } from '../../src/excise/reporting/period/release-tables.js';
import { exactMoney, moneyText, to3 } from '../../src/excise/reporting/render/figures-text.js';
import { sumOf } from '../../src/metrology/decimals.js';
import type { Litres } from '../../src/ledger/books/litres.dto.js';
import { litresOf, toLitres } from '../../src/ledger/books/litres.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-05-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
const PERIODS: [string, string][] = [
  ['2026-03-01', '2026-04-01'],
  ['2026-04-01', '2026-05-01'],
];

/** A tank of 100 L of cider at 5 %, ten kegs of 19 L of it, and 100 bottles of 0.33 L of beer at 4.6 %. */
async function cellar() {
  const floor = await Floor.open(service, PERIODS);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [
      {
        mark: 'K-1',
        category: 'cider',
        count: 10,
        nominalLitres: 19,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.05,
        container: 'keg',
      },
      {
        mark: 'B-1',
        category: 'beer',
        count: 100,
        nominalLitres: 0.33,
        declaredPercent: 4.5,
        percent: 4.6,
        strengthU: 0.1,
      },
    ],
  );
  const [march, april] = ((await floor.get('/v1/periods')).items as { id: string; startsOn: string }[])
    .toSorted((a, b) => (a.startsOn < b.startsOn ? -1 : 1))
    .map(({ id }) => id);
  const [kegs, bottles] = stock.packaged;
  return { floor, kegs, bottles, tank: { lotId: stock.lots[0], vesselId: stock.vessels[0] }, march, april };
}

const reportOf = async (floor: Floor, periodId: string) =>
  (await floor.get(`/v1/periods/${periodId}/report`)) as unknown as PeriodReport;
const move = (floor: Floor, kind: string, packagedLotId: string, count: number, day: string, more: object = {}) =>
  floor.post('/v1/movements', {
    kind,
    packagedLotId,
    count,
    counterparty: 'Corner shop (invented)',
    occurredAt: `2026-${day}T12:00:00Z`,
    ...more,
  });

type Balance = PeriodReport['balances'][number];
const litresIn = ({ litres, litresOfPureAlcohol }: { litres: Litres; litresOfPureAlcohol: Litres }) => [
  litres.value,
  litresOfPureAlcohol.value,
];
const sumsOf = ({
  opening,
  in: into,
  out,
  adjusted,
  closing,
}: Omit<Balance, 'lines' | 'dutyStatus' | 'reconciliation'>) => [opening, into, out, adjusted, closing].map(litresIn);
const linesIn = ({ lines }: { readonly lines: readonly Omit<Balance['lines'][number], 'operations'>[] }) =>
  lines.map((each) => [each.line, ...litresIn(each)]);

test('goods that come back as paid and go out again are a balance of their own, and the releases add up', async () => {
  const { floor, kegs, march } = await cellar();
  await move(floor, 'release', kegs, 3, '03-05');
  await move(floor, 'return', kegs, 2, '03-10', { dutyStatus: 'paid' });
  await move(floor, 'release', kegs, 1, '03-12', { dutyStatus: 'paid' });
  const report = await reportOf(floor, march);
  const [suspended, paid] = report.balances;
  // By hand. Opening: 100 + 190 + 33 L; 5 + 9.5 + 1.518 L of pure alcohol. Released: 57 L, 2.85 L.
  expect(sumsOf(suspended)).toEqual([
    [323, 16.018],
    [0, 0],
    [-57, -2.85],
    [0, 0],
    [266, 13.168],
  ]);
  // Two kegs back, one out again.
  expect(sumsOf(paid)).toEqual([
    [0, 0],
    [38, 1.9],
    [-19, -0.95],
    [0, 0],
    [19, 0.95],
  ]);
  expect(linesIn(suspended)).toEqual([['released', -57, -2.85]]);
  expect(linesIn(paid)).toEqual([
    ['released', -19, -0.95],
    ['returned', 38, 1.9],
  ]);
  expect([suspended, paid].map(({ reconciliation }) => reconciliation.balances)).toEqual([true, true]);
  expect(litresIn(report.closing)).toEqual([285, 14.118]);
  // The table of releases adds up to the line of the books: 57 + 19 L, 2.85 + 0.95 L of pure alcohol.
  const { rows } = releasesTable(report.duty);
  const total = (column: string) => toLitres(sumOf(rows.map((row) => litresOf(row[column] as Litres)))).value;
  expect([total('litres'), total('litres_of_pure_alcohol_in_books')]).toEqual([76, 3.8]);
  expect(report.lines.find(({ line }) => line === 'released')).toMatchObject({
    litres: { value: -76 },
    litresOfPureAlcohol: { value: -3.8 },
  });
  expect(rows.map(({ duty_status, count }) => [duty_status, count])).toEqual([
    ['suspended', 3],
    ['paid', 1],
  ]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('without a duty status, it follows the goods: paid where all of it is, and where what comes back had gone out so', async () => {
  const { floor, kegs } = await cellar();
  await move(floor, 'release', kegs, 10, '03-05');
  // Ten kegs that went out under suspension come back so, unless the maker says otherwise.
  expect(await move(floor, 'return', kegs, 1, '03-06')).not.toHaveProperty('dutyStatus');
  await move(floor, 'release', kegs, 1, '03-07');
  expect(await move(floor, 'return', kegs, 2, '03-10', { dutyStatus: 'paid' })).toMatchObject({ dutyStatus: 'paid' });
  const again = await move(floor, 'release', kegs, 1, '03-12');
  expect(again).toMatchObject({ dutyStatus: 'paid' });
  expect(again).not.toHaveProperty('duty');
  expect(await move(floor, 'return', kegs, 1, '03-14', { returnOf: again.id })).toMatchObject({ dutyStatus: 'paid' });
  await expectBooksHold(service, floor.producerId, floor.key);
});

/** Five litres of spirit of 96 % bought duty paid, of which two go into a suspended lot. */
async function paidSpirit(floor: Floor) {
  const material = await floor.post('/v1/materials', {
    name: 'Spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const lot = await floor.post('/v1/material-lots', {
    materialId: material.id,
    premisesId: floor.premisesId,
    code: 'P-1',
    volume: L(5),
    dutyStatus: 'paid',
    occurredAt: '2026-03-02T09:00:00Z',
  });
  await floor.post(`/v1/lots/${await floor.lot('spirit-drink')}/spirit-charges`, {
    vesselId: await floor.vessel('D1', 'tank'),
    spirits: [{ materialLotId: lot.id, volume: L(2) }],
    water: L(18),
    occurredAt: '2026-03-03T09:00:00Z',
  });
}

test('paid spirit in a suspended lot is a move from one balance into the other', async () => {
  const { floor, march, april } = await cellar();
  await paidSpirit(floor);
  const report = await reportOf(floor, march);
  const [suspended, paid] = report.balances;
  expect(linesIn(paid)).toEqual([
    ['receipts', 5, 4.8],
    ['duty-status-moves', -2, -1.92],
  ]);
  expect(linesIn(suspended).find(([line]) => line === 'duty-status-moves')).toEqual(['duty-status-moves', 2, 1.92]);
  expect(litresIn(paid.closing)).toEqual([3, 2.88]);
  expect(report.balances.map(({ reconciliation }) => reconciliation.balances)).toEqual([true, true]);
  expect(report.categories.every(({ balances }) => balances)).toBe(true);
  const statuses = report.categories.map(({ category, dutyStatus }) => `${category} ${dutyStatus}`);
  expect(statuses).toEqual(['beer suspended', 'cider suspended', 'materials paid', 'spirit-drink suspended']);
  // The operations behind the move are found by its link.
  const { items } = (await floor.get(paid.lines[1].operations)) as { items: { kind: string }[] };
  expect(items.map(({ kind }) => kind)).toEqual(['spirit-charge']);
  // The next period opens with each of the two balances.
  await floor.post(`/v1/periods/${march}/closing`, {});
  const next = await reportOf(floor, april);
  expect(next.balances.map(({ opening, closing }) => [opening, closing].map(litresIn))).toEqual(
    report.balances.map(({ closing }) => [closing, closing].map(litresIn)),
  );
});

test('the first report opens with the opening stock, and every figure of the first page is the sum of its table', async () => {
  const { floor, kegs, bottles, march } = await cellar();
  await paidSpirit(floor);
  await move(floor, 'release', kegs, 3, '03-05');
  await move(floor, 'return', kegs, 2, '03-10', { dutyStatus: 'paid' });
  // Ten bottles missing, a keg more: 3.3 L and 19 L, never netted.
  await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    occurredAt: '2026-03-20T18:00:00Z',
    counts: [
      { packagedLotId: bottles, count: 90, reasonCode: 'breakage' },
      { packagedLotId: kegs, count: 8, reasonCode: 'counting-error' },
    ],
  });
  const report = await reportOf(floor, march);
  expect(report.opening).toMatchObject({ source: 'first-period', litres: { value: 323 } });
  expect(report.lines.find(({ line }) => line === 'opening')).toMatchObject({ litres: { value: 0 } });
  const { items: openings } = (await floor.get(String(report.opening.operations))) as { items: { kind: string }[] };
  expect(openings.map(({ kind }) => kind)).toEqual(['opening']);
  const line = (name: string) => {
    const found = report.lines.find((each) => each.line === name);
    return found && litresIn(found);
  };
  expect([line('stock-surplus'), line('stock-shortage')]).toEqual([
    [19, 0.95],
    [-3.3, -0.1518],
  ]);
  expect(report.stages.every(({ balances }) => balances)).toBe(true);
  // Rows of the table as a reader adds them up: between the opening and each sum stand the lines of its group.
  const rows = balanceTable(report).rows;
  const measures = ['litres', 'litres_of_pure_alcohol'] as const;
  const sums = new Map<string, string[]>();
  for (const status of ['suspended', 'paid']) {
    let group: (typeof rows)[number][] = [];
    for (const row of rows.filter(({ duty_status }) => duty_status === status)) {
      const name = String(row.line);
      if (row.emphasised !== true) {
        group.push(row);
        continue;
      }
      const added = name === 'opening' || name === 'closing' ? [row] : group;
      sums.set(
        `${status} ${name}`,
        measures.map((each) => to3(toLitres(sumOf(added.map((one) => litresOf(one[each] as Litres)))))),
      );
      group = [];
    }
  }
  const names = { 'Under suspension': 'suspended', 'Duty paid': 'paid' };
  const printed = balanceSums(report).filter(({ name }) => !name.startsWith('Together'));
  expect(printed.length).toBe(10);
  for (const { name, figures } of printed) {
    const [balance, sum] = name.split(': ');
    const added = sums.get(`${names[balance as keyof typeof names]} ${sum}`) ?? [];
    expect([name, to3(figures.litres), to3(figures.litresOfPureAlcohol)]).toEqual([name, ...added]);
  }
  // The weeks add up to the whole, group by group.
  for (const group of ['in', 'out', 'adjusted'] as const) {
    const weeks = report.turnover.weeks.map((week) => litresOf(week[group].litres));
    expect(toLitres(sumOf(weeks))).toEqual(report.turnover[group].litres);
  }
});

test('the consolidated report has the two balances, the surplus and the shortage, and the opening stock', async () => {
  const { floor, kegs, bottles } = await cellar();
  await paidSpirit(floor);
  await move(floor, 'release', kegs, 3, '03-05');
  await move(floor, 'return', kegs, 2, '03-10', { dutyStatus: 'paid' });
  await floor.post('/v1/stock-takes', {
    premisesId: floor.premisesId,
    occurredAt: '2026-04-20T18:00:00Z',
    counts: [
      { packagedLotId: bottles, count: 90, reasonCode: 'breakage' },
      { packagedLotId: kegs, count: 8, reasonCode: 'counting-error' },
    ],
  });
  const report = (await floor.get(
    '/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-05-01',
  )) as unknown as ConsolidatedReport;
  const [suspended, paid] = report.balances;
  expect([suspended.opening, paid.opening].map(litresIn)).toEqual([
    [323, 16.018],
    [0, 0],
  ]);
  expect(linesIn(paid)).toEqual([
    ['receipts', 5, 4.8],
    ['returned', 38, 1.9],
    ['duty-status-moves', -2, -1.92],
  ]);
  expect(linesIn(suspended).slice(-3)).toEqual([
    ['stock-surplus', 19, 0.95],
    ['stock-shortage', -3.3, -0.1518],
    ['duty-status-moves', 2, 1.92],
  ]);
  expect([suspended, paid].map(({ reconciliation }) => reconciliation.balances)).toEqual([true, true]);
  expect([report.reconciliation.balances, report.reports.balances]).toEqual([true, true]);
  expect(report.categories.every(({ balances }) => balances)).toBe(true);
});

test.each([
  ['JPY', '1234', '1 234', '1234'],
  ['EUR', '43.5', '43.50', '43.50'],
  ['EUR', '-0.125', '−0.12', '-0.125'],
  ['BHD', '7.4', '7.400', '7.400'],
])('money of %s has the decimals of the currency (ISO 4217): %s', (currency, amount, page, csv) => {
  // Minor units by ISO 4217: JPY 0, EUR 2, BHD 3.
  expect(moneyText({ currency, amount }).replace(/\u00a0/g, ' ')).toBe(page);
  expect(exactMoney({ currency, amount })).toBe(csv);
});
