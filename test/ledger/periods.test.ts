import { latestEnd, periodEdges, startOfDay } from '../../src/ledger/periods/period-edges.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-11-10T08:00:00Z')) });
});
afterAll(() => service.stop());

describe('edges of days', () => {
  const HOUR = 3_600_000;
  const hours = (from: string, to: string, zone: string) => {
    const { startsAt, endsAt } = periodEdges(from, to, zone);
    return (endsAt.getTime() - startsAt.getTime()) / HOUR;
  };

  test('a day of change has 23 or 25 hours', () => {
    expect(hours('2026-03-29', '2026-03-30', 'Europe/London')).toBe(23);
    expect(hours('2026-10-25', '2026-10-26', 'Europe/London')).toBe(25);
    expect(hours('2026-03-01', '2026-04-01', 'Europe/London')).toBe(31 * 24 - 1);
    expect(hours('2026-10-01', '2026-11-01', 'Europe/London')).toBe(31 * 24 + 1);
    expect(hours('2026-04-05', '2026-04-06', 'Australia/Lord_Howe')).toBe(24.5);
  });

  test('where midnight is skipped the day starts after the gap, and nothing is left between two days', () => {
    // Clocks went from 24:00 to 01:00 there; IANA tz database.
    expect(startOfDay('2018-11-04', 'America/Sao_Paulo').toISOString()).toBe('2018-11-04T03:00:00.000Z');
    expect(startOfDay('2026-03-29', 'Asia/Beirut').toISOString()).toBe('2026-03-28T22:00:00.000Z');
    expect(hours('2018-11-03', '2018-11-04', 'America/Sao_Paulo')).toBe(24);
    expect(hours('2018-11-04', '2018-11-05', 'America/Sao_Paulo')).toBe(23);
    // Where midnight came twice, the day starts at the first of the two.
    expect(startOfDay('2018-02-18', 'America/Sao_Paulo').toISOString()).toBe('2018-02-18T03:00:00.000Z');
    expect(hours('2018-02-17', '2018-02-18', 'America/Sao_Paulo')).toBe(25);
  });

  test('a day that a place left out has no length', () => {
    expect(hours('2011-12-29', '2011-12-31', 'Pacific/Apia')).toBe(24);
  });

  test('a year from the last of February', () => {
    expect(latestEnd('2024-02-29')).toBe('2025-02-28');
    expect(latestEnd('2026-01-01')).toBe('2027-01-01');
  });

  test('no zone, no period', () => {
    expect(() => startOfDay('2026-01-01', 'Nowhere/Land')).toThrow(RangeError);
  });
});

const asks = (floor: Floor, body: Record<string, unknown>) =>
  service.call('post', '/v1/periods', { key: floor.key, body: { premisesId: floor.premisesId, ...body } });

test('the first period starts anywhere, the next ones follow on without a gap', async () => {
  const floor = await Floor.open(service, []);
  const first = await asks(floor, { startsOn: '2026-02-10', endsBefore: '2026-03-01' });
  expect(first.status).toBe(201);
  expect(first.headers.location).toBe(`/v1/periods/${String(first.body.id)}`);
  expect(first.body).toMatchObject({ state: 'open', startsAt: '2026-02-10T00:00:00.000Z', timeZone: 'Europe/London' });
  const before = await service.rowCounts();
  const refusals: [object, number, string][] = [
    [{ startsOn: '2026-03-02', endsBefore: '2026-04-01' }, 409, 'conflict'],
    [{ startsOn: '2026-02-28', endsBefore: '2026-04-01' }, 409, 'conflict'],
    [{ startsOn: '2026-02-10', endsBefore: '2026-03-01' }, 409, 'conflict'],
    [{ startsOn: '2026-01-01', endsBefore: '2026-02-10' }, 409, 'conflict'],
    [{ startsOn: '2026-03-01', endsBefore: '2026-03-01' }, 422, 'out-of-range'],
    [{ startsOn: '2026-03-01', endsBefore: '2026-02-01' }, 422, 'out-of-range'],
    [{ startsOn: '2026-03-01', endsBefore: '2027-03-02' }, 422, 'out-of-range'],
    [{ startsOn: '2026-02-30', endsBefore: '2026-04-01' }, 400, 'validation-failed'],
    [{ startsOn: '9999-01-01', endsBefore: '9999-02-01' }, 400, 'validation-failed'],
    [{ startsOn: '2026-03-01' }, 400, 'validation-failed'],
    [{ startsOn: '2026-03-01', endsBefore: '2026-04-01', state: 'closed' }, 400, 'validation-failed'],
    [
      { premisesId: '018f0000-0000-7000-8000-000000000000', startsOn: '2026-03-01', endsBefore: '2026-04-01' },
      404,
      'not-found',
    ],
  ];
  for (const [body, status, code] of refusals) {
    const refused = await asks(floor, body as Record<string, unknown>);
    expect([body, refused.status, problemOf(refused).code]).toEqual([body, status, code]);
  }
  expect(await service.rowCounts()).toEqual(before);
  const next = await asks(floor, { startsOn: '2026-03-01', endsBefore: '2027-03-01' });
  expect([next.status, next.body.startsAt]).toEqual([201, first.body.endsAt]);
});

test('a day that the place left out of its calendar makes no period', async () => {
  const floor = await Floor.open(service, [], 'Pacific/Apia');
  const refused = await asks(floor, { startsOn: '2011-12-30', endsBefore: '2011-12-31' });
  expect([refused.status, problemOf(refused).code]).toEqual([422, 'out-of-range']);
});

test('periods asked for at once: one first period, no gap and no overlap', async () => {
  const floor = await Floor.open(service, []);
  const months = ['01', '03', '05', '07'].map((month) => ({
    startsOn: `2026-${month}-01`,
    endsBefore: `2026-${month}-28`,
  }));
  const answers = await Promise.all(months.map((month) => asks(floor, month)));
  expect(answers.filter(({ status }) => status === 201)).toHaveLength(1);
  answers.filter(({ status }) => status !== 201).forEach((each) => expect(problemOf(each).code).toBe('conflict'));
});

test('every moment lies in exactly one period, at the edges and over the change of clocks too', async () => {
  const floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-10-01'],
    ['2026-10-01', '2026-11-01'],
    ['2026-11-01', '2026-12-01'],
  ]);
  const { packaged } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [],
    [{ mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  const periods = ((await floor.get('/v1/periods')).items as { id: string; startsOn: string }[]).map(
    ({ id, startsOn }) => [id, startsOn.slice(0, 7)] as const,
  );
  const moments: [string, string][] = [
    ['2026-03-31T22:59:59.999Z', '2026-03'],
    ['2026-03-31T23:00:00Z', '2026-04'],
    ['2026-04-01T00:30:00+01:00', '2026-04'],
    ['2026-10-25T00:30:00Z', '2026-10'],
    ['2026-10-25T01:30:00Z', '2026-10'],
    ['2026-10-31T23:59:59.999Z', '2026-10'],
    ['2026-11-01T00:00:00Z', '2026-11'],
  ];
  for (const [occurredAt, month] of moments) {
    const moved = await floor.post('/v1/movements', {
      kind: 'release',
      packagedLotId: packaged[0],
      count: 1,
      occurredAt,
    });
    const holds: string[] = [];
    for (const [id, name] of periods) {
      const page = await floor.get(`/v1/operations?periodId=${id}&line=released&limit=200`);
      if ((page.items as { id: string }[]).some(({ id: found }) => found === moved.id)) {
        holds.push(name);
      }
    }
    expect([occurredAt, holds]).toEqual([occurredAt, [month]]);
  }
  const released = [];
  for (const [id] of periods) {
    const { lines } = (await floor.get(`/v1/periods/${id}/report`)) as {
      lines: { line: string; litres: { value: number } }[];
    };
    released.push(lines.find(({ line }) => line === 'released')?.litres.value);
  }
  expect(released).toEqual([-0.5, -1, -1.5, -0.5]);
});

test('lists by premises, page by page; another producer sees none of it', async () => {
  const floor = await Floor.open(service, [
    ['2026-01-01', '2026-02-01'],
    ['2026-02-01', '2026-03-01'],
  ]);
  const first = await floor.get(`/v1/periods?limit=1&premisesId=${floor.premisesId}`);
  const second = await floor.get(`/v1/periods?limit=1&premisesId=${floor.premisesId}&cursor=${String(first.next)}`);
  const starts = [first, second].flatMap(({ items }) => (items as { startsOn: string }[]).map((each) => each.startsOn));
  expect([starts, second.next]).toEqual([['2026-01-01', '2026-02-01'], null]);
  const other = await Floor.open(service, []);
  const [{ id }] = first.items as { id: string }[];
  expect((await service.call('get', `/v1/periods/${id}`, { key: other.key })).status).toBe(404);
  const stranger = await asks(other, {
    premisesId: floor.premisesId,
    startsOn: '2026-03-01',
    endsBefore: '2026-04-01',
  });
  expect(problemOf(stranger).code).toBe('not-found');
});

describe('asked for by month or quarter', () => {
  test.each([
    [{ month: '2026-10' }, '2026-10-01', '2026-11-01', '1 October 2026 to 31 October 2026, both days included'],
    [{ month: '2024-02' }, '2024-02-01', '2024-03-01', '1 February 2024 to 29 February 2024, both days included'],
    [{ month: '2026-12' }, '2026-12-01', '2027-01-01', '1 December 2026 to 31 December 2026, both days included'],
    [{ quarter: '2026-Q1' }, '2026-01-01', '2026-04-01', '1 January 2026 to 31 March 2026, both days included'],
    [{ quarter: '2026-Q4' }, '2026-10-01', '2027-01-01', '1 October 2026 to 31 December 2026, both days included'],
    [
      { startsOn: '2026-10-01', endsBefore: '2026-11-01' },
      '2026-10-01',
      '2026-11-01',
      '1 October 2026 to 31 October 2026, both days included',
    ],
  ])('%j', async (asked, startsOn, endsBefore, inWords) => {
    const floor = await Floor.open(service, []);
    const { status, body } = await asks(floor, asked);
    expect([status, body.startsOn, body.endsBefore, body.inWords, body.flags]).toEqual([
      201,
      startsOn,
      endsBefore,
      inWords,
      [],
    ]);
    expect(await floor.get(`/v1/periods/${String(body.id)}`)).toEqual(body);
  });

  test.each([
    [{ month: '2026-13' }],
    [{ month: '2026-00' }],
    [{ month: '26-10' }],
    [{ month: 'October 2026' }],
    [{ quarter: '2026-Q5' }],
    [{ quarter: '2026-4' }],
    [{}],
    [{ month: '2026-10', quarter: '2026-Q4' }],
    [{ month: '2026-10', endsBefore: '2026-11-01' }],
    [{ startsOn: '2026-10-01' }],
    [{ endsBefore: '2026-10-01' }],
  ])('%j is refused', async (asked) => {
    const floor = await Floor.open(service, []);
    const before = await service.rowCounts();
    const refused = await asks(floor, asked);
    expect([refused.status, problemOf(refused).code]).toEqual([400, 'validation-failed']);
    expect(await service.rowCounts()).toEqual(before);
  });

  test('the end of a month given as the day that is outside is flagged', async () => {
    const floor = await Floor.open(service, []);
    const { body } = await asks(floor, { startsOn: '2026-10-01', endsBefore: '2026-10-31' });
    expect([body.lastDay, body.flags]).toEqual([
      '2026-10-30',
      [
        {
          code: 'month-end-outside',
          detail:
            '31 October 2026 is outside: the last day inside is 30 October 2026. For a period with the whole month, withdraw this one and give `month: "2026-10"`.',
        },
      ],
    ]);
  });
});

describe('an empty period is withdrawn', () => {
  const withdraws = (floor: Floor, id: unknown) =>
    service.call('post', `/v1/periods/${String(id)}/withdrawal`, { key: floor.key });

  test('and its days are opened anew', async () => {
    const floor = await Floor.open(service, [['2026-09-01', '2026-10-01']]);
    const { body: wrong } = await asks(floor, { startsOn: '2026-10-01', endsBefore: '2026-10-31' });
    const withdrawn = await withdraws(floor, wrong.id);
    expect([withdrawn.status, withdrawn.body.state, withdrawn.body.flags]).toEqual([201, 'withdrawn', []]);
    expect(await floor.get(`/v1/periods/${String(wrong.id)}`)).toEqual(withdrawn.body);
    const vesselId = await floor.vessel('FV 1');
    const lot = await floor.lot();
    const charge = { vesselId, volume: { value: 10, unit: 'L' }, occurredAt: '2026-10-30T12:00:00Z' };
    const uncovered = await service.call('post', `/v1/lots/${lot}/charges`, { key: floor.key, body: charge });
    expect(problemOf(uncovered).code).toBe('period-not-open');
    const { body: right } = await asks(floor, { month: '2026-10' });
    await floor.post(`/v1/lots/${lot}/charges`, charge);
    const { body: next } = await asks(floor, { month: '2026-11' });

    const before = await service.rowCounts();
    const refusals: [unknown, string, string][] = [
      [wrong.id, 'conflict', 'The period was withdrawn already.'],
      [right.id, 'in-use', 'A later period exists, of 1 November 2026 to 30 November 2026, both days included.'],
    ];
    for (const [id, code, words] of refusals) {
      const refused = problemOf(await withdraws(floor, id));
      expect([refused.code, refused.detail]).toEqual([code, expect.stringContaining(words)]);
    }
    for (const path of ['report', 'closing-check']) {
      const refused = await service.call('get', `/v1/periods/${String(wrong.id)}/${path}`, { key: floor.key });
      expect(problemOf(refused).code).toBe('conflict');
    }
    expect(await service.rowCounts()).toEqual(before);

    expect((await withdraws(floor, next.id)).status).toBe(201);
    const used = problemOf(await withdraws(floor, right.id));
    expect([used.code, used.detail]).toEqual(['in-use', expect.stringContaining('Entries lie in the period')]);
    expect(await floor.get('/v1/audit-trail/check')).toMatchObject({ holds: true });
  });

  test('not once it is closed; a stranger finds nothing', async () => {
    const floor = await Floor.open(service, [['2026-09-01', '2026-10-01']]);
    const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
    const other = await Floor.open(service, []);
    expect((await withdraws(other, id)).status).toBe(404);
    await floor.post(`/v1/periods/${id}/closing`, {});
    expect(problemOf(await withdraws(floor, id)).code).toBe('period-closed');
  });
});
