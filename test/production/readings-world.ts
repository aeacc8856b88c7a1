import { uuidv7 } from 'uuidv7';
import { liquidAccount, nominalAccount } from '../../src/ledger/books/account.js';
import { amount } from '../../src/ledger/books/amount.js';
import { booksOf, OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { SCOPES } from '../../src/platform/access.js';
import type { Batch, RowOf } from '../../src/tenancy/producer-database/batch.js';
import { Answer } from '../../src/tenancy/producer-database/batch.js';
import { compositionRow } from '../../src/production/lots/compositions/composition.rows.js';
import type { World } from './records-world.js';

/** Writes a batch as the service would, for what has no route in a test of readings. */
async function write(world: World, batch: Batch): Promise<void> {
  const door = world.service.app.get(world.service.program.ProducerDatabase, { strict: false });
  const ctx = {
    producerId: world.producerId,
    principalId: uuidv7(),
    role: 'owner' as const,
    scopes: new Set(SCOPES),
    producerName: '',
    simulated: false,
  };
  await door.write(ctx, { read: () => Promise.resolve(null), plan: () => ({ batch, answer: new Answer(201, {}) }) });
}

export const newPeriod = (world: World): RowOf<'period'> => ({
  id: uuidv7(),
  premisesId: world.premisesId,
  startsOn: '2026-01-01',
  endsBefore: '2027-01-01',
  startsAt: '2026-01-01T00:00:00Z',
  endsAt: '2027-01-01T00:00:00Z',
  timeZone: 'Europe/London',
});

/** A composition of a lot with so many litres in a vessel, in an open period. Returns its id. */
export async function charge(
  world: World,
  lotId: string,
  vesselId: string,
  occurredAt: string,
  period: RowOf<'period'> | undefined,
): Promise<string> {
  const [compositionId, operationId] = [uuidv7(), uuidv7()];
  const place = { premisesId: world.premisesId };
  const at = new Date(occurredAt);
  const draft = new OperationDraft({
    id: operationId,
    kind: 'charge',
    timing: 'change',
    ...place,
    occurredAt: at,
    lotId,
    compositionId,
    document: {},
  }).move(
    nominalAccount(place, 'production-in-process', 'cider'),
    liquidAccount(place, compositionId, vesselId),
    amount(100),
    { category: 'cider', lotId, compositionId },
  );
  await write(world, {
    action: 'test.charge',
    rows: {
      ...(period === undefined ? {} : { period: [period] }),
      composition: [compositionRow({ id: compositionId, lotId, ...place, kind: 'charge', operationId, openedAt: at })],
    },
    ...booksOf(draft),
  });
  return compositionId;
}

/** A finding that rests on a reading. Returns its id. */
export async function findingOn(
  world: World,
  lotId: string,
  compositionId: string,
  readingId: string,
  sampledAt: string,
): Promise<string> {
  const id = uuidv7();
  await write(world, {
    action: 'test.finding',
    rows: {
      finding: [
        {
          id,
          lotId,
          compositionId,
          standing: 'provisional',
          restates: null,
          methodId: 'certificate',
          methodVersion: '1',
          strengthPercent: '5',
          standardUncertainty: '0.05',
          coverageFactor: '2',
          expandedUncertainty: '0.1',
          degreesOfFreedom: null,
          realExtractPlato: null,
          densityKgM3: null,
          budget: [],
          inputs: {},
          warnings: [],
          sampledAt,
          operationId: null,
        },
      ],
      findingReading: [{ findingId: id, readingId, use: 'final' }],
    },
  });
  return id;
}
