import type request from 'supertest';

/** The compiled program of `dist/`, which the test set-up has made; its modules are loaded once a worker, see environment.mjs. */
export interface Program {
  readonly request: typeof request;
  readonly withConnection: (typeof import('../../src/platform/database/connection.js'))['withConnection'];
  readonly createApp: (typeof import('../../src/bootstrap.js'))['createApp'];
  readonly AppModule: (typeof import('../../src/app.module.js'))['AppModule'];
  readonly SteppableClock: (typeof import('../../src/platform/clock.js'))['SteppableClock'];
  readonly createPrismaClient: (typeof import('../../src/platform/database/client.js'))['createPrismaClient'];
  readonly OpenApiDocument: (typeof import('../../src/platform/openapi/document.js'))['OpenApiDocument'];
  readonly declaredRoutes: (typeof import('../../src/platform/openapi/routes.js'))['declaredRoutes'];
  readonly ProducerDatabase: (typeof import('../../src/tenancy/producer-database/producer-database.js'))['ProducerDatabase'];
  readonly StockReader: (typeof import('../../src/ledger/books/stock.reader.js'))['StockReader'];
  readonly seedDemoProducer: (typeof import('../../src/demo/seed.js'))['seedDemoProducer'];
  readonly DemoError: (typeof import('../../src/demo/client/demo-error.js'))['DemoError'];
  readonly writeBackup: (typeof import('../../src/platform/database/backup/backup.js'))['writeBackup'];
  readonly restoreBackup: (typeof import('../../src/platform/database/backup/backup.js'))['restoreBackup'];
  readonly ProducersService: (typeof import('../../src/tenancy/producers/producers.service.js'))['ProducersService'];
}

const MODULES = [
  'bootstrap.js',
  'app.module.js',
  'platform/clock.js',
  'platform/database/client.js',
  'platform/database/connection.js',
  'platform/openapi/document.js',
  'platform/openapi/routes.js',
  'tenancy/producer-database/producer-database.js',
  'ledger/books/stock.reader.js',
  'tenancy/producers/producers.service.js',
  'demo/client/demo-error.js',
  'demo/seed.js',
  'platform/database/backup/backup.js',
];

declare global {
  // A global of the environment; only `var` declares one.
  var loadOnce: (name: string) => Promise<object>;
}

export async function loadProgram(): Promise<Program> {
  const supertest = (await loadOnce('supertest')) as { default: Program['request'] };
  const modules = await Promise.all(MODULES.map((path) => loadOnce(path)));
  return Object.assign({ request: supertest.default }, ...modules) as Program;
}
