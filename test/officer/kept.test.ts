import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { randomBytes } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { withConnection } from '../../src/platform/database/connection.js';
import { restoreBackup, writeBackup } from '../../src/platform/database/backup/backup.js';
import { createTestDatabase } from '../support/database.js';
import { TestService } from '../support/service.js';
import type { TwoYears } from '../support/two-years.js';
import { startTwoYears } from '../support/two-years.js';

jest.setTimeout(600_000);

const backup = join(tmpdir(), `gaugebook-test-years-${process.pid}-${randomBytes(4).toString('hex')}`);
let years: TwoYears;
beforeAll(async () => {
  years = await startTwoYears();
});
afterAll(async () => {
  await years.service.stop();
  await rm(backup, { force: true });
});

/** Every closed report as its bytes, and the PDF of the fullest month by the hash of its bytes. */
async function keptIn(service: TestService): Promise<string[]> {
  const { key, landmarks } = years;
  const texts: string[] = [];
  for (const id of [...landmarks.periods.main, ...landmarks.periods.second]) {
    texts.push((await service.expect(200, 'get', `/v1/periods/${id}/report`, { key })).text);
  }
  const pdf = `/v1/periods/${String(landmarks.fullest?.periodId)}/report?format=pdf`;
  const { headers } = await service.expect(200, 'get', pdf, { key });
  return [...texts, String(headers['content-digest'])];
}

test('all 48 closed reports are the same bytes after a restart, and after a backup was restored onto an empty database', async () => {
  const { service, clock, key } = years;
  const before = await keptIn(service);
  expect(before).toHaveLength(49);
  expect(new Set(before).size).toBe(49);

  const again = await TestService.start({ clock, database: { ...service.database, drop: () => Promise.resolve() } });
  try {
    expect(await keptIn(again)).toEqual(before);
  } finally {
    await again.stop();
  }

  const written = await withConnection(service.database.superuserUrl, (client) =>
    writeBackup(client, backup, clock.now()),
  );
  const database = await createTestDatabase();
  const restored = await TestService.start({ clock, database });
  try {
    const rows = await withConnection(database.superuserUrl, (client) => restoreBackup(client, backup));
    expect(rows).toBe(written);
    expect(await keptIn(restored)).toEqual(before);
    const check = await restored.expect(200, 'get', '/v1/audit-trail/check', { key });
    expect(check.body).toMatchObject({ holds: true });
  } finally {
    await restored.stop();
  }
});
