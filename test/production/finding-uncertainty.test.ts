import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { percent } from './changes-world.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

test('the uncertainty of a finding has the shape and the figures of the calculation', async () => {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const { lots } = await openStock(
    floor,
    '2026-03-01T00:00:00Z',
    [{ vessel: 'A', category: 'wine', litres: 100, volumeU: 0.5, percent: 10, strengthU: 0.1 }],
    [],
  );
  const stated = { strength: percent(10.1), expandedUncertainty: percent(0.12), coverageFactor: 2 };
  const found = await floor.post(`/v1/lots/${lots[0]}/findings`, {
    method: 'certificate',
    standing: 'supporting',
    certificate: stated,
    occurredAt: '2026-03-10T09:00:00Z',
  });
  const calculated = await floor.post('/v1/calculations/strength', { method: 'certificate', ...stated }, 200);
  expect(found.uncertainty).toEqual(calculated.uncertainty);
  // u is U / k of the certificate; its U and k stand as stated.
  expect(found.uncertainty).toMatchObject({
    standard: percent(0.06),
    expanded: percent(0.12),
    coverageFactor: 2,
    degreesOfFreedom: null,
  });
});
