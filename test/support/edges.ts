/** A period of local days at a place, with the moments at which it starts and ends. */
export interface EdgeCase {
  readonly name: string;
  readonly timeZone: string;
  /** The days of the periods, each before the next one; the middle period is the one under test. */
  readonly days: readonly [string, string, string, string];
  readonly startsAt: string;
  readonly endsAt: string;
}

/**
 * Local midnights and changes of clocks. The moments were worked out by hand from the rules of the IANA time zone database (files `europe`,
 * `australasia`, `southamerica`), from memory.
 */
export const EDGE_CASES: readonly EdgeCase[] = [
  {
    name: 'clocks go forward within the period',
    timeZone: 'Europe/London',
    days: ['2026-02-01', '2026-03-01', '2026-04-01', '2026-05-01'],
    startsAt: '2026-03-01T00:00:00.000Z',
    endsAt: '2026-03-31T23:00:00.000Z',
  },
  {
    name: 'clocks go back on the last day of the period',
    timeZone: 'Europe/London',
    days: ['2025-09-01', '2025-10-01', '2025-10-27', '2025-11-01'],
    startsAt: '2025-09-30T23:00:00.000Z',
    endsAt: '2025-10-27T00:00:00.000Z',
  },
  {
    name: 'the day begins thirteen hours before the day of UTC',
    timeZone: 'Pacific/Auckland',
    days: ['2026-01-01', '2026-02-01', '2026-03-01', '2026-04-01'],
    startsAt: '2026-01-31T11:00:00.000Z',
    endsAt: '2026-02-28T11:00:00.000Z',
  },
  {
    name: 'the midnight at its end is skipped by a change of clocks',
    timeZone: 'America/Sao_Paulo',
    days: ['2018-09-01', '2018-10-01', '2018-11-04', '2018-12-01'],
    startsAt: '2018-10-01T03:00:00.000Z',
    endsAt: '2018-11-04T03:00:00.000Z',
  },
];

/** One moment beside an edge, and the period in which it lies: 0 before the one under test, 1 in it, 2 after it. */
export interface EdgeMoment {
  readonly name: string;
  readonly at: string;
  readonly period: 0 | 1 | 2;
}

const STEPS = [
  ['one before startsAt', 'startsAt', -1, 0],
  ['at startsAt', 'startsAt', 0, 1],
  ['one after startsAt', 'startsAt', 1, 1],
  ['one before endsAt', 'endsAt', -1, 1],
  ['at endsAt', 'endsAt', 0, 2],
  ['one after endsAt', 'endsAt', 1, 2],
] as const;

type Edges = Pick<EdgeCase, 'startsAt' | 'endsAt'>;

const moments = (edges: Edges, textOf: (edge: Date, steps: number) => string): EdgeMoment[] =>
  STEPS.map(([name, edge, steps, period]) => ({ name, at: textOf(new Date(edges[edge]), steps), period }));

/** A millisecond before, at and after each edge, as RFC 3339: the finest step that the API takes. */
export const edgeMilliseconds = (edges: Edges): EdgeMoment[] =>
  moments(edges, (edge, steps) => new Date(edge.getTime() + steps).toISOString());

/** A microsecond before, at and after each edge, as RFC 3339: the finest step that the database keeps. */
export const edgeMicroseconds = (edges: Edges): EdgeMoment[] =>
  moments(edges, (edge, steps) =>
    steps < 0
      ? new Date(edge.getTime() - 1).toISOString().replace('Z', '999Z')
      : edge.toISOString().replace('Z', `00${steps}Z`),
  );
