import type { Driver } from './driver.js';
import type { Json } from './request-parts.js';
import { litres } from './request-parts.js';
import type { ArriveBulk, SendBulk } from './step.js';
import type { Site } from './words.js';

/** The requests of what goes in bulk between the premises. */
export async function bulkOnTheWay(step: SendBulk | ArriveBulk, driver: Driver): Promise<readonly [string, Json]> {
  const there = await driver.otherPremises();
  const premises = (site: Site): string => (site === 'here' ? driver.premises('here') : there);
  const vessel = { lotId: driver.id(step.lot), vesselId: driver.id(step.vessel), volume: litres(step.litres) };
  const occurredAt = driver.timeOf(step.at);
  return step.kind === 'send-bulk'
    ? ['/v1/transits', { ...vessel, toPremisesId: premises(step.to), document: 'DOC-3', occurredAt }]
    : [
        `/v1/transits/${driver.id(`operation/${step.transit}`)}/arrival`,
        { ...vessel, reasonCode: 'residue', occurredAt },
      ];
}
