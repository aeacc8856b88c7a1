import { withConnection } from '../../src/platform/database/connection.js';
import type { TestService } from './service.js';

/** Moments at which a stock account has less than nothing, or alcohol that it has no liquid for: counted again from the postings alone. */
const impossibleMoments = (service: TestService, producerId: string): Promise<unknown[]> =>
  withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<Record<string, unknown>>(
      `SELECT * FROM (
         SELECT account_id, at, sum(l) OVER upto AS litres, sum(f) OVER upto AS fermented, sum(a) OVER upto AS added
           FROM (SELECT p.account_id, p.occurred_at AS at, sum(p.litres) AS l, sum(p.lpa_fermented) AS f, sum(p.lpa_added) AS a
                   FROM posting p JOIN account k ON k.producer_id = p.producer_id AND k.id = p.account_id AND k.side = 'stock'
                  WHERE p.producer_id = $1 GROUP BY p.account_id, p.occurred_at) moments
         WINDOW upto AS (PARTITION BY account_id ORDER BY at)) x
        WHERE litres < 0 OR fermented < 0 OR added < 0 OR fermented + added > litres`,
      [producerId],
    );
    return rows;
  });

/** What has to hold after every case: trail and books fit, no moment is impossible, and nobody is left in a transaction. */
export async function expectBooksHold(service: TestService, producerId: string, key: string): Promise<void> {
  const check = await service.expect(200, 'get', '/v1/audit-trail/check', { key });
  expect(check.body).toMatchObject({ holds: true, faults: [] });
  expect(await impossibleMoments(service, producerId)).toEqual([]);
  const left = await withConnection(service.database.superuserUrl, (db) =>
    db.query(
      `SELECT state, query FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid() AND state LIKE 'idle in transaction%'`,
    ),
  );
  expect(left.rows).toEqual([]);
}

/** Litres of all that a producer has in stock, as exact text. */
export const stockLitres = (service: TestService, producerId: string): Promise<string> =>
  withConnection(service.database.superuserUrl, async (db) => {
    const { rows } = await db.query<{ litres: string }>(
      `SELECT sum(b.litres)::text AS litres FROM balance b JOIN account a ON a.producer_id = b.producer_id AND a.id = b.account_id
        WHERE b.producer_id = $1 AND a.side = 'stock'`,
      [producerId],
    );
    return rows[0].litres;
  });
