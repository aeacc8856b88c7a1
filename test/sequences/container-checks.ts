import type { Container } from '../../src/production/operations/containers/containers.dto.js';
import type { Floor } from '../support/floor.js';
import type { Driver } from './driver.js';
import type { Model } from './model.js';
import { isFollowed, isInStock } from './containers.js';
import { d, packed } from './words.js';

/** Where the list has each container with a serial, by what, and with how much of what. */
export async function requireContainers(floor: Floor, driver: Driver, model: Model): Promise<void> {
  const items = (await floor.get('/v1/containers?limit=100')).items as Container[];
  const held = items.map(({ serial, event, operationId, packagedLotId, litres }) => ({
    serial,
    event,
    operationId,
    packagedLotId,
    litres: litres === undefined ? undefined : d(litres.value).toFixed(),
  }));
  const expected = [...model.containers().values()]
    .map(({ serial, event, by, packaged, litres }) => ({
      serial,
      event,
      operationId: driver.id(`operation/${by}`),
      packagedLotId: packaged === undefined ? undefined : driver.id(`packaged/${packaged}`),
      litres: litres?.toFixed(),
    }))
    .sort((a, b) => (a.serial < b.serial ? -1 : 1));
  expect(held).toEqual(expected);
  requireListAgrees(model);
}

/** The containers in stock hold what the books have of their packaged lot, at each place. */
function requireListAgrees(model: Model): void {
  const now = [...model.containers().values()].filter(isInStock);
  for (const packaged of model.packagedLots.filter((each) => isFollowed(model, each))) {
    for (const site of ['here', 'there'] as const) {
      for (const duty of ['suspended', 'paid'] as const) {
        const listed = now
          .filter((each) => each.packaged === packaged && each.site === site && each.duty === duty)
          .reduce((sum, { litres }) => sum.plus(litres ?? 0), d(0));
        const account = packed(packaged, site, duty);
        expect([account, listed.toFixed()]).toEqual([account, model.balance(account).litres.toFixed()]);
      }
    }
  }
}
