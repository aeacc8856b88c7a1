import pg from 'pg';
import { connectionConfig } from '../../src/platform/database/connection.js';

/** SQLSTATE of what a role may not do. */
export const DENIED = '42501';

/** A session of the application's own role, without the service. */
export class AppSession {
  private constructor(readonly client: pg.Client) {}

  static async open(appUrl: string): Promise<AppSession> {
    const client = new pg.Client(connectionConfig(appUrl));
    await client.connect();
    return new AppSession(client);
  }

  close(): Promise<void> {
    return this.client.end();
  }

  /** One transaction that sees one producer; undone at the end. */
  async as<T>(producer: string | undefined, work: () => Promise<T>): Promise<T> {
    await this.client.query('BEGIN');
    try {
      if (producer !== undefined) {
        await this.client.query(`SELECT set_config('app.producer', $1, true)`, [producer]);
      }
      return await work();
    } finally {
      await this.client.query('ROLLBACK');
    }
  }

  /** The SQLSTATE with which a statement is refused; otherwise how many rows it was allowed. */
  async refusal(sql: string, ...values: unknown[]): Promise<string> {
    await this.client.query('SAVEPOINT s');
    try {
      const { rowCount } = await this.client.query(sql, values);
      return `allowed: ${rowCount} rows`;
    } catch (error) {
      return String((error as { code?: unknown }).code);
    } finally {
      await this.client.query('ROLLBACK TO s');
    }
  }
}
