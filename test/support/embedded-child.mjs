// Starts the embedded database in the folder it is given, prints the owner's address and waits to be ended.
import { startEmbedded } from '../../dist/platform/database/embedded.js';

const database = await startEmbedded({ dataDir: process.argv[2], serverSettings: { fsync: 'off' } });
process.stdout.write(`${database.ownerUrl}\n`);
process.once('SIGTERM', () => database.stop().then(() => process.exit(0)));
