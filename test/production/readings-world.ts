import { uuidv7 } from 'uuidv7';
import { SCOPES } from '../../src/platform/access.js';
import type { Batch } from '../../src/tenancy/producer-database/batch.js';
import { Answer } from '../../src/tenancy/producer-database/batch.js';
import type { World } from './records-world.js';

/** Writes a batch as the service would, for what has no route in a test of readings. */
export async function write(world: World, batch: Batch): Promise<void> {
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

export const newPeriod = (world: World) => ({
  id: uuidv7(),
  premises_id: world.premisesId,
  starts_on: '2026-01-01',
  ends_before: '2027-01-01',
  starts_at: '2026-01-01T00:00:00Z',
  ends_at: '2027-01-01T00:00:00Z',
  time_zone: 'Europe/London',
});

/** A composition of a lot with so many litres in a vessel, in an open period. Returns its id. */
export async function charge(
  world: World,
  lotId: string,
  vesselId: string,
  occurredAt: string,
  period: object | undefined,
): Promise<string> {
  const [composition, operation, stock, nominal] = [uuidv7(), uuidv7(), uuidv7(), uuidv7()];
  const account = { premises_id: world.premisesId, owner: 'own', kind: 'liquid', duty_status: 'suspended' };
  const line = { lpa_fermented: '0', lpa_added: '0', lot_id: lotId, composition_id: composition };
  await write(world, {
    action: 'test.charge',
    rows: {
      ...(period === undefined ? {} : { period: [{ ...period }] }),
      composition: [
        {
          id: composition,
          lot_id: lotId,
          premises_id: world.premisesId,
          kind: 'charge',
          operation_id: operation,
          opened_at: occurredAt,
        },
      ],
    },
    accounts: [
      { ...account, id: stock, key: `stock/${stock}`, side: 'stock', composition_id: composition, vessel_id: vesselId },
      { ...account, id: nominal, key: `nominal/${nominal}`, side: 'nominal', kind: 'production-in-process' },
    ],
    operations: [
      {
        id: operation,
        kind: 'charge',
        timing: 'change',
        premises_id: world.premisesId,
        occurred_at: occurredAt,
        lot_id: lotId,
        composition_id: composition,
        document: {},
        postings: [
          { ...line, line: 1, account_id: stock, litres: '100' },
          { ...line, line: 2, account_id: nominal, litres: '-100' },
        ],
      },
    ],
  });
  return composition;
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
          lot_id: lotId,
          composition_id: compositionId,
          standing: 'provisional',
          method_id: 'certificate',
          method_version: '1',
          strength_percent: '5',
          standard_uncertainty: '0.05',
          coverage_factor: '2',
          expanded_uncertainty: '0.1',
          budget: [],
          inputs: {},
          warnings: [],
          sampled_at: sampledAt,
        },
      ],
      finding_reading: [{ finding_id: id, reading_id: readingId, use: 'final' }],
    },
  });
  return id;
}
