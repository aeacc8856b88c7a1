import type { Driver } from './driver.js';
import type { Json } from './request-parts.js';
import { CELSIUS } from './request-parts.js';
import type { Beside, Step } from './step.js';
import { sampleName } from './words.js';

// Readings and their sums, asked for and kept.

export function besideRequest(step: Beside, driver: Driver): readonly [string, Json] {
  switch (step.kind) {
    case 'read': {
      const value = step.what === 'ph' ? { value: 3.5 } : { quantity: CELSIUS };
      const takenAt = driver.timeOf(step.at);
      return [
        `/v1/lots/${driver.id(step.lot)}/readings`,
        { kind: step.what, ...value, vesselId: driver.id(step.vessel), takenAt },
      ];
    }
    case 'strike':
      return [`/v1/readings/${driver.id(`reading/${step.reading}`)}/strike`, { reasonCode: 'misread' }];
    case 'sample-day':
      return [
        '/v1/sample-days',
        { premisesId: driver.premises('here'), day: driver.timeOf(step.day * 24).slice(0, 10) },
      ];
  }
}

/** A sum is a movement for each vessel and what it held; which, its movement says. */
export async function keepBeside(step: Beside, name: string, body: Json, driver: Driver): Promise<void> {
  if (step.kind === 'read') driver.name(`reading/${name}`, body.id);
  if (step.kind !== 'sample-day') return;
  const samples = body.samples as { movementId: string; vesselId: string }[];
  driver.name(`operation/${name}`, samples[0].movementId);
  for (const { movementId, vesselId } of samples) {
    const { compositionId } = await driver.movement(movementId);
    const composition = driver.nameOf(String(compositionId), 'composition/').slice('composition/'.length);
    driver.name(`operation/${sampleName(name, driver.nameOf(vesselId, 'vessel-'), composition)}`, movementId);
  }
}

const PLACES: Readonly<Record<'read' | 'strike', string>> = {
  read: 'SELECT trail_sequence::text AS place FROM reading WHERE id = $1',
  strike: 'SELECT trail_sequence::text AS place FROM reading_strike WHERE reading_id = $1',
};

/** Where the trail has a step, and by which id: most are operations. */
export function placeQuery(step: Step, name: string, driver: Driver): readonly [sql: string, id: string] {
  if (step.kind === 'read') return [PLACES.read, driver.id(`reading/${name}`)];
  if (step.kind === 'strike') return [PLACES.strike, driver.id(`reading/${step.reading}`)];
  return ['SELECT trail_sequence::text AS place FROM operation WHERE id = $1', driver.id(`operation/${name}`)];
}
