import type { Container } from '../../src/production/operations/containers/containers.dto.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import type { TestService } from '../support/service.js';

export type Json = Record<string, unknown>;
export const L = (value: number) => ({ value, unit: 'L' });
export const day = (d: string) => ({ occurredAt: `2026-03-${d}T12:00:00Z` });

/** 100 L at 5 % in a tank, of which three kegs of 19 L were filled on the 5th: K-1, K-2, K-3. */
export async function kegs(service: TestService) {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const stock = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [],
  );
  const [lotId, vesselId] = [stock.lots[0], stock.vessels[0]];
  const run = (serials: string[], more: Json = {}) => ({
    vesselId,
    container: 'keg',
    nominalVolume: L(19),
    count: serials.length,
    serials,
    emptied: false,
    declaredStrength: { value: 5, unit: '%' },
    dispense: 'draught-connector',
    ...day('05'),
    ...more,
  });
  const path = `/v1/lots/${lotId}/packagings`;
  const filled = await floor.post(path, run(['K-1', 'K-2', 'K-3']));
  return { floor, run, path, lotId, packagedLotId: String(filled.packagedLotId), filled };
}

export const move = (floor: Floor, body: Json) => floor.post('/v1/movements', body);
export const states = async (floor: Floor, query = '') =>
  ((await floor.get(`/v1/containers${query}`)).items as Container[]).map(({ serial, state, event, litres }) => [
    serial,
    state,
    event,
    litres?.value,
  ]);
