import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { Transit } from '../../src/excise/movements/transits/transits.dto.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';

// A consignment has gone for good once it arrived: what was lost takes the uncertainty that did not arrive, so that nothing of it is left on the way.

let service: TestService;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-28T08:00:00Z')) });
});
afterAll(() => service.stop());

const L = (value: number) => ({ value, unit: 'L' });
const MARCH = ['2026-03-01', '2026-04-01'] as const;

async function sentFrom(floor: Floor, goods: object, arrival: object, hill: string) {
  const sent = (await floor.post('/v1/transits', {
    ...goods,
    toPremisesId: hill,
    document: 'DOC-1',
    occurredAt: '2026-03-10T12:00:00Z',
  })) as unknown as Transit;
  await floor.post(`/v1/transits/${sent.id}/arrival`, {
    ...arrival,
    reasonCode: 'spill',
    occurredAt: '2026-03-11T12:00:00Z',
  });
  return sent.id;
}

interface Component {
  readonly origin: string;
  readonly litres: string;
  readonly lpa: string;
}

/** What each origin contributes to all that ever stood on the consignment's account. */
const onTheWay = (floor: Floor, transitId: string) =>
  service.program.withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<Component>(
      `SELECT c.origin, sum(c.c_litres)::text AS litres, sum(c.c_lpa)::text AS lpa
         FROM account a JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
         JOIN posting_component c ON c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line
        WHERE a.producer_id = $1 AND a.transit_id = $2 GROUP BY c.origin ORDER BY c.origin`,
      [floor.producerId, transitId],
    );
    return rows;
  });

test('bulk and packed: what arrived and what was lost are as unsure as what was sent, origin by origin', async () => {
  const floor = await Floor.open(service, [[...MARCH]]);
  const hill = String((await floor.post('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' })).id);
  await floor.post('/v1/periods', { premisesId: hill, startsOn: MARCH[0], endsBefore: MARCH[1] });
  const { lots, vessels, packaged } = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [{ vessel: 'T1', category: 'cider', litres: 200, volumeU: 0.5, percent: 5, strengthU: 0.1 }],
    [{ mark: 'B', category: 'beer', count: 100, nominalLitres: 0.5, declaredPercent: 4, percent: 4, strengthU: 0.1 }],
  );
  const there = {
    lotId: String((await floor.post('/v1/lots', { premisesId: hill, category: 'cider' })).id),
    vesselId: await floor.vessel('H1', 'tank', hill),
  };
  const [cider, beer] = [
    await sentFrom(floor, { lotId: lots[0], vesselId: vessels[0], volume: L(200) }, { ...there, volume: L(150) }, hill),
    await sentFrom(floor, { packagedLotId: packaged[0], count: 100 }, { count: 60 }, hill),
  ];
  for (const id of [cider, beer]) {
    const rows = await onTheWay(floor, id);
    expect(rows.length).toBeGreaterThan(0);
    expect(rows.filter(({ litres, lpa }) => Number(litres) !== 0 || Number(lpa) !== 0)).toEqual([]);
  }
  const [period] = (await floor.get(`/v1/periods?premisesId=${floor.premisesId}`)).items as { id: string }[];
  const report = (await floor.get(`/v1/periods/${period.id}/report`)) as unknown as PeriodReport;
  const { expandedUncertainty: closing } = report.closing;
  expect([report.closing.litres.value, closing.litres.value, closing.litresOfPureAlcohol.value]).toEqual([0, 0, 0]);
  // By hand: 50 L of cider and 20 L of beer did not arrive. The 150 L were measured out, so all of the dip's u = 0.5 L is the loss's, and
  // U = 1.959964 × 0.5 L. Each litre of loss is as unsure as its strength, 0.1 % vol; the litres of the dip are at 5 %.
  const lost = report.losses.filter(({ line }) => line === 'transit-loss');
  expect(lost.map(({ litres, expandedUncertainty: u }) => [litres.value, u.litres.value])).toEqual([
    [-50, 0.979982],
    [-20, 0],
  ]);
  const lpa = lost.map(({ expandedUncertainty: u }) => u.litresOfPureAlcohol.value);
  expect(lpa[0]).toBeCloseTo(1.959964 * Math.hypot(0.001 * 50, 0.05 * 0.5), 5);
  expect(lpa[1]).toBeCloseTo(1.959964 * 0.001 * 20, 5);
});
