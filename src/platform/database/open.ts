import type { Settings } from '../config.js';
import { checkServer, roleOf, withConnection } from './connection.js';
import { type EmbeddedDatabase, startEmbedded } from './embedded.js';
import { migrate, type MigrateResult } from './migrate.js';

export interface OpenDatabase {
  /** The service's login; the owner's does not leave this function. */
  readonly appUrl: string;
  readonly migrated: MigrateResult;
  /** Undefined when the server is somebody else's. */
  readonly embedded: Pick<EmbeddedDatabase, 'attached' | 'created'> | undefined;
  /** Stops an embedded server; leaves any other alone. */
  close(): Promise<void>;
}

/**
 * Starts the embedded server if no other is named, brings the database up to date and sees that the service can log in.
 * @throws DatabaseError saying what failed, after stopping what was started.
 */
export async function openDatabase(settings: Pick<Settings, 'database'>): Promise<OpenDatabase> {
  const { database } = settings;
  if (database.kind === 'server') return prepare(database.migrationUrl, database.url, undefined);
  const embedded = await startEmbedded({ dataDir: database.dataDir });
  try {
    return await prepare(embedded.ownerUrl, embedded.appUrl, embedded);
  } catch (error) {
    await embedded.stop();
    throw error;
  }
}

async function prepare(
  ownerUrl: string,
  appUrl: string,
  embedded: EmbeddedDatabase | undefined,
): Promise<OpenDatabase> {
  const migrated = await migrate({ ownerUrl, serviceUser: roleOf(appUrl) });
  await withConnection(appUrl, checkServer);
  return { appUrl, migrated, embedded, close: async () => embedded?.stop() };
}
