import { readFile, readlink, realpath, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { errorCode } from './connection.js';

/** The facts that a running server writes about itself into its folder. */
export interface ServerProcess {
  readonly pid: number;
  readonly port: number;
  readonly status: string;
}

const PID_FILE = 'postmaster.pid';

/**
 * The server that runs on `cluster`, if one does; it may be one that outlived a program that was killed. A pid file whose number is some
 * other program's by now is removed, since the next server would refuse to start over it; one whose process has ended is left to the
 * next server, which checks that no helper of the old one still writes.
 */
export async function runningServer(cluster: string): Promise<ServerProcess | undefined> {
  const file = join(cluster, PID_FILE);
  const text = await readFile(file, 'utf8').catch((error: unknown) => {
    if (errorCode(error) === 'ENOENT') return undefined;
    throw error;
  });
  if (text === undefined) return undefined;
  const lines = text.split('\n').map((line) => line.trim());
  const pid = Number(lines[0]);
  if (!(Number.isInteger(pid) && pid > 0 && isAlive(pid))) return undefined;
  if (await runsIn(pid, cluster)) return { pid, port: Number(lines[3]), status: lines[7] ?? '' };
  await rm(file, { force: true });
  return undefined;
}

export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return errorCode(error) === 'EPERM';
  }
}

/** A server's working folder is its cluster; where that cannot be seen, the pid file is believed. */
async function runsIn(pid: number, cluster: string): Promise<boolean> {
  if (process.platform !== 'linux') return true;
  try {
    return (await readlink(`/proc/${pid}/cwd`)) === (await realpath(cluster));
  } catch (error) {
    return errorCode(error) !== 'ENOENT';
  }
}
