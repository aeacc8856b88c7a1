import type { Pool } from 'pg';
import type { Floor } from '../support/floor.js';
import type { Driver } from './driver.js';
import type { Model } from './model.js';
import { ownerName, ownerOfAccount } from './owners.js';
import { Decimal, siteOf } from './words.js';

// What has to hold of the books, asked of the tables and not of the service.

/**
 * Stock never below zero at any moment, operations adding to zero, balances equal to their postings, nothing left in an emptied account; nothing
 * entered into a period after its closing, and what corrects it on the line of earlier periods.
 */
export async function requireSound(database: Pool, producerId: string): Promise<void> {
  const { rows } = await database.query(
    `SELECT 'below zero' AS fault, account_id::text AS at FROM (
       SELECT p.account_id, p.occurred_at,
              sum(sum(p.litres)) OVER w AS l, sum(sum(p.lpa_fermented)) OVER w AS f, sum(sum(p.lpa_added)) OVER w AS a
         FROM posting p JOIN account c ON c.producer_id = p.producer_id AND c.id = p.account_id
        WHERE p.producer_id = $1 AND c.side = 'stock' GROUP BY p.account_id, p.occurred_at
       WINDOW w AS (PARTITION BY p.account_id ORDER BY p.occurred_at)) t
      WHERE l < 0 OR f < 0 OR a < 0 OR f + a > l OR (l = 0 AND f + a <> 0)
     UNION ALL
     SELECT 'unbalanced', operation_id::text FROM posting WHERE producer_id = $1 GROUP BY operation_id
      HAVING sum(litres) <> 0 OR sum(lpa_fermented) <> 0 OR sum(lpa_added) <> 0
     UNION ALL
     SELECT 'entered after closing', o.id::text FROM operation o
       JOIN period q ON q.producer_id = o.producer_id AND q.premises_id = o.premises_id AND q.starts_at <= o.occurred_at AND o.occurred_at < q.ends_at
       JOIN report r ON r.producer_id = q.producer_id AND r.period_id = q.id
      WHERE o.producer_id = $1 AND o.trail_sequence > r.trail_sequence
     UNION ALL
     SELECT 'not on the earlier line', o.id::text FROM operation o
       JOIN posting p ON p.producer_id = o.producer_id AND p.operation_id = o.id
       JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id
      WHERE o.producer_id = $1 AND o.earlier_period_id IS NOT NULL AND a.side = 'nominal' AND a.kind <> 'earlier-period'
     UNION ALL
     SELECT 'balance', b.account_id::text FROM balance b WHERE b.producer_id = $1 AND (b.litres, b.lpa_fermented, b.lpa_added) <>
       (SELECT sum(p.litres), sum(p.lpa_fermented), sum(p.lpa_added) FROM posting p WHERE p.producer_id = $1 AND p.account_id = b.account_id)`,
    [producerId],
  );
  expect(rows as unknown[]).toEqual([]);
}

interface Row {
  readonly kind: string;
  readonly composition: string | null;
  readonly vessel: string | null;
  readonly material: string | null;
  readonly packaged: string | null;
  readonly transit: string | null;
  readonly premises: string;
  readonly duty: string;
  readonly owner: string;
  readonly litres: string;
  readonly fermented: string;
  readonly added: string;
}

function keyOf(row: Row): string {
  switch (row.kind) {
    case 'liquid':
      return `liquid/${row.composition}/${row.vessel}`;
    case 'material':
      return `material/${row.material}/${row.duty}`;
    case 'in-transit':
      return `transit/${row.packaged ?? row.composition}/${row.transit}/${row.premises}/${row.duty}`;
    default:
      return `packed/${row.packaged}/${row.premises}/${row.duty}`;
  }
}

/** Where the model's account is kept. */
function keptAs(account: string, driver: Driver, model: Model): string {
  const [kind, what, second, third, fourth] = account.split('/');
  switch (kind) {
    case 'liquid':
      return `liquid/${driver.id(`composition/${what}`)}/${driver.id(second)}`;
    case 'material':
      return `material/${driver.id(`material/${what}`)}/${model.dutyOf(what)}`;
    case 'transit':
      return `transit/${driver.id(`packaged/${what}`)}/${driver.id(`operation/${second}`)}/${driver.premises(siteOf(account))}/${fourth}`;
    case 'bulk':
      return `transit/${driver.id(`composition/${what}`)}/${driver.id(`operation/${second}`)}/${driver.premises(siteOf(account))}/${fourth}`;
    default:
      return `packed/${driver.id(`packaged/${what}`)}/${driver.premises(second === 'there' ? 'there' : 'here')}/${third}`;
  }
}

/** Every stock account that is not empty and whose it is, on both sides, in all three measures. */
export async function requireEqual(database: Pool, producerId: string, driver: Driver, model: Model): Promise<void> {
  const { rows } = await database.query<Row>(
    `SELECT a.kind, a.composition_id AS composition, a.vessel_id AS vessel, a.material_lot_id AS material, a.packaged_lot_id AS packaged,
            a.transit_id AS transit, a.premises_id AS premises, a.duty_status AS duty, a.owner,
            b.litres::text AS litres, b.lpa_fermented::text AS fermented, b.lpa_added::text AS added
       FROM account a JOIN balance b ON b.producer_id = a.producer_id AND b.account_id = a.id
      WHERE a.producer_id = $1 AND a.side = 'stock' AND (b.litres, b.lpa_fermented, b.lpa_added) <> (0, 0, 0)`,
    [producerId],
  );
  const plain = (value: string): string => new Decimal(value).toFixed();
  const held = new Map(
    rows.map((row) => [`${keyOf(row)} of ${row.owner}`, [row.litres, row.fermented, row.added].map(plain)]),
  );
  const expected = new Map(
    [...model.stock()]
      .filter(([, { litres }]) => !litres.isZero())
      .map(([account, { litres, fermented, added }]) => [
        `${keptAs(account, driver, model)} of ${ownerName(ownerOfAccount(model, account))}`,
        [litres, fermented, added].map((each) => each.toFixed()),
      ]),
  );
  expect(Object.fromEntries(held)).toEqual(Object.fromEntries(expected));
}

/** The three reconciliation of the report, of each period of the first premises: opening and flows make the closing. */
export async function requireRoads(floor: Floor, driver: Driver): Promise<void> {
  for (const period of [1, 2]) {
    const check = await floor.get(`/v1/periods/${driver.id(`period/here/${period}`)}/closing-check`);
    expect(check.reconciliation).toMatchObject({ balances: true });
  }
}

/** What is on hand of each material lot without alcohol. */
export async function requirePlain(floor: Floor, driver: Driver, model: Model): Promise<void> {
  for (const name of driver.plainLots) {
    const { onHand } = await floor.get(`/v1/material-lots/${driver.id(name)}`);
    const expected = model.plain.onHand(name, (by) => model.isReversed(by));
    expect({ name, onHand: (onHand as { value: number }).value }).toEqual({ name, onHand: expected.toNumber() });
  }
}
