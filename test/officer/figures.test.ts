import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { createHash } from 'node:crypto';
import { RATES } from '../two-years/duty-rules.js';
import type { PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import type { Movement } from '../../src/excise/movements/movements.dto.js';
import type { LotRecord } from '../../src/excise/reporting/lot-record/lot-record.dto.js';
import type { ProductionYear } from '../../src/excise/reporting/production-year/production-year.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { StockTake } from '../../src/excise/movements/stock-takes/stock-takes.dto.js';
import { Desk, micro, total } from './desk.js';

// The officer's questions on figures: docs/officer-questions.md. Whoever comes first makes the two years.
jest.setTimeout(600_000);

let desk: Desk;
let reports: { main: PeriodReport[]; second: PeriodReport[] };
let every: PeriodReport[];
beforeAll(async () => {
  desk = await Desk.open();
  reports = await desk.reports();
  every = [...reports.main, ...reports.second];
});
afterAll(() => desk.close());

const BANDS = ['untaxed', 'light', 'ordinary', 'strong'];
const MEASURES = ['litres', 'litresOfPureAlcohol', 'fermented', 'added'] as const;
const GROUPS = ['in', 'out', 'adjusted'] as const;
/** What neither came in nor went out: moves within the books of the producer, corrections of strength and of earlier periods. */
const ADJUSTED = [
  're-measurement',
  'category-moves',
  'premises-moves',
  'used-as-material',
  'duty-status-moves',
  'earlier-period',
];

test('1: each period opens on exactly what the last one closed on', async () => {
  for (const [name, ids] of Object.entries(desk.years.landmarks.periods)) {
    const own = reports[name as 'main' | 'second'];
    for (let month = 1; month < own.length; month += 1) {
      const before = await desk.text(`/v1/periods/${ids[month - 1]}/report`);
      expect(own[month].opening).toMatchObject({
        source: 'frozen-report',
        periodId: ids[month - 1],
        reportHash: createHash('sha256').update(before).digest('hex'),
      });
      for (const measure of MEASURES) {
        expect(micro(own[month].opening[measure])).toBe(micro(own[month - 1].closing[measure]));
      }
    }
    expect(own[0].opening.source).toBe('first-period');
  }
});

test('2: opening, in, out and adjusted make closing for each duty status, each class of product and each stage', () => {
  for (const { reconciliation, categories, stages, balances, opening, closing, turnover, lines } of every) {
    expect(reconciliation.balances).toBe(true);
    expect(balances.map(({ dutyStatus }) => dutyStatus)).toEqual(['suspended', 'paid']);
    for (const measure of MEASURES) {
      for (const whole of [{ opening, ...turnover, closing }, ...balances]) {
        const sums = [whole.opening, ...GROUPS.map((group) => whole[group])].map((figures) => figures[measure]);
        expect(total(sums)).toBe(micro(whole.closing[measure]));
      }
      // Each sum is that of its lines, in the whole and in each balance, and the two balances make the whole.
      for (const whole of [{ ...turnover, lines }, ...balances]) {
        const adjusted = whole.lines.filter(({ line }) => ADJUSTED.includes(line));
        expect(micro(whole.adjusted[measure])).toBe(total(adjusted.map((line) => line[measure])));
        const rest = whole.lines.filter(({ line }) => !ADJUSTED.includes(line));
        expect(total([whole.in[measure], whole.out[measure]])).toBe(total(rest.map((line) => line[measure])));
      }
      for (const [name, whole] of Object.entries({
        opening,
        in: turnover.in,
        out: turnover.out,
        adjusted: turnover.adjusted,
        closing,
      })) {
        const parts = balances.map((balance) => balance[name as 'opening' | 'closing' | (typeof GROUPS)[number]]);
        expect(total(parts.map((part) => part[measure]))).toBe(micro(whole[measure]));
      }
      expect(total(lines.map((line) => line[measure]))).toBe(micro(closing[measure]) - micro(opening[measure]));
      for (const parts of [categories, stages]) {
        expect(total(parts.map((part) => part.opening[measure]))).toBe(micro(opening[measure]));
        expect(total(parts.map((part) => part.closing[measure]))).toBe(micro(closing[measure]));
      }
      for (const category of categories) {
        const sums = [category.opening, ...category.lines].map((figures) => figures[measure]);
        expect(total(sums)).toBe(micro(category.closing[measure]));
      }
      for (const stage of stages) {
        expect(total([stage.opening, stage.in, stage.out].map((figures) => figures[measure]))).toBe(
          micro(stage.closing[measure]),
        );
      }
    }
    expect([...categories, ...stages].filter(({ balances }) => !balances)).toEqual([]);
  }
  // Goods count at the premises that they go to as soon as they are sent, so the two have the same litres with opposite signs.
  const moved = ({ lines }: PeriodReport): bigint =>
    total(lines.filter(({ line }) => line === 'premises-moves').map(({ litres }) => litres));
  expect(reports.second.map(moved)).toEqual(reports.main.map((report) => -moved(report)));
  expect(reports.main.filter((report) => moved(report) !== 0n).length).toBeGreaterThan(12);
  expect(
    new Set(reports.main.flatMap(({ categories }) => categories.map(({ category }) => category))).size,
  ).toBeGreaterThan(3);
});

test('3: what one side gave the other side took, inside the premises and between them', async () => {
  for (const { ties } of every) {
    for (const { totalInputs, totalOutputs, difference, balances } of ties) {
      expect(balances).toBe(true);
      for (const measure of MEASURES) {
        expect(micro(totalOutputs[measure]) - micro(totalInputs[measure])).toBe(micro(difference[measure]));
        expect(micro(difference[measure])).toBe(0n);
      }
    }
  }
  type Transit = {
    id: string;
    state: string;
    count: number;
    arrival?: { count: number; loss: { value: number }; reasonCode?: string };
  };
  const transits = await desk.all<Transit>('/v1/transits');
  expect(transits.length).toBeGreaterThan(5);
  for (const { state, count, arrival } of transits.filter((each) => each.state === 'arrived')) {
    expect(state).toBe('arrived');
    expect(arrival?.count).toBeLessThanOrEqual(count);
  }
  const { transitId } = desk.at('lostOnTheWay');
  const lost = await desk.get<Transit>(`/v1/transits/${transitId}`);
  expect(lost.arrival?.loss.value).toBeGreaterThan(0);
  expect(lost.arrival?.reasonCode).toBeDefined();
});

test('4: what duty is indicated on is what was released, less what came back, tied to the books', async () => {
  for (const { duty, lines } of every) {
    expect(duty.tie.balances).toBe(true);
    expect(total(duty.releases.map(({ litres }) => litres))).toBe(micro(duty.litres));
    expect(total(duty.releases.map((each) => each.litresOfPureAlcoholForDuty))).toBe(
      micro(duty.litresOfPureAlcoholForDuty),
    );
    expect(total(duty.groups.map(({ litres }) => litres))).toBe(micro(duty.litres));
    expect(lines.map(({ line }) => line)).toContain('released');
  }
  const { movementId, ...place } = desk.at('returned');
  const report = await desk.reportOf(place);
  const returned = await desk.get<Movement>(`/v1/movements/${movementId}`);
  expect(returned.kind).toBe('return');
  // Goods that came back stand on a line of their own, which is made of their entries and of nothing else.
  const { figures, operations } = await desk.get<PeriodEvidence>(`/v1/periods/${place.periodId}/evidence`);
  const behind = figures.find((each) => each.figure === 'line' && each.line === 'returned')?.operations ?? [];
  const entries = operations.filter(({ sequence }) => behind.includes(sequence));
  expect(entries.map(({ id }) => id)).toContain(movementId);
  const line = report.lines.find((each) => each.line === 'returned');
  for (const measure of ['litres', 'litresOfPureAlcohol'] as const) {
    expect(micro(line?.[measure] ?? { value: 0 })).toBe(total(entries.map((each) => each[measure])));
  }
  // Duty on what came back: at the rate of the movement that it came from, and in the one sum with its sign.
  const goods = report.duty.returned.goods.filter(({ operationId }) => operationId === movementId);
  expect(goods.length).toBeGreaterThan(0);
  for (const { releaseId, dutyDate } of goods) {
    const release = await desk.get<Movement>(`/v1/movements/${releaseId}`);
    expect([release.kind, release.duty?.dutyDate, release.packagedLotId]).toEqual([
      'release',
      dutyDate,
      returned.packagedLotId,
    ]);
  }
  for (const { money } of every) {
    for (const { releases, deficiency, earlierPeriods, returns, total: all } of money) {
      const cents = [releases, deficiency, earlierPeriods].reduce(
        (sum, each) => sum + micro({ value: Number(each) }),
        0n,
      );
      expect(micro({ value: Number(all) })).toBe(cents + micro({ value: Number(returns) }));
    }
  }
});

test('10: each loss with its day, product, litres, alcohol and reason, and their pattern over the months', async () => {
  const losses = every.flatMap((report) => report.losses);
  expect(losses.length).toBeGreaterThan(48);
  for (const { day, category, litres, operationId, operations, product, strength, judgement, recordedAt } of losses) {
    expect(day).toMatch(/^20\d\d-\d\d-\d\d$/);
    expect([product, recordedAt]).toEqual([expect.stringMatching(/./), expect.stringMatching(/Z$/)]);
    expect(strength?.value).toBeGreaterThanOrEqual(0);
    // A probability where an uncertainty is stated, and none where it is not.
    expect(judgement?.probability === undefined).toBe(judgement?.uncertainty === 'not-stated');
    expect([category, operations]).toEqual([expect.stringMatching(/./), `/v1/operations/${operationId}`]);
    expect(litres.value).not.toBe(0);
  }
  const { movementId, ...place } = desk.at('theft');
  const listed = (await desk.reportOf(place)).losses.find(({ operationId }) => operationId === movementId);
  expect(listed).toMatchObject({ line: 'theft', reasonCode: expect.stringMatching(/./) });
  expect(listed).toMatchObject({ personId: expect.stringMatching(/./), investigatedBy: expect.stringMatching(/./) });
  expect((await desk.get<Movement>(`/v1/movements/${movementId}`)).evidence.report).toMatch(/./);
  const kinds = new Set(losses.map(({ line }) => line));
  expect(kinds.size).toBeGreaterThan(3);
  // The pattern: running sums that go on from month to month, each from the frozen report before.
  for (const { lossesOverPeriods, period } of reports.main.slice(1)) {
    for (const { points } of lossesOverPeriods.series) {
      expect(points.at(-1)?.periodId).toBe(period.id);
      expect(points.map(({ startsOn }) => startsOn)).toEqual([...points.map(({ startsOn }) => startsOn)].sort());
    }
  }
  expect(reports.main[23].lossesOverPeriods.series[0].points).toHaveLength(24);
});

test('11: each difference of a stock-take with count, book figure and explanation, none netted against another', async () => {
  const takes = await desk.all<StockTake>('/v1/stock-takes');
  expect(takes.length).toBeGreaterThan(24);
  const counts = takes.flatMap((take) => take.counts);
  for (const { book, counted, difference } of counts) {
    expect(micro(counted) - micro(book)).toBe(micro(difference));
  }
  const byOperation = new Map(counts.map((count) => [count.operationId, count]));
  const listed = every.flatMap(({ stockDifferences }) => stockDifferences);
  expect(listed.length).toBeGreaterThan(5);
  for (const { operationId } of listed) expect(byOperation.has(operationId)).toBe(true);
  const both = [listed.some(({ litres }) => litres.value > 0), listed.some(({ litres }) => litres.value < 0)];
  expect(both).toEqual([true, true]);
  for (const { operationId, book, counted, countSheet, offset, investigatedBy, litres } of listed) {
    const count = byOperation.get(operationId);
    expect([book, counted]).toEqual([count?.book, count?.counted]);
    expect(countSheet).toMatch(/^SHEET-/);
    // The producer's settings allow no pair to be set off, so none is.
    expect(offset).toBeUndefined();
    if (Math.abs(litres.value) > 0 && count?.packagedLotId !== undefined) expect(investigatedBy).toMatch(/./);
  }
  expect(new Set(listed.map(({ explained }) => explained))).toEqual(new Set([true, false]));
  const { countId } = desk.at('explained');
  const movement = await desk.get<Movement>(`/v1/movements/${desk.at('explained').movementId}`);
  expect(movement.explains).toBe(countId);
});

test('13: samples and own use are on their lines, and in the duty where the rules of the producer tax them', async () => {
  const kinds = every.flatMap(({ lines }) => lines.filter(({ litres }) => litres.value !== 0).map(({ line }) => line));
  expect(kinds).toEqual(expect.arrayContaining(['samples', 'own-use']));
  const taxed = every.flatMap(({ duty }) => duty.releases.map(({ kind }) => kind));
  expect(taxed).toContain('own-use');
  for (const { duty, lines } of every) {
    const ownUse = lines.find(({ line }) => line === 'own-use')?.litres ?? { value: 0 };
    const inDuty = duty.releases.filter(({ kind }) => kind === 'own-use').map(({ litres }) => litres);
    expect(total(inDuty)).toBe(-micro(ownUse));
    for (const { rate, moneyBeforeRounding } of duty.releases.filter(({ kind }) => kind === 'own-use')) {
      expect([rate, moneyBeforeRounding].map((each) => each !== undefined)).toEqual([true, true]);
    }
  }
  // The taproom of the second premises: what the serving tank gave is in the duty by its category, without a lot mark.
  const poured = reports.second.flatMap(({ duty }) => duty.releases.filter(({ lotMark }) => lotMark === ''));
  expect(poured.length).toBeGreaterThan(0);
  // Each sample and each own use is an entry by itself with its person and day; a packed sample names who got it, and none bears duty.
  const samples = await desk.all<Movement>('/v1/movements?kind=sample');
  expect(samples.length).toBeGreaterThan(0);
  for (const { personId, packagedLotId, counterparty, duty } of samples) {
    expect([personId !== undefined, packagedLotId === undefined || counterparty !== undefined, duty]).toEqual([
      true,
      true,
      undefined,
    ]);
  }
  const ownUse = await desk.all<Movement>('/v1/movements?kind=own-use');
  expect(ownUse.every(({ personId, duty }) => personId !== undefined && duty !== undefined)).toBe(true);
});

test('17: relief, with how the rate was worked out, its version, and the hectolitres of pure alcohol of the year by month', async () => {
  const relieved = reports.main.flatMap(({ duty }, month) =>
    duty.groups.filter((group) => group.relieved).map((group) => ({ ...group, year: month < 12 ? 0 : 1 })),
  );
  expect(relieved.length).toBeGreaterThan(20);
  for (const { band, rate, steps, quantity, year } of relieved) {
    const full = RATES[band as keyof typeof RATES][year];
    // 10 %, cut to a hundredth: 2.1 off 21, 2.18 off 21.8, 2.85 off 28.5.
    const discount = steps.find(({ basis }) => basis === 'rate');
    expect(discount).toMatchObject({ name: 'keg relief to the second place', mode: 'cut', places: 2 });
    expect(Number(discount?.raw)).toBeCloseTo(full / 10, 9);
    expect(Number(rate?.amount)).toBeCloseTo(full - Number(discount?.result), 9);
    expect(Number(quantity.result)).toBeGreaterThan(0);
  }
  // Only kegs of 30 L have it.
  const kegs = reports.main
    .flatMap(({ duty }) => duty.releases)
    .filter(({ litres, count }) => litres.value / count === 30);
  expect(total(relieved.map(({ litres }) => litres))).toBe(total(kegs.map(({ litres }) => litres)));
  // The version of the rate table stands beside each release, and its set with its sources in the report.
  for (const { duty } of reports.main) {
    for (const { ruleSet } of duty.releases) {
      expect(duty.ruleSets).toContainEqual(expect.objectContaining(ruleSet));
    }
  }
  await productionByYear();
});

/** Hectolitres of pure alcohol a month: those of the reports of both premises, own and for others, and the group as stated. */
async function productionByYear(): Promise<void> {
  const { service, key } = desk.years;
  const now = await service.expect(200, 'get', '/v1/producer', { key });
  const year = Number(reports.main[0].period.startsOn.slice(0, 4));
  const productionYear = {
    group: [
      { member: 'Sister (invented)', year, pureAlcohol: { value: 3, unit: 'hL' }, document: 'Return (invented)' },
    ],
    thresholds: [{ name: 'Small producer', measure: 'pure-alcohol', limit: { value: 4500, unit: 'hL' } }],
  };
  await service.expect(200, 'patch', '/v1/producer', {
    key,
    body: { settings: { ...(now.body as { settings: object }).settings, productionYear } },
    headers: { 'if-match': now.headers.etag },
  });
  const made = await desk.get<ProductionYear>(`/v1/production-years/${year}`);
  for (const { month, own, licensed } of made.months) {
    const lines = every
      .filter(({ period }) => period.startsOn.startsWith(month))
      .flatMap((report) => report.lines)
      .filter(({ line }) => line === 'produced' || line === 're-measurement');
    // A millionth of a litre is 10⁻⁸ hL.
    const hectolitres = Number(total(lines.map(({ litresOfPureAlcohol }) => litresOfPureAlcohol))) / 1e8;
    expect([month, (own.pureAlcohol.value + licensed.pureAlcohol.value).toFixed(8)]).toEqual([
      month,
      hectolitres.toFixed(8),
    ]);
  }
  expect(made.total.own.pureAlcohol.value).toBeGreaterThan(0);
  expect(made.total.group.pureAlcohol).toEqual({ value: 3, unit: 'hL' });
  expect(made.group).toEqual([expect.objectContaining({ member: 'Sister (invented)', document: 'Return (invented)' })]);
  expect(made.thresholds).toEqual([expect.objectContaining({ state: 'below', limit: { value: 4500, unit: 'hL' } })]);
}

test('18: which rate, class and rules were taken on the duty date, with every step of the calculation', async () => {
  const months = reports.main.filter(({ duty }) => duty.releases.length > 0);
  expect(months).toHaveLength(24);
  for (const { duty, period } of months) {
    for (const { ruleSet, dutyDate, quantity, band, dutyCategory, steps, litres, strengthForDuty } of duty.releases) {
      expect(duty.ruleSets.map(({ id }) => id)).toContain(ruleSet.id);
      expect([dutyDate >= period.startsOn, dutyDate < period.endsBefore]).toEqual([true, true]);
      expect([dutyCategory, BANDS]).toEqual(['drinks', expect.arrayContaining([band])]);
      expect(Number(quantity?.raw)).toBeCloseTo((litres.value * strengthForDuty.value) / 100, 9);
      const strength = steps.find(({ basis }) => basis === 'strength');
      expect([strength?.mode, Number(strength?.result)]).toEqual(['cut', strengthForDuty.value]);
    }
    for (const { sources, advice } of duty.ruleSets) {
      expect(sources.length).toBeGreaterThan(0);
      expect(advice).toContain('not advice');
    }
  }
  // The rates of the invented rules change between the two years.
  for (const [month, ordinary] of [
    [0, '21'],
    [11, '21'],
    [12, '21.8'],
    [23, '21.8'],
  ] as const) {
    const group = months[month].duty.groups.find(({ band, relieved }) => band === 'ordinary' && !relieved);
    expect(group?.rate?.amount).toBe(ordinary);
  }
  const id = desk.at('dutyRuleSetId');
  expect(await desk.get(`/v1/duty-rule-sets/${id}`)).toMatchObject({ id, ruleSet: { currency: 'XTS' } });
  // Who chose the classes of the rules, and the class of the lot: the person, the key and the day.
  const people = new Map(
    (await desk.all<{ id: string; name: string }>('/v1/people')).map((each) => [each.id, each.name]),
  );
  for (const { duty } of months) {
    for (const { id: set, enteredAt, personId, keyId } of duty.ruleSets) {
      expect([set, people.get(personId ?? ''), typeof keyId]).toEqual([id, 'Brewer B (invented)', 'string']);
      expect(String(enteredAt) < duty.releases[0].occurredAt).toBe(true);
    }
  }
  const { lotId } = desk.at('laboratory');
  const { lot } = await desk.get<LotRecord>(`/v1/lots/${lotId}/record`);
  const { categoryChosen, category, createdAt } = lot;
  expect(categoryChosen).toMatchObject({
    at: createdAt,
    person: 'Brewer A (invented)',
    key: expect.stringMatching(/./),
  });
  // The trail has the same in the entry in which the lot was made.
  const entries = (await desk.text('/v1/audit-trail/export')).split('\n').filter((line) => line.includes(lotId));
  const { body } = JSON.parse(entries[0]) as { body: string };
  expect(JSON.parse(body)).toMatchObject({
    action: 'lots.create',
    actor: { key: categoryChosen.keyId },
    facts: { id: lotId, category, personId: categoryChosen.personId },
  });
});
