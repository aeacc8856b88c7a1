import { parse } from 'csv-parse/sync';
import type { PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import { definition as reportPdf } from '../../src/excise/reporting/period/report-pdf.js';
import { reportTables } from '../../src/excise/reporting/period/report-tables.js';
import { tablesCsv } from '../../src/excise/reporting/render/csv-table.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { holds, L, materialLot, percent } from '../production/changes-world.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// Stock by owner in the period report, computed by hand.

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-05-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const MONTHS: [string, string][] = [
  ['2026-03-01', '2026-04-01'],
  ['2026-04-01', '2026-05-01'],
];
/** As a spreadsheet would take it for a formula. */
const AROLD = '=Arold & Sons (invented)';
const WEIR = 'Weir Brewery (invented)';

async function periodsOf(floor: Floor): Promise<string[]> {
  return ((await floor.get('/v1/periods')).items as { id: string }[]).map(({ id }) => id);
}

const reportOf = async (floor: Floor, id: string) =>
  (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;

/** Own: 100 L of 5 %. Weir: 60 L of 4 %, 40 bottles of 0.5 L of 5 %, 10 L of spirit of 50 %. Arold: 30 L of 6 %. */
async function opened(floor: Floor): Promise<string> {
  const lot = (owner: string): Promise<string> => floor.lot('cider', { owner });
  const liquid = async (owner: string, vessel: string, litres: number, strength: number, u: number) => ({
    lotId: await lot(owner),
    vesselId: await floor.vessel(vessel),
    volume: L(litres),
    standardUncertainty: { value: u, unit: 'L' },
    strength: percent(strength),
    strengthStandardUncertainty: { value: 0.05, unit: '%' },
  });
  const { packagedLotIds } = await floor.post('/v1/openings', {
    premisesId: floor.premisesId,
    occurredAt: '2026-03-01T08:00:00Z',
    liquids: [
      await liquid('own', 'A', 100, 5, 0.5),
      await liquid(WEIR, 'B', 60, 4, 0.3),
      await liquid(AROLD, 'C', 30, 6, 0.2),
    ],
    packaged: [
      {
        lotId: await lot(WEIR),
        container: 'bottle',
        nominalVolume: L(0.5),
        count: 40,
        lotMark: 'B',
        declaredStrength: percent(5),
        strengthStandardUncertainty: { value: 0.1, unit: '%' },
        packagedOn: '2026-03-01',
      },
    ],
  });
  await materialLot(floor, { name: 'Spirit', kind: 'spirit', strength: percent(50) }, { volume: L(10), owner: WEIR });
  return (packagedLotIds as string[])[0];
}

test('closing stock by owner: litres, alcohol and its uncertainty, in every face', async () => {
  const floor = await Floor.open(service, MONTHS);
  const [march, april] = await periodsOf(floor);
  const bottles = await opened(floor);
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: bottles,
    count: 4,
    occurredAt: '2026-03-20T12:00:00Z',
  });
  await floor.post(`/v1/periods/${march}/closing`, {});
  const report = await reportOf(floor, march);
  const { byOwner = [] } = report.stock;
  // Weir: 60 + 36 × 0.5 + 10 L; 2.4 + 0.9 fermented, 5 added.
  expect(
    byOwner.map((each) => [
      each.owner,
      ...[each.litres, each.litresOfPureAlcohol, each.fermented, each.added].map(({ value }) => value),
    ]),
  ).toEqual([
    [undefined, 100, 5, 5, 0],
    [AROLD, 30, 1.8, 1.8, 0],
    [WEIR, 88, 8.3, 3.3, 5],
  ]);
  // 1.959964 × 0.5 L; of the alcohol 1.959964 × √((0.5 × 5 %)² + (100 × 0.05 %)²).
  const [own] = byOwner;
  expect(own.expandedUncertainty.litres.value).toBeCloseTo(1.959964 * 0.5, 6);
  expect(own.expandedUncertainty.litresOfPureAlcohol.value).toBeCloseTo(1.959964 * Math.hypot(0.025, 0.05), 6);
  expect(byOwner[1].expandedUncertainty.litres.value).toBeCloseTo(1.959964 * 0.2, 6);
  const total = (pick: (each: (typeof byOwner)[number]) => number) =>
    byOwner.reduce((sum, each) => sum + pick(each), 0);
  expect(total(({ litres }) => litres.value)).toBe(report.closing.litres.value);
  expect(total(({ litresOfPureAlcohol }) => litresOfPureAlcohol.value)).toBeCloseTo(
    report.closing.litresOfPureAlcohol.value,
    9,
  );

  const rows = parse(tablesCsv(reportTables(report)), { columns: true }) as Record<string, string>[];
  expect(
    rows
      .filter(({ table, by }) => table === 'stock-sums' && by === 'owner')
      .map(({ name, litres, litres_of_pure_alcohol: lpa }) => [name, litres, lpa]),
  ).toEqual([
    ['the producer', '100', '5'],
    [`'${AROLD}`, '30', '1.8'],
    [WEIR, '88', '8.3'],
  ]);
  const evidence = (await floor.get(`/v1/periods/${march}/evidence`)) as unknown as PeriodEvidence;
  const printed = (each: PeriodReport): string =>
    JSON.stringify(
      reportPdf({ report: each, hash: 'a'.repeat(64), evidence, at: new Date('2026-05-02T08:00:00Z') }).content,
    ).replaceAll('\u200b', '');
  expect(printed(report)).toContain('"text":"owner"');
  expect(printed(report)).toContain(WEIR);
  expect(printed(report)).toMatch(/"text":"88(\.0+)?"/);

  // The next period rests on the frozen one.
  expect(await reportOf(floor, april)).toMatchObject({ reconciliation: { balances: true }, stock: { byOwner } });
  await holds(floor);
});

test('where all of it is the producer’s own, or nothing is held for another any more, the part is left out', async () => {
  const floor = await Floor.open(service, MONTHS);
  const [march, april] = await periodsOf(floor);
  const lotId = await floor.lot('cider', { owner: WEIR });
  const vesselId = await floor.vessel('B');
  await floor.post('/v1/openings', {
    premisesId: floor.premisesId,
    occurredAt: '2026-03-01T08:00:00Z',
    liquids: [
      { lotId, vesselId, volume: L(60), strength: percent(4), strengthStandardUncertainty: { value: 0.05, unit: '%' } },
    ],
  });
  await floor.post('/v1/movements', {
    kind: 'process-loss',
    lotId,
    vesselId,
    volume: L(60),
    occurredAt: '2026-04-10T12:00:00Z',
  });
  const [first, second] = [await reportOf(floor, march), await reportOf(floor, april)];
  expect(first.stock.byOwner?.map(({ owner, litres }) => [owner, litres.value])).toEqual([
    [undefined, 0],
    [WEIR, 60],
  ]);
  expect(Object.keys(second.stock)).toEqual(['byProductionState', 'byStage', 'items']);
});
