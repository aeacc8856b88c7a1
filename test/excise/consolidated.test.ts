import { parse } from 'csv-parse/sync';
import type { ConsolidatedReport } from '../../src/excise/reporting/consolidated/consolidated.dto.js';
import { definition as consolidatedPdf } from '../../src/excise/reporting/consolidated/consolidated-pdf.js';
import { consolidatedTables } from '../../src/excise/reporting/consolidated/consolidated-tables.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Figures } from '../../src/ledger/books/litres.dto.js';
import { REPORT_LINES } from '../../src/ledger/figures/report-lines.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { startingSet, withRate } from './rules-support.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const MONTHS: [string, string][] = [
  ['2026-01-01', '2026-02-01'],
  ['2026-02-01', '2026-03-01'],
  ['2026-03-01', '2026-04-01'],
];
// The normal quantile at 97.5 %, which JCGM 100 Table G.2 prints as 1.960.
const k = 1.959964;
const PATH = '/v1/consolidated-reports';
const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

interface Producer {
  readonly floor: Floor;
  readonly hill: string;
  readonly bottles: string;
}

/**
 * Mill Lane opens with 100 half-litres at 5 %, the Hill with 200 bottles of 0.33 L at 4 %. On 30 January 40 of the half-litres leave for the Hill,
 * on 1 February 38 arrive; ten are released from Mill Lane and eight from the Hill.
 */
async function twoPremises(timeZone = 'Europe/London', arrivedAt = '2026-02-01T12:00:00Z'): Promise<Producer> {
  const floor = await Floor.open(service, MONTHS);
  await floor.post('/v1/duty-rule-sets', {
    ...withRate(startingSet('uk-litre-of-alcohol'), 'beer', '2026-01-01', 21.78),
  });
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone })).id);
  for (const [startsOn, endsBefore] of MONTHS) {
    await floor.post('/v1/periods', { premisesId: hill, startsOn, endsBefore });
  }
  const { packaged } = await openStock(
    floor,
    '2026-01-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  const lotId = await floor.lot('beer', { premisesId: hill });
  await floor.post('/v1/openings', {
    premisesId: hill,
    occurredAt: '2026-01-01T08:00:00Z',
    packaged: [
      {
        lotId,
        container: 'bottle',
        nominalVolume: L(0.33),
        count: 200,
        lotMark: 'H-1',
        declaredStrength: percent(4),
        strength: percent(4),
        strengthStandardUncertainty: { value: 0.1, unit: '%' },
        packagedOn: '2026-01-01',
      },
    ],
  });
  const transit = await floor.post('/v1/transits', {
    packagedLotId: packaged[0],
    count: 40,
    toPremisesId: hill,
    document: 'DOC-7',
    occurredAt: '2026-01-30T12:00:00Z',
  });
  await floor.post(`/v1/transits/${String(transit.id)}/arrival`, {
    count: 38,
    reasonCode: 'breakage',
    occurredAt: arrivedAt,
  });
  for (const [premisesId, count] of [
    [floor.premisesId, 10],
    [hill, 8],
  ] as const) {
    await floor.post('/v1/movements', {
      kind: 'release',
      packagedLotId: packaged[0],
      premisesId,
      count,
      occurredAt: '2026-02-10T12:00:00Z',
    });
  }
  return { floor, hill, bottles: packaged[0] };
}

const path = (startsOn: string, endsBefore: string) => `${PATH}?startsOn=${startsOn}&endsBefore=${endsBefore}`;
const QUARTER = path('2026-01-01', '2026-04-01');
const reportOf = async (floor: Floor, at = QUARTER) => (await floor.get(at)) as unknown as ConsolidatedReport;
const litresOf = (figures: Figures) => [figures.litres.value, figures.litresOfPureAlcohol.value];
const lineOf = (report: ConsolidatedReport, name: string) => {
  const each = report.lines.find(({ line }) => line === name);
  if (each === undefined) throw new Error(`no line ${name}`);
  return each;
};
const periodsOf = async (floor: Floor, premisesId: string) =>
  (await floor.get(`/v1/periods?premisesId=${premisesId}`)).items as { id: string }[];

test('each line over the premises, with what moved between them netted out; opening, in and out make closing', async () => {
  const { floor, hill } = await twoPremises();
  const report = await reportOf(floor);
  expect(report.lines.map(({ line }) => line)).toEqual([...REPORT_LINES]);
  // 50 + 66 L open; 9 L are released, 1 L is lost on the way; what moved between the premises is nothing in all.
  expect(litresOf(lineOf(report, 'opening'))).toEqual([0, 0]);
  expect(litresOf(lineOf(report, 'released'))).toEqual([-9, -0.45]);
  expect(litresOf(lineOf(report, 'transit-loss'))).toEqual([-1, -0.05]);
  const moves = lineOf(report, 'premises-moves');
  expect(litresOf(moves)).toEqual([0, 0]);
  expect(moves.expandedUncertainty.litresOfPureAlcohol.value).toBe(0);
  expect(moves.byPremises.map((each) => [each.premisesId, ...litresOf(each)])).toEqual(
    expect.arrayContaining([
      [floor.premisesId, -19, -0.95],
      [hill, 19, 0.95],
    ]),
  );
  expect(litresOf(report.opening)).toEqual([116, 5.14]);
  expect(litresOf(report.closing)).toEqual([106, 4.64]);
  expect(report.reconciliation).toMatchObject({
    difference: { litres: L(0), fermented: L(0), added: L(0) },
    balances: true,
  });
  // In and out count over all premises: nothing in, 10 out, and the move is neither.
  expect(litresOf(report.turnover.in)).toEqual([0, 0]);
  expect(litresOf(report.turnover.out)).toEqual([-10, -0.5]);
  expect(report.premises.map(({ name, closing, coversSpan }) => [name, ...litresOf(closing), coversSpan])).toEqual(
    expect.arrayContaining([
      ['Mill Lane', 25, 1.25, true],
      ['Hill', 81, 3.39, true],
    ]),
  );
  expect(report.categories).toMatchObject([{ category: 'beer', balances: true, closing: { litres: L(106) } }]);
  expect(report.reports.balances).toBe(true);
});

test('uncertainty by origin over all: the strength of one lot in two places adds linearly', async () => {
  const { floor } = await twoPremises();
  const report = await reportOf(floor);
  const uncertainties = Object.fromEntries(
    report.premises.map(({ name, closing }) => [name, closing.expandedUncertainty.litresOfPureAlcohol.value]),
  );
  // Of the half-litres 25 L are at Mill Lane and 15 L at the Hill, both ± 0.1 % vol of one finding; 66 L ± 0.1 % vol of another.
  expect(uncertainties['Mill Lane']).toBeCloseTo(k * 0.025, 6);
  expect(uncertainties['Hill']).toBeCloseTo(k * Math.hypot(0.015, 0.066), 6);
  expect(report.closing.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(k * Math.hypot(0.04, 0.066), 6);
  const released = lineOf(report, 'released');
  expect(released.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(k * 0.009, 6);
});

test('in transit at both ends of the span, with the tie', async () => {
  const { floor, hill } = await twoPremises();
  const january = await reportOf(floor, path('2026-01-01', '2026-02-01'));
  expect(january.betweenPremises.consignments).toMatchObject([
    {
      fromPremisesId: floor.premisesId,
      toPremisesId: hill,
      inTransitAtStart: { litres: L(0) },
      sent: { litres: L(20), litresOfPureAlcohol: L(1) },
      received: { litres: L(0) },
      lost: { litres: L(0) },
      inTransitAtEnd: { litres: L(20), litresOfPureAlcohol: L(1) },
    },
  ]);
  const february = await reportOf(floor, path('2026-02-01', '2026-03-01'));
  expect(february.betweenPremises.consignments).toMatchObject([
    {
      inTransitAtStart: { litres: L(20) },
      sent: { litres: L(0) },
      received: { litres: L(19), litresOfPureAlcohol: L(0.95) },
      lost: { litres: L(1), litresOfPureAlcohol: L(0.05) },
      inTransitAtEnd: { litres: L(0) },
    },
  ]);
  for (const { betweenPremises } of [january, february]) {
    expect(betweenPremises).toMatchObject({
      sameBoundaries: true,
      tie: { balances: true, difference: { litres: L(0) } },
    });
  }
  expect(litresOf(february.opening)).toEqual([116, 5.14]);
  expect(february.opening.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(k * Math.hypot(0.05, 0.066), 6);
});

test('for duty it is the sum of the periods, each rounded first', async () => {
  const { floor } = await twoPremises();
  const { duty } = await reportOf(floor);
  // 0.25 × 21.78 = 5.445, cut to 5.44; 0.2 × 21.78 = 4.356, cut to 4.35. Rounded together it would have been 9.80.
  expect(duty).toMatchObject({
    litres: L(9),
    litresOfPureAlcoholForDuty: L(0.45),
    litresOfPureAlcoholInBooks: L(0.45),
    money: [{ currency: 'GBP', amount: '9.79' }],
    tie: { litres: L(0), balances: true },
  });
  expect(duty.groups).toMatchObject([
    {
      category: 'beer',
      band: '3.5-8.4',
      releases: 2,
      periods: 2,
      quantity: { result: '0.45' },
      money: { amount: '9.79' },
    },
  ]);
  expect(
    duty.periods
      .filter(({ litres }) => litres.value > 0)
      .map(({ startsOn, money }) => [startsOn, money[0].amount])
      .sort(),
  ).toEqual([
    ['2026-02-01', '4.35'],
    ['2026-02-01', '5.44'],
  ]);
});

test('says which periods are closed, with the hash of each; of closed ones alone it is the same bytes whenever it is asked for', async () => {
  const { floor, hill, bottles } = await twoPremises();
  const hashes: string[] = [];
  for (const premisesId of [floor.premisesId, hill]) {
    const [january] = await periodsOf(floor, premisesId);
    hashes.push(String((await floor.post(`/v1/periods/${january.id}/closing`, {})).reportHash));
  }
  const quarter = await reportOf(floor);
  expect([quarter.status, quarter.openPeriods]).toEqual(['provisional', 4]);
  const periods = quarter.premises.flatMap((each) => each.periods);
  expect(
    periods
      .filter(({ state }) => state === 'closed')
      .map(({ reportHash }) => reportHash)
      .sort(),
  ).toEqual(hashes.sort());
  expect(periods.filter(({ state }) => state === 'open')).toHaveLength(4);
  expect(quarter.reports.balances).toBe(true);

  const january = path('2026-01-01', '2026-02-01');
  const closed = await reportOf(floor, january);
  expect([closed.status, closed.openPeriods]).toEqual(['closed', 0]);
  const sums = await Promise.all(
    [floor.premisesId, hill].map(async (premisesId) => {
      const [{ id }] = await periodsOf(floor, premisesId);
      return (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
    }),
  );
  expect(closed.closing.litres.value).toBe(sums[0].closing.litres.value + sums[1].closing.litres.value);
  const before = (await service.expect(200, 'get', january, { key: floor.key })).text;
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    count: 1,
    occurredAt: '2026-03-10T12:00:00Z',
  });
  expect((await service.expect(200, 'get', january, { key: floor.key })).text).toBe(before);
  for (const format of ['zip', 'pdf']) {
    const bytes = async () =>
      (await service.expect(200, 'get', `${january}&format=${format}`, { key: floor.key })).headers[
        'content-digest'
      ] as string;
    expect(await bytes()).toBe(await bytes());
  }
});

test('premises whose months end at other instants: what arrives between two edges is shown, not hidden', async () => {
  // In Auckland February begins on 31 January at 11:00 UTC: the goods arrive there in February, and leave London's books in January.
  const { floor } = await twoPremises('Pacific/Auckland', '2026-01-31T18:00:00Z');
  const january = await reportOf(floor, path('2026-01-01', '2026-02-01'));
  expect(january.betweenPremises.sameBoundaries).toBe(false);
  expect(litresOf(lineOf(january, 'premises-moves'))).toEqual([-19, -0.95]);
  expect(january.betweenPremises.tie).toMatchObject({ balances: false, difference: { litres: L(-19) } });
  expect(january.reconciliation.balances).toBe(true);
  const quarter = await reportOf(floor);
  expect(quarter.betweenPremises.tie.balances).toBe(true);
  expect(litresOf(lineOf(quarter, 'premises-moves'))).toEqual([0, 0]);
});

test('CSV, ZIP and PDF say the same', async () => {
  const { floor } = await twoPremises();
  const csv = parse<Record<string, string>>(
    (await service.expect(200, 'get', `${QUARTER}&format=csv`, { key: floor.key })).text,
    { columns: true },
  );
  const row = (line: string, premises: string) =>
    csv.find((each) => each.table === 'balance' && each.line === line && each.premises === premises);
  expect(row('released', '')).toMatchObject({ litres: '-9', litres_of_pure_alcohol: '-0.45' });
  expect(row('premises-moves', 'Hill')).toMatchObject({ litres: '19' });
  expect(row('closing', '')).toMatchObject({ litres: '106', litres_of_pure_alcohol: '4.64' });
  const zip = await service.expect(200, 'get', `${QUARTER}&format=zip`, { key: floor.key });
  expect(zip.headers['content-type']).toBe('application/zip');
  const report = await reportOf(floor);
  const tables = consolidatedTables(report);
  expect(tables.map(({ name }) => name)).toEqual([
    'report',
    'periods',
    'balances',
    'balance',
    'categories',
    'stages',
    'weeks',
    'between-premises',
    'ties',
    'books-and-reports',
    'duty',
    'duty-periods',
    'earlier-periods-and-returns',
    'indicated-duty',
    'deficiency',
  ]);
  const pdf = await service.expect(200, 'get', QUARTER, { key: floor.key, headers: { accept: 'application/pdf' } });
  expect(pdf.headers['content-type']).toBe('application/pdf');
  expect(pdf.headers['content-disposition']).toContain('2026-01-01-consolidated.pdf');
  const { content } = consolidatedPdf({ report, hash: 'a'.repeat(64), at: new Date('2026-04-02T10:00:00Z') });
  const text = JSON.stringify(content).replaceAll('\u200b', '');
  for (const part of [
    'Between own premises',
    '"text":"9.79","bold":true',
    'PROVISIONAL',
    report.trail.hash,
    '"text":"open","bold":true',
    'Hill',
    '"text":"106"',
  ]) {
    expect(text).toContain(part);
  }
});

test('what cannot be added up is refused with its code', async () => {
  const { floor } = await twoPremises();
  const refusals: [string, number, string][] = [
    [path('2026-01-15', '2026-04-01'), 422, 'out-of-range'],
    [path('2026-01-01', '2026-03-15'), 422, 'out-of-range'],
    [path('2026-03-01', '2026-03-01'), 422, 'out-of-range'],
    [path('2027-01-01', '2027-02-01'), 404, 'not-found'],
    [path('2026-02-30', '2026-04-01'), 400, 'validation-failed'],
    [PATH, 400, 'validation-failed'],
    [`${QUARTER}&format=docx`, 400, 'validation-failed'],
  ];
  const other = await service.newProducer('Other');
  const before = await service.rowCounts();
  for (const [at, status, code] of refusals) {
    const refused = await service.call('get', at, { key: floor.key });
    expect([at, refused.status, problemOf(refused).code]).toEqual([at, status, code]);
  }
  const html = await service.call('get', QUARTER, { key: floor.key, headers: { accept: 'text/html' } });
  expect([html.status, problemOf(html).code]).toEqual([406, 'not-acceptable']);
  expect((await service.call('get', QUARTER, { key: other.key })).status).toBe(404);
  expect(await service.rowCounts()).toEqual(before);
});
