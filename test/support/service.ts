import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type request from 'supertest';
import type { Response } from 'supertest';
import type { DatabaseClient } from '../../src/platform/database/client.js';
import type { Clock } from '../../src/platform/clock.js';
import type { TestDatabase } from './database.js';
import { createTestDatabase } from './database.js';
import type { Program } from './program.js';
import { loadProgram } from './program.js';

export const OPERATOR_KEY = 'operator-key-of-the-tests';

export interface CallOptions {
  readonly key?: string;
  readonly body?: unknown;
  readonly headers?: Readonly<Record<string, string>>;
}

type Method = 'get' | 'post' | 'patch' | 'put' | 'delete';

/** The whole service over a database of its own. */
export class TestService {
  #calls = 0;

  private constructor(
    readonly app: NestFastifyApplication,
    readonly client: DatabaseClient,
    readonly database: TestDatabase,
    /** The modules that it was made of, for tests that ask the application for a part. */
    readonly program: Program,
    /** Others on the same database, as further processes would be: neither knows of the other's turns. Calls go to each in its turn. */
    private readonly others: readonly TestService[] = [],
  ) {}

  static async start(
    options: {
      clock?: Clock;
      requestsPerMinute?: number;
      poolSize?: number;
      /** One that is there already; it goes when the service stops. */
      database?: TestDatabase;
      processes?: number;
    } = {},
  ): Promise<TestService> {
    const database = options.database ?? (await createTestDatabase());
    const program = await loadProgram();
    const client = program.createPrismaClient({ url: database.appUrl, poolSize: options.poolSize ?? 8 });
    const app = await program.createApp({
      root: program.AppModule.with({
        client,
        clock: options.clock,
        tenancy: { operatorKey: OPERATOR_KEY, requestsPerMinute: options.requestsPerMinute ?? 1_000_000 },
      }),
    });
    const others = Array.from({ length: (options.processes ?? 1) - 1 }, () =>
      TestService.start({ ...options, database, processes: 1 }),
    );
    return new TestService(app, client, database, program, await Promise.all(others));
  }

  async stop(): Promise<void> {
    for (const { app, client } of [...this.others, this]) {
      await app.close();
      await client.$disconnect();
    }
    await this.database.drop();
  }

  /** The process that answers the next call. */
  next(): NestFastifyApplication {
    this.#calls += 1;
    return [this, ...this.others][this.#calls % (this.others.length + 1)].app;
  }

  /** Lets every process answer on a port of its own. */
  async listen(): Promise<void> {
    await Promise.all([this, ...this.others].map(({ app }) => app.listen(0, '127.0.0.1')));
  }

  call(method: Method, path: string, { key, body, headers = {} }: CallOptions = {}): request.Test {
    const call = this.program.request(this.next().getHttpServer())[method](path).set(headers);
    if (key !== undefined) {
      call.set('authorization', `Bearer ${key}`);
    }
    return body === undefined ? call : call.send(body as object);
  }

  /** Calls and fails loudly when the status is not the expected one. */
  async expect(status: number, method: Method, path: string, options: CallOptions = {}): Promise<Response> {
    const response = await this.call(method, path, options);
    if (response.status !== status) {
      throw new Error(`${method} ${path} answered ${response.status}: ${JSON.stringify(response.body)}`);
    }
    return response;
  }

  async newProducer(name = 'Invented Drinks'): Promise<{ id: string; key: string }> {
    const response = await this.expect(201, 'post', '/v1/producers', { key: OPERATOR_KEY, body: { name } });
    const { producer, key } = response.body as { producer: { id: string }; key: string };
    return { id: producer.id, key };
  }

  /** Rows of every table, as the superuser sees them: what a refusal must leave unchanged. */
  rowCounts(): Promise<Record<string, number>> {
    return this.program.withConnection(this.database.superuserUrl, async (connection) => {
      const tables = await connection.query<{ name: string }>(
        `SELECT relname AS name FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace ORDER BY 1`,
      );
      const counts: Record<string, number> = {};
      for (const { name } of tables.rows) {
        const { rows } = await connection.query<{ n: string }>(`SELECT count(*) AS n FROM "${name}"`);
        counts[name] = Number(rows[0].n);
      }
      return counts;
    });
  }
}
