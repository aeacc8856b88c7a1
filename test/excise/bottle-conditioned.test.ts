import type { LotRecord } from '../../src/excise/reporting/lot-record/lot-record.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { expectBooksHold } from '../support/books-hold.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { startingSet, withRate } from './rules-support.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

type Json = Record<string, unknown>;
const percent = (value: number) => ({ value, unit: '%' });
const day = (d: string) => ({ occurredAt: `2026-03-${d}T12:00:00Z` });
const near = (value: number, places = 4): number => expect.closeTo(value, places) as unknown as number;

/**
 * By hand. A mole of sucrose, 342.297 g (IUPAC atomic weights), takes up a mole of water and gives four of ethanol, 46.068 g each; ethanol weighs
 * 789.24 g/L at 20 °C (OIML R 22). 6 g in a litre: 6 × 4 × 46.068 / 342.297 = 3.2300 g, 4.0926 mL: 0.40926 % vol.
 */
const ADDED = (6 * 4 * 46.068) / 342.297 / 789.24 / 0.01;
const TANK = 3.2;
const FOUND = TANK + ADDED;
/** The tank's 0.02 % vol, and the yield: from 0.9 to 1 of the stoichiometric, taken as ± 0.1 rectangular; coverage 1.959964. */
const EXPANDED = 1.959964 * Math.hypot(0.02, (0.1 / Math.sqrt(3)) * ADDED);

async function conditioned(sets: readonly object[]) {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  for (const set of sets) await floor.post('/v1/duty-rule-sets', { ...set });
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'beer', litres: 200, volumeU: 0.5, percent: TANK, strengthU: 0.02 }],
    [],
  );
  const run = await floor.post(`/v1/lots/${stock.lots[0]}/packagings`, {
    vesselId: stock.vessels[0],
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    count: 300,
    emptied: false,
    declaredStrength: percent(3.6),
    conditioning: { sugar: 'sucrose', gramsPerLitre: 6 },
    ...day('05'),
  });
  return { floor, run, lotId: stock.lots[0], packagedLotId: String(run.packagedLotId) };
}

const strengthOf = (answer: Json) => ({ strength: answer.strength, expandedUncertainty: answer.expandedUncertainty });
const EXPECTED = { strength: percent(near(FOUND)), expandedUncertainty: percent(near(EXPANDED)) };

/** The set of the United Kingdom with another rule for the strength; its bands have an edge at 3.5 % vol, which the tank is below and the bottles are above. */
const uk = (rule: string) => ({
  ...withRate(startingSet('uk-litre-of-alcohol'), 'beer', '2026-01-01', 21.78),
  strengthForDuty: { rule },
});

test('the strength of bottle-conditioned goods is one figure from the run to the lot record', async () => {
  const { floor, run, lotId, packagedLotId } = await conditioned([]);
  expect(strengthOf(run)).toEqual(EXPECTED);
  expect(run).toMatchObject({ flags: [], labelCheck: { decision: 'conforms', measured: percent(near(FOUND)) } });
  // 99 L of it: what the books hold is the same strength, to the last of their six places.
  expect(run.pureAlcohol).toEqual({ value: near(0.99 * FOUND, 4), unit: 'L' });
  const kept = await floor.get(`/v1/packaged-lots/${packagedLotId}`);
  expect(strengthOf(kept)).toEqual(EXPECTED);
  const [listed] = (await floor.get(`/v1/packaged-lots?lotId=${lotId}`)).items as Json[];
  expect(listed).toEqual(kept);
  const relabelled = await floor.post(`/v1/packaged-lots/${packagedLotId}/relabellings`, {
    count: 60,
    declaredStrength: percent(3.7),
    ...day('06'),
  });
  const repacked = await floor.post(`/v1/packaged-lots/${String(relabelled.packagedLotId)}/repackings`, {
    count: 60,
    into: { container: 'can', nominalVolume: { value: 440, unit: 'mL' }, count: 45 },
    ...day('07'),
  });
  for (const answer of [relabelled, repacked]) {
    expect(strengthOf(answer)).toEqual(EXPECTED);
    expect(answer.labelCheck).toMatchObject({ measured: percent(near(FOUND)) });
    expect(strengthOf(await floor.get(`/v1/packaged-lots/${String(answer.packagedLotId)}`))).toEqual(EXPECTED);
  }
  const record = (await floor.get(`/v1/lots/${lotId}/record`)) as unknown as LotRecord;
  expect(record.packagings.map(({ strength, expandedUncertainty }) => ({ strength, expandedUncertainty }))).toEqual([
    EXPECTED,
    EXPECTED,
    EXPECTED,
  ]);
  await expectBooksHold(service, floor.producerId, floor.key);
});

test('duty by the measured strength takes it to the band, the line of the report and the money', async () => {
  const { floor, packagedLotId } = await conditioned([uk('measured')]);
  const released = await floor.post('/v1/movements', { kind: 'release', packagedLotId, count: 100, ...day('10') });
  // 33 L; 3.609 % cut to 3.6 %: 1.188 L of pure alcohol; 1.188 × 21.78 = 25.87464, cut to 25.87. The tank alone would be 3.2 %, below the edge.
  const [{ id: setId }] = (await floor.get('/v1/duty-rule-sets')).items as { id: string }[];
  const duty = {
    dutyDate: '2026-03-10',
    declaredStrength: percent(3.6),
    strengthFrom: 'measured',
    strengthForDuty: percent(3.6),
    ruleSet: { id: setId, version: '1' },
    litresOfPureAlcohol: { value: 1.188, unit: 'L' },
  };
  expect(released.duty).toMatchObject(duty);
  expect(((await floor.get(`/v1/movements/${String(released.id)}`)) as { duty: Json }).duty).toEqual(released.duty);
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const report = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  const [line] = report.duty.releases;
  expect(line).toMatchObject({
    measuredStrength: EXPECTED,
    strengthFrom: 'measured',
    strengthForDuty: percent(3.6),
    litresOfPureAlcoholForDuty: { value: 1.188 },
    band: '3.5-8.4',
    flags: [],
  });
  expect(report.duty.groups).toMatchObject([{ band: '3.5-8.4', money: { amount: '25.87', currency: 'GBP' } }]);
});

test('duty by the declared strength has no flag for a label that is right', async () => {
  const { floor, packagedLotId } = await conditioned([{ ...uk('declared'), labelTolerance: percent(0.1) }]);
  const released = await floor.post('/v1/movements', { kind: 'release', packagedLotId, count: 100, ...day('10') });
  expect(released.duty).toMatchObject({ strengthFrom: 'declared', strengthForDuty: percent(3.6) });
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const report = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  expect(report.duty.releases[0].flags).toEqual([]);
});

test('where no duty falls due, a movement answers no strength for duty', async () => {
  const { floor, packagedLotId } = await conditioned([uk('measured')]);
  const sample = await floor.post('/v1/movements', { kind: 'sample', packagedLotId, count: 2, ...day('10') });
  expect(sample.duty).toBeUndefined();
});
