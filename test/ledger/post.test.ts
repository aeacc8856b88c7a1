import type { AccountKey } from '../../src/ledger/books/account.js';
import { accountId, nominalAccount, packagedAccount } from '../../src/ledger/books/account.js';
import type { Amount } from '../../src/ledger/books/amount.js';
import { amount } from '../../src/ledger/books/amount.js';
import { NO_COMPONENTS } from '../../src/ledger/books/components.js';
import { booksOf, OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { Exact } from '../../src/metrology/decimals.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { bodyRows } from '../../src/tenancy/producer-database/batch-body.js';
import { AppSession } from '../support/app-session.js';
import { openStock } from '../support/books.js';
import { EDGE_CASES, edgeMicroseconds } from '../support/edges.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// The function `post` called as the service's own role calls it, with batches that the service would not make.

type Json = Record<string, unknown>;

const [london] = EDGE_CASES;
const OPENED_AT = '2026-02-01T08:00:00Z';
const RECORDED_AT = '2026-06-01T08:00:00Z';

let service: TestService;
let floor: Floor;
let app: AppSession;
let packagedLotId: string;
let stock: AccountKey;
let counter = 0;

beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date(RECORDED_AT)) });
  floor = await Floor.open(service, [
    [london.days[0], london.days[1]],
    [london.days[1], london.days[2]],
    [london.days[2], london.days[3]],
    [london.days[3], '2026-07-01'],
  ]);
  // 100 bottles of half a litre at 4 %: 50 L with 2 L of pure alcohol, all of it fermented.
  const bottles = { mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4 };
  const opened = await openStock(floor, OPENED_AT, [], [{ ...bottles, percent: 4, strengthU: 0.1 }]);
  [packagedLotId] = opened.packaged;
  stock = packagedAccount({ premisesId: floor.premisesId }, packagedLotId);
  app = await AppSession.open(service.database.appUrl);
});
afterAll(async () => {
  await app.close();
  await service.stop();
});

/** An operation that moves an amount from stock to the released line, as `post` takes it; `change` makes it wrong. */
function released(what: Amount, occurredAt: string, change: (operation: Json) => void = () => undefined): Json {
  counter += 1;
  const id = `018f0000-0000-7000-8000-${String(counter).padStart(12, '0')}`;
  const place = { premisesId: floor.premisesId };
  const head = { id, kind: 'movement', timing: 'draw' as const, ...place, occurredAt: new Date(occurredAt) };
  const draft = new OperationDraft({ ...head, document: {} }).move(
    stock,
    nominalAccount(place, 'released', 'beer'),
    what,
    { category: 'beer', packagedLotId },
    NO_COMPONENTS,
  );
  return batchOf(draft, occurredAt, change);
}

/** The rows of one operation at a moment that may have microseconds. */
function batchOf(draft: OperationDraft, occurredAt: string, change: (operation: Json) => void): Json {
  const body = structuredClone(bodyRows({ action: 'test.post', ...booksOf(draft) }));
  const [operation] = body.operations as Json[];
  operation.occurred_at = occurredAt;
  change(operation);
  return body;
}

/** The code with which `post` refuses a batch, with its details, or `posted`; undone in any case. */
async function posting(body: Json, guard: Json = {}, recordedAt = RECORDED_AT): Promise<Json> {
  return app.as(floor.producerId, async () => {
    try {
      await app.client.query('SELECT post($1::uuid, $2, $3::timestamptz, $4::jsonb, $5::jsonb)', [
        floor.producerId,
        JSON.stringify({ version: 1, action: 'test.post', ...body }),
        recordedAt,
        JSON.stringify({ principal: floor.producerId, ...guard }),
        '{}',
      ]);
      return { code: 'posted' };
    } catch (error) {
      const { message } = error as Error;
      if (!message.startsWith('GAUGEBOOK ')) {
        throw error;
      }
      return JSON.parse(message.slice('GAUGEBOOK '.length)) as Json;
    }
  });
}

const MARCH_10 = '2026-03-10T12:00:00Z';
const linesOf = (operation: Json) => operation.postings as Json[];

test('what is right is posted', async () => {
  expect(await posting(released(amount(1, '0.04'), MARCH_10))).toEqual({ code: 'posted' });
});

describe('versions of the accounts that were read', () => {
  const reads = (version: string) => ({ reads: [{ account: accountId(stock), version }] });

  test('the present one is taken, an older or a newer one is stale', async () => {
    const batch = () => released(amount(1, '0.04'), MARCH_10);
    expect(await posting(batch(), reads('1'))).toEqual({ code: 'posted' });
    expect(await posting(batch(), reads('0'))).toEqual({ code: 'stale' });
    expect(await posting(batch(), reads('2'))).toEqual({ code: 'stale' });
  });

  test('an account that was not there when it was read has version 0', async () => {
    const account = '018f0000-0000-8000-8000-000000000001';
    const batch = () => released(amount(1, '0.04'), MARCH_10);
    expect(await posting(batch(), { reads: [{ account, version: '0' }] })).toEqual({ code: 'posted' });
    expect(await posting(batch(), { reads: [{ account, version: '1' }] })).toEqual({ code: 'stale' });
  });

  test('one stale account among several is enough', async () => {
    const other = { account: '018f0000-0000-8000-8000-000000000001', version: '0' };
    const guard = { reads: [other, ...reads('7').reads, other] };
    expect(await posting(released(amount(1, '0.04'), MARCH_10), guard)).toEqual({ code: 'stale' });
  });
});

describe('an operation adds to zero', () => {
  test.each(['litres', 'lpa_fermented', 'lpa_added'])('in %s', async (measure) => {
    const batch = released(amount(1, '0.04'), MARCH_10, (operation) => {
      const line = linesOf(operation)[1];
      line[measure] = new Exact(String(line[measure])).plus('0.000001').toFixed();
    });
    expect(await posting(batch)).toMatchObject({ code: 'operation-unbalanced' });
  });

  test.each([
    ['in the litres of an origin', [['h', '-0.1', '-0.004']], [['h', '0.100000000001', '0.004']]],
    ['in the alcohol of an origin', [['h', '-0.1', '-0.004']], [['h', '0.1', '0.004000000001']]],
    ['origin by origin', [['h', '-0.1', '-0.004']], [['g', '0.1', '0.004']]],
    ['where one line has an origin alone', [['h', '0', '-0.004']], []],
  ])('%s', async (_, given, taken) => {
    const batch = released(amount(1, '0.04'), MARCH_10, (operation) => {
      linesOf(operation)[0].components = given;
      linesOf(operation)[1].components = taken;
    });
    expect(await posting(batch)).toMatchObject({ code: 'operation-unbalanced', in: 'components' });
  });

  test('components that do are posted', async () => {
    const batch = released(amount(1, '0.04'), MARCH_10, (operation) => {
      linesOf(operation)[0].components = [['h', '-0.1', '-0.004']];
      linesOf(operation)[1].components = [['h', '0.1', '0.004']];
    });
    expect(await posting(batch)).toEqual({ code: 'posted' });
  });
});

describe('a stock account never holds what cannot be', () => {
  // 50 L with 2 L of fermented alcohol stand there.
  test.each([
    ['all of it', amount(50, 2), 'posted'],
    ['less than nothing', amount('50.000001', 2), 'insufficient-stock'],
    ['less alcohol than none', amount(49, '2.000001'), 'insufficient-stock'],
    ['less added alcohol than none', amount(49, '1.9', '0.000001'), 'insufficient-stock'],
    ['litres without alcohol', amount(49, 2), 'posted'],
    ['nothing but alcohol', amount(48, 0), 'posted'],
    ['more alcohol than litres', amount('48.000001', 0), 'insufficient-stock'],
    ['more alcohol of both kinds together than litres', amount('48.5', '1', '-0.500001'), 'insufficient-stock'],
    ['alcohol of both kinds, as much as the litres', amount('48.5', '1', '-0.5'), 'posted'],
    ['alcohol without litres', amount(50, '1.999999'), 'insufficient-stock'],
  ])('%s', async (_, what, code) => {
    expect(await posting(released(what, MARCH_10))).toMatchObject({ code });
  });
});

describe('the open period that covers the microsecond', () => {
  let premisesId: string;
  beforeAll(async () => {
    const body = { name: 'Hill', timeZone: london.timeZone };
    premisesId = String((await floor.post('/v1/premises', body)).id);
    await floor.post('/v1/periods', { premisesId, startsOn: london.days[1], endsBefore: london.days[2] });
  });

  test.each(edgeMicroseconds(london))('$name: $at', async ({ at, period }) => {
    counter += 1;
    const place = { premisesId };
    const id = `018f0000-0000-7000-8000-${String(counter).padStart(12, '0')}`;
    const head = { id, kind: 'movement', timing: 'draw' as const, ...place, occurredAt: new Date(at), document: {} };
    const [from, to] = (['receipts', 'released'] as const).map((kind) => nominalAccount(place, kind, 'beer'));
    const draft = new OperationDraft(head).move(from, to, amount(1), { category: 'beer' });
    const answer = await posting(batchOf(draft, at, () => undefined));
    expect(answer.code).toBe(period === 1 ? 'posted' : 'period-not-open');
  });
});

describe('a moment ahead of the record', () => {
  // Five minutes are allowed for the clocks of a floor.
  test.each([
    ['2026-06-01T12:05:00.000000Z', 'posted'],
    ['2026-06-01T12:05:00.000001Z', 'time-ahead'],
  ])('%s: %s', async (occurredAt, code) => {
    const batch = released(amount(1, '0.04'), occurredAt);
    expect(await posting(batch, {}, '2026-06-01T12:00:00Z')).toMatchObject({ code });
  });
});
