import { workingDaysAfter } from '../../src/ledger/periods/working-days.js';
import { latePart } from '../../src/excise/reporting/parts/late-part.js';
import { turnoverOf } from '../../src/excise/reporting/parts/turnover-part.js';
import type { TurnoverRow } from '../../src/excise/reporting/sources/turnover.reader.js';

const row = (group: 'in' | 'out', week: string | null, litres: string): TurnoverRow => ({
  group,
  week,
  dutyStatus: null,
  litres,
  fermented: '0',
  added: '0',
  expandedLitres: '0',
  expandedLpa: '0',
});
const weeksOf = (startsOn: string, endsBefore: string) =>
  turnoverOf([], { startsOn, endsBefore }).weeks.map((week) => week.startsOn);

describe('turnover by week', () => {
  // Mondays by the calendar: 2, 9, 16, 23 and 30 March 2026; 23 February 2026; 29 December 2025.
  test.each([
    [
      'a month that starts on a Sunday',
      '2026-03-01',
      '2026-04-01',
      '2026-03-01 2026-03-02 2026-03-09 2026-03-16 2026-03-23 2026-03-30',
    ],
    ['four whole weeks from a Monday', '2026-03-02', '2026-03-30', '2026-03-02 2026-03-09 2026-03-16 2026-03-23'],
    ['a day more', '2026-03-02', '2026-03-31', '2026-03-02 2026-03-09 2026-03-16 2026-03-23 2026-03-30'],
    ['over the new year', '2025-12-31', '2026-01-06', '2025-12-31 2026-01-05'],
    ['one day', '2026-03-04', '2026-03-05', '2026-03-04'],
  ])('%s', (_, startsOn, endsBefore, weeks) => {
    expect(weeksOf(startsOn, endsBefore)).toEqual(weeks.split(' '));
  });

  test('each week has its own sums, an empty one nothing; the whole has the rows without a week', () => {
    const rows = [
      row('in', null, '30'),
      row('out', null, '-7'),
      row('in', '2026-03-02', '10'),
      row('out', '2026-03-09', '-7'),
      row('in', '2026-02-23', '20'),
    ];
    const { in: into, out, weeks } = turnoverOf(rows, { startsOn: '2026-03-01', endsBefore: '2026-03-16' });
    expect([into.litres.value, out.litres.value]).toEqual([30, -7]);
    // The first week of the period began on Monday, 23 February.
    expect(weeks.map((week) => [week.startsOn, week.in.litres.value, week.out.litres.value])).toEqual([
      ['2026-03-01', 20, 0],
      ['2026-03-02', 10, 0],
      ['2026-03-09', 0, -7],
    ]);
  });
});

describe('late entries', () => {
  type Input = Parameters<typeof latePart>[0];
  const occurredAt = new Date('2026-03-10T12:00:00Z');
  const partOf = (hours: number, settings: object) =>
    latePart({
      late: [
        {
          operationId: 'o',
          sequence: 1,
          kind: 'movement',
          occurredAt,
          recordedAt: new Date(+occurredAt + hours * 3_600_000),
          personId: null,
          keyId: 'k',
        },
      ],
      entryDays: [],
      period: { timeZone: 'Europe/London' },
      settings,
    } as unknown as Input);

  test.each([
    [24, 1],
    [47.999, 1],
    [48, 2],
    [240, 10],
  ])('%f hours after the event are %i whole days', (hours, daysLate) => {
    expect(partOf(hours, {}).entries).toMatchObject([
      { operationId: 'o', kind: 'movement', occurredAt: '2026-03-10T12:00:00.000Z', daysLate },
    ]);
  });

  test('the producer’s own limit is said, a day where there is none', () => {
    expect([partOf(24, {}).afterDays, partOf(24, { lateAfterDays: 14 }).afterDays]).toEqual([1, 14]);
    expect(partOf(24, { lateAfterDays: 0 }).afterDays).toBe(0);
  });

  // 27 CFR 25.291(b): by the end of the next business day. 13 March 2026 is a Friday.
  test.each([
    ['the same day', '2026-03-13', '2026-03-13', 0],
    ['Friday to Saturday', '2026-03-13', '2026-03-14', 0],
    ['Friday to Monday, the next business day', '2026-03-13', '2026-03-16', 1],
    ['Friday to Tuesday', '2026-03-13', '2026-03-17', 2],
    ['over a holiday on Monday', '2026-04-03', '2026-04-07', 1],
    ['an entry before the event’s day', '2026-03-13', '2026-03-12', 0],
  ])('working days: %s', (_, from, to, days) => {
    expect(workingDaysAfter(from, to, ['2026-04-06'])).toBe(days);
  });

  test('by working days where the setting says so; all entries by how long after their events they were made', () => {
    const at = (operationId: string, recorded: string) => ({
      operationId,
      sequence: 1,
      kind: 'movement',
      occurredAt: new Date('2026-03-13T12:00:00Z'),
      recordedAt: new Date(recorded),
      personId: 'p',
      keyId: 'k',
    });
    const part = latePart({
      late: [at('monday', '2026-03-16T18:00:00Z'), at('tuesday', '2026-03-17T08:00:00Z')],
      entryDays: [
        { occurredOn: '2026-03-13', recordedOn: '2026-03-13', entries: 5 },
        { occurredOn: '2026-03-13', recordedOn: '2026-03-16', entries: 1 },
        { occurredOn: '2026-03-12', recordedOn: '2026-03-13', entries: 2 },
        { occurredOn: '2026-03-13', recordedOn: '2026-03-17', entries: 1 },
      ],
      period: { timeZone: 'Europe/London' },
      settings: { lateAfterWorkingDays: 1 },
    } as unknown as Input);
    expect(part.entries).toMatchObject([
      { operationId: 'tuesday', daysLate: 3, workingDaysLate: 2, personId: 'p', keyId: 'k' },
    ]);
    expect([part.afterWorkingDays, part.byWorkingDays]).toEqual([
      1,
      [
        { workingDays: 0, entries: 5 },
        { workingDays: 1, entries: 3 },
        { workingDays: 2, entries: 1 },
      ],
    ]);
  });
});
