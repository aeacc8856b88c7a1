import type { Closing, ClosingCheck } from '../../src/excise/closing/closing.dto.js';
import type { DutyGroup } from '../../src/excise/reporting/documents/duty.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Figures, Litres } from '../../src/ledger/books/litres.dto.js';
import type { Checks } from '../../src/demo/client/checks.js';
import type { Micro } from '../../src/demo/client/micro.js';
import { micro, shown } from '../../src/demo/client/micro.js';
import { sha256 } from '../../src/demo/client/report-check.js';
import type { Context, PremisesName, Site } from './context.js';
import type { Band } from './duty-rules.js';
import { KEG_RELIEF_PERCENT, RATES } from './duty-rules.js';
import { TALLIED } from './tally.js';

/** A closed month as it came back. */
export interface Closed {
  readonly premises: PremisesName;
  readonly month: number;
  readonly periodId: string;
  readonly hash: string;
  readonly report: PeriodReport;
}

type Measures = Pick<Figures, 'litres' | 'fermented' | 'added'>;
const MICRO_IN_CENT = 10_000n;
const MEASURES = ['litres', 'fermented', 'added'] as const;

const exact = ({ value, exact: text }: Litres): Micro => micro(text ?? value);
const sum = (amounts: readonly Micro[]): Micro => amounts.reduce((all, each) => all + each, 0n);

/** Closes a month, and adds the closed report up once more. @throws FigureOff, Refusal */
export async function closeMonth(ctx: Context, premises: PremisesName, month: number, last?: Closed): Promise<Closed> {
  const { api, checks } = ctx;
  const periodId = ctx.site.periods[premises][month];
  const path = `/v1/periods/${periodId}`;
  // Closing checks the same once more; the list itself is looked at from quarter to quarter.
  const { findings } = month % 3 === 2 ? await api.get<ClosingCheck>(`${path}/closing-check`) : { findings: [] };
  checks.same(
    'what is in the way of closing',
    findings
      .filter(({ blocks }) => blocks)
      .map(({ detail }) => detail)
      .join(' '),
    '',
  );
  const closing = await api.post<Closing>(`${path}/closing`, {});
  const bytes = await api.text(`${path}/report?format=json`);
  checks.same('hash of the frozen bytes', sha256(bytes), closing.reportHash);
  checks.same('the same bytes come back', await api.text(`${path}/report?format=json`), bytes);
  const report = JSON.parse(bytes) as PeriodReport;
  const closed = { premises, month, periodId, hash: closing.reportHash, report };
  checkReport(ctx, closed, last);
  return closed;
}

/** The lines once more from the figures that a return is made of; what moved between stages adds to nothing, and each stage of each category comes to its end. */
function figuresAddUp(checks: Checks, { figures, lines, opening, closing }: PeriodReport): void {
  const litresOf = (of: (each: PeriodReport['figures'][number]) => boolean): string =>
    shown(sum(figures.filter(of).map(({ litres }) => exact(litres))));
  for (const { line, litres } of lines) {
    checks.same(
      `figures of ${line}`,
      litresOf(({ figure }) => figure === line),
      shown(exact(litres)),
    );
  }
  checks.same(
    'figures at the start',
    litresOf(({ figure }) => figure === 'stock-at-start'),
    shown(exact(opening.litres)),
  );
  checks.same(
    'figures at the end',
    litresOf(({ figure }) => figure === 'stock-at-end'),
    shown(exact(closing.litres)),
  );
  for (const place of new Set(figures.map(({ category, stage, dutyStatus }) => `${category} ${stage} ${dutyStatus}`))) {
    const here = ({ category, stage, dutyStatus }: PeriodReport['figures'][number]): boolean =>
      `${category} ${stage} ${dutyStatus}` === place;
    checks.same(
      `figures of ${place}`,
      litresOf((each) => here(each) && each.figure !== 'stock-at-end'),
      litresOf((each) => here(each) && each.figure === 'stock-at-end'),
    );
  }
}

/** What a report is checked with. */
export type Checked = Pick<Context, 'checks' | 'calendar' | 'tally'> & { readonly site: Pick<Site, 'premises'> };

/** Every sum of a closed report once more, in whole millionths of a litre. @throws FigureOff */
export function checkReport(ctx: Checked, closed: Closed, last: Closed | undefined): void {
  const { checks } = ctx;
  const { report, premises, month } = closed;
  checks.same('the report is closed', report.status, 'closed');
  checks.same('the report begins', report.period.startsOn, ctx.calendar.monthStart(month));
  addsUp(checks, 'the whole', report.opening, report.lines, report.closing);
  const { in: into, out, adjusted } = report.turnover;
  addsUp(checks, 'the whole by sums of lines', report.opening, [into, out, adjusted], report.closing);
  for (const { category, opening, lines, closing, balances } of report.categories) {
    addsUp(checks, category, opening, lines, closing);
    checks.same(`${category} meets`, balances, true);
  }
  const { categories, stock, reconciliation } = report;
  for (const measure of MEASURES) {
    const closing = shown(exact(report.closing[measure]));
    checks.same(
      `closings of the categories, ${measure}`,
      shown(
        total(
          categories.map(({ closing: c }) => c),
          measure,
        ),
      ),
      closing,
    );
    checks.same(`stock item by item, ${measure}`, shown(total(stock.items, measure)), closing);
    checks.same(
      `difference of the reconciliation, ${measure}`,
      shown(exact(reconciliation.difference[measure])),
      shown(0n),
    );
  }
  checks.same('the reconciliation meet', reconciliation.balances, true);
  figuresAddUp(checks, report);
  followsOn(ctx, closed, last);
  checkDuty(checks, report, month);
  for (const line of TALLIED) {
    const own = ctx.tally.litres(ctx.site.premises[premises], month, line);
    const found = report.lines.find((each) => each.line === line);
    checks.same(
      `${line} of month ${month + 1} as it was counted, litres`,
      shown(found ? exact(found.litres) : 0n),
      shown(own),
    );
  }
}

const total = (figures: readonly Measures[], measure: (typeof MEASURES)[number]): Micro =>
  sum(figures.map((each) => exact(each[measure])));

function addsUp(checks: Checks, what: string, opening: Measures, lines: readonly Measures[], closing: Measures): void {
  for (const measure of MEASURES) {
    const computed = exact(opening[measure]) + total(lines, measure);
    checks.same(`opening and lines of ${what}, ${measure}`, shown(computed), shown(exact(closing[measure])));
  }
}

/** The opening is the last closing, category by category, and the first one is the opening stock that the script entered. */
function followsOn({ checks, tally, site }: Checked, { report, premises }: Closed, last: Closed | undefined): void {
  const { opening, categories } = report;
  checks.same('where the opening is from', opening.source, last === undefined ? 'first-period' : 'frozen-report');
  checks.same('hash of the report before', opening.reportHash, last?.hash);
  const nameOf = (category: string, dutyStatus: string): string => `${category}, ${dutyStatus}`;
  for (const measure of MEASURES) {
    const before = new Map<string, Micro>();
    for (const each of last?.report.categories ?? []) {
      before.set(nameOf(each.category, each.dutyStatus), exact(each.closing[measure]));
    }
    for (const stock of last === undefined ? tally.opened(site.premises[premises]) : []) {
      const name = nameOf(stock.category, 'suspended');
      before.set(name, (before.get(name) ?? 0n) + stock[measure]);
    }
    const now = new Map(
      categories.map((each) => [nameOf(each.category, each.dutyStatus), exact(each.opening[measure])]),
    );
    for (const name of new Set([...before.keys(), ...now.keys()])) {
      const [left, right] = [now, before].map((amounts) => shown(amounts.get(name) ?? 0n));
      checks.same(`opening of ${name} is what was there before, ${measure}`, left, right);
    }
  }
}

/** Each release at its declared strength cut to a tenth; the money of each band from its litres and the rate of its year. */
function checkDuty(checks: Checks, { duty, lines }: PeriodReport, month: number): void {
  checks.same('duty ties', duty.tie.balances, true);
  checks.same('duty is complete', duty.complete, true);
  const alcohol = duty.releases.map(({ litres, declaredStrength, litresOfPureAlcoholForDuty }) => {
    const tenths = BigInt(Math.floor(Math.round(declaredStrength.value * 1e6) / 1e5));
    const own = exact(litres) * tenths;
    checks.same('pure alcohol for duty of a release', shown(exact(litresOfPureAlcoholForDuty) * 1000n), shown(own));
    return own;
  });
  checks.same('pure alcohol for duty', shown(exact(duty.litresOfPureAlcoholForDuty) * 1000n), shown(sum(alcohol)));
  const out = lines.filter(({ line }) => line === 'released' || line === 'own-use');
  checks.same('litres for duty', shown(exact(duty.litres)), shown(-sum(out.map(({ litres }) => exact(litres)))));
  for (const group of duty.groups.filter(({ untaxed }) => !untaxed)) {
    checks.same(`money of the band ${String(group.band)}`, group.money?.amount, moneyOf(group, month));
  }
}

/** Rate of the band and year, less the relief of kegs cut to the second place; the money cut to the second place. */
function moneyOf({ band, relieved, litresOfPureAlcoholForDuty }: DutyGroup, month: number): string {
  const full = micro(RATES[band as Band][month < 12 ? 0 : 1]);
  const relief = relieved ? ((full * BigInt(KEG_RELIEF_PERCENT)) / 100n / MICRO_IN_CENT) * MICRO_IN_CENT : 0n;
  const hundredths = (exact(litresOfPureAlcoholForDuty) * (full - relief)) / 10n ** 10n;
  const text = `${hundredths / 100n}.${String(hundredths % 100n).padStart(2, '0')}`;
  return text.replace(/\.?0+$/, '');
}
