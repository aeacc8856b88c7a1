import { Api } from '../../src/demo/client/api.js';
import { Calendar } from '../../src/demo/client/calendar.js';
import { shown } from '../../src/demo/client/micro.js';
import type { SteppableClock } from '../../src/platform/clock.js';
import type { Transport } from '../../src/demo/client/transport.js';
import { Agenda } from './agenda.js';
import { Cellar } from './cellar.js';
import type { PremisesName } from './context.js';
import { Context, NIL_MONTH } from './context.js';
import { Dice } from './dice.js';
import type { Landmarks, OpeningStock } from './landmarks.js';
import type { Closed } from './month-check.js';
import { incidentsOf, lotsOf } from './programme.js';
import { openBooks, openSite } from './site.js';
import { Store } from './store.js';
import type { Tally } from './tally.js';
import { closings, purchasing, stockTakes } from './stories/office.js';
import { toMarket } from './stories/lots.js';
import { transits } from './stories/second.js';

export const TWO_YEARS = { seed: 20240101, months: 24, start: '2024-01-01', timeZone: 'Europe/London' } as const;

/** How long after an event it is entered. */
const ENTERED_AFTER_MS = 5 * 60_000;

export interface Simulation {
  readonly transport: Transport;
  readonly key: string;
  /** Of the Idempotency-Keys. */
  readonly runId: string;
  readonly seed?: number;
  readonly months?: number;
  /** The service's, which is moved along. */
  readonly clock: Pick<SteppableClock, 'set'>;
  readonly onClosed?: (closed: Closed) => void;
}

export interface Outcome {
  readonly landmarks: Landmarks;
  readonly closed: readonly Closed[];
  readonly figuresCompared: number;
  readonly writes: number;
}

/** The invented producer of two years: two premises, and every month closed in its turn. @throws FigureOff, Refusal */
export async function simulate(options: Simulation): Promise<Outcome> {
  const { seed = TWO_YEARS.seed, months = TWO_YEARS.months, clock } = options;
  const calendar = Calendar.from(TWO_YEARS.start, TWO_YEARS.timeZone);
  const api = new Api(options.transport, options.key, options.runId);
  const agenda = new Agenda(calendar, (at) => clock.set(new Date(Date.parse(at) + ENTERED_AFTER_MS)));
  const ctx = new Context({ api, calendar, agenda, dice: new Dice(seed), months });
  const hands = { ctx, cellar: new Cellar(ctx), store: new Store(ctx) };
  const closed: Closed[] = [];
  const keep = (month: Closed): void => {
    closed.push(month);
    options.onClosed?.(month);
  };
  clock.set(new Date(calendar.at(0, 1, '06:30')));
  await openSite(ctx);
  await openBooks(ctx, calendar.at(0, 1, '06:30'));
  const dawn = calendar.at(0, 1, '07:30');
  agenda.add(dawn, purchasing(ctx));
  ctx.goods.forEach((goods) => toMarket(hands, ctx.dice.of('opening'), goods, dawn));
  for (let month = 0; month < months; month += 1) {
    for (const [index, { day, story }] of lotsOf(month).entries()) {
      agenda.add(
        calendar.at(month, day, '08:00'),
        story(hands, ctx.dice.of(`lot ${month} ${index}`), calendar.at(month, day, '08:00')),
      );
    }
    for (const incident of incidentsOf(month)) {
      agenda.add(calendar.at(month, 1, '07:45'), incident(hands, ctx.dice.of(`incident ${month}`)));
    }
  }
  agenda.add(dawn, transits(hands, ctx.dice.of('transits')));
  for (const [premises, time] of [
    ['main', '10:00'],
    ['second', '11:00'],
  ] as const) {
    agenda.add(dawn, stockTakes(ctx, ctx.dice.of(`counts ${premises}`), premises));
    agenda.add(dawn, closings(hands, premises, time, keep));
  }
  await agenda.run(calendar.at(months, 4, '00:00'));
  const check = await api.get<{ holds: boolean }>('/v1/audit-trail/check');
  ctx.checks.same('the audit trail holds', check.holds, true);
  ctx.checks.same('months closed', closed.length, 2 * months);
  return { landmarks: landmarksOf(ctx), closed, figuresCompared: ctx.checks.count, writes: api.writes };
}

function openingStockOf(tally: Tally, premisesId: string): OpeningStock {
  const sum = (measure: 'litres' | 'fermented' | 'added'): string =>
    shown(tally.opened(premisesId).reduce((all, each) => all + each[measure], 0n));
  return { litres: sum('litres'), fermented: sum('fermented'), added: sum('added') };
}

function landmarksOf(ctx: Context): Landmarks {
  const { site, months, tally } = ctx;
  const closedOf = (premises: PremisesName) => site.periods[premises].slice(0, months);
  const nil = months > NIL_MONTH ? { nilMonth: ctx.inPeriod('second', ctx.calendar.at(NIL_MONTH, 1, '12:00')) } : {};
  const counts = closedOf('main').map((_, month) => tally.operations(site.premises.main, month));
  const month = counts.indexOf(Math.max(...counts));
  return {
    ...ctx.places,
    ...nil,
    fullest: ctx.inPeriod('main', ctx.calendar.at(month, 1, '12:00')),
    months,
    startsOn: ctx.calendar.start,
    premises: { ...site.premises },
    periods: { main: closedOf('main'), second: closedOf('second') },
    openPeriods: { main: site.periods.main[months], second: site.periods.second[months] },
    openingStock: {
      main: openingStockOf(tally, site.premises.main),
      second: openingStockOf(tally, site.premises.second),
    },
    dutyRuleSetId: site.dutyRuleSetId,
    recipes: { ...site.recipes },
    instruments: { ...site.instruments },
    ...(ctx.suspectMaterialLotId === undefined ? {} : { suspectMaterialLotId: ctx.suspectMaterialLotId }),
  };
}
