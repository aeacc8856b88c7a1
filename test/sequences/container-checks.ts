import type { Container } from '../../src/production/operations/containers/containers.dto.js';
import type { Floor } from '../support/floor.js';
import type { Driver } from './driver.js';
import type { Model } from './model.js';
import { d } from './words.js';

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
}
