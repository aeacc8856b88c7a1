import type { LotRecord } from '../../src/excise/reporting/lot-record/lot-record.dto.js';
import { definition } from '../../src/excise/reporting/lot-record/lot-record-pdf.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';
import { openStock } from '../support/books.js';

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
});
afterAll(() => service.stop());

const UNKNOWN = '018f0000-0000-7000-8000-000000000000';
const RULES = {
  name: 'Invented',
  validFrom: '2026-01-01',
  cadence: 'month',
  strengthForDuty: { rule: 'declared' },
  categories: [
    {
      code: 'drinks',
      name: 'Drinks',
      basis: 'litre-of-alcohol',
      unit: 'L',
      bands: [{ code: 'all', fromStrength: { value: 0, unit: '%' } }],
    },
  ],
};

async function floorOf() {
  const floor = await Floor.open(service, [['2026-03-01', '2026-04-01']]);
  const person = String((await floor.post('/v1/people', { name: 'A. Brewer' })).id);
  const { items } = (await floor.get('/v1/keys')) as { items: { id: string }[] };
  return { floor, person, keyId: items[0].id };
}

test('a lot names who chose its category, and its record names them in words', async () => {
  const { floor, person, keyId } = await floorOf();
  const { premisesId } = floor;
  const lot = await floor.post('/v1/lots', { premisesId, category: 'cider', personId: person });
  expect(lot).toMatchObject({ personId: person, keyId });
  const recordOf = async (id: unknown): Promise<LotRecord> =>
    (await floor.get(`/v1/lots/${String(id)}/record`)) as unknown as LotRecord;
  const record = await recordOf(lot.id);
  const at = '2026-04-02T08:00:00.000Z';
  expect(record.lot.categoryChosen).toEqual({ at, personId: person, person: 'A. Brewer', keyId, key: 'First key' });
  const page = JSON.stringify(definition({ record, hash: 'ab'.repeat(32), at: new Date(at) }).content);
  expect(page).toContain('cider, chosen on 2026-04-02 09:00 by A. Brewer, key First key');
  // Without a person the key still tells it; a person who was forgotten is not named.
  const alone = await floor.post('/v1/lots', { premisesId, category: 'cider' });
  expect((await recordOf(alone.id)).lot.categoryChosen).toEqual({ at, keyId, key: 'First key' });
  const refused = await service.call('post', '/v1/lots', {
    key: floor.key,
    body: { premisesId, category: 'cider', personId: UNKNOWN },
  });
  expect([refused.status, problemOf(refused).errors?.[0].pointer]).toEqual([404, '/personId']);
});

test('a set of duty rules names who chose the classes, itself and in the report of a release', async () => {
  const { floor, person, keyId } = await floorOf();
  const set = await floor.post('/v1/duty-rule-sets', { ...RULES, personId: person });
  expect(set).toMatchObject({ personId: person, keyId, number: 1 });
  expect(set.ruleSet).toEqual(RULES);
  expect(await floor.get(`/v1/duty-rule-sets/${String(set.id)}`)).toEqual(set);
  const { packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [],
    [{ mark: 'B-1', category: 'beer', count: 10, nominalLitres: 0.5, declaredPercent: 5, percent: 5, strengthU: 0.1 }],
  );
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packaged[0],
    count: 1,
    occurredAt: '2026-03-15T12:00:00Z',
  });
  const [{ id }] = (await floor.get('/v1/periods')).items as { id: string }[];
  const { duty } = (await floor.get(`/v1/periods/${id}/report`)) as unknown as PeriodReport;
  expect(duty.ruleSets).toEqual([
    expect.objectContaining({ id: set.id, version: '1', enteredAt: set.createdAt, personId: person, keyId }),
  ]);
  const before = await service.rowCounts();
  const refused = await service.call('post', '/v1/duty-rule-sets', {
    key: floor.key,
    body: { ...RULES, personId: UNKNOWN },
  });
  expect([refused.status, problemOf(refused).errors?.[0].pointer]).toEqual([404, '/personId']);
  expect(await service.rowCounts()).toEqual(before);
});
