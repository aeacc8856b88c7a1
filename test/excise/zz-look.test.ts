import { writeFileSync } from 'node:fs';
import { SteppableClock } from '../../src/platform/clock.js';
import { TestService } from '../support/service.js';
import { playedMonths } from './faces-world.js';
test('look', async () => {
  const clock = new SteppableClock(new Date('2026-08-01T00:00:00Z'));
  const service = await TestService.start({ clock });
  const { key, world } = await playedMonths(service, clock, new Date('2026-11-25T00:00:00Z'));
  const pdf = async (path: string, name: string) => {
    const r = await service.call('get', path, { key });
    writeFileSync(`/tmp/look/${name}.pdf`, r.body as Buffer);
  };
  for (const [i, id] of world.site.periodIds.entries()) await pdf(`/v1/periods/${id}/report?format=pdf`, `report-${i}`);
  const lots = (await service.call('get', '/v1/lots', { key })).body as { items: { id: string }[] };
  for (const [i, { id }] of lots.items.entries()) await pdf(`/v1/lots/${id}/record?format=pdf`, `lot-${i}`);
  await service.stop();
}, 300_000);
