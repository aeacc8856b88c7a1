import { execFile } from 'node:child_process';
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const run = promisify(execFile);
const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const TOOL = join(ROOT, 'tools', 'make-migration.mjs');
const SCHEMA = `datasource db {
  provider = "postgresql"
}

model Note {
  id Int @id
}
`;

describe('the migrations', () => {
  it('lead to the schema as it stands', async () => {
    await run(process.execPath, [TOOL, '--check']);
  });
});

describe('the tool that makes a migration', () => {
  let prismaDir: string;
  const make = (...args: string[]): Promise<{ stdout: string; stderr: string }> =>
    run(process.execPath, [TOOL, ...args], { env: { ...process.env, PRISMA_DIR: prismaDir } });

  beforeEach(async () => {
    prismaDir = await mkdtemp(join(tmpdir(), 'gaugebook-schema-'));
    await writeFile(join(prismaDir, 'schema.prisma'), SCHEMA);
  });

  afterEach(async () => {
    await rm(prismaDir, { recursive: true });
  });

  it('writes what leads from the last migration to the schema', async () => {
    const first = (await make('first')).stdout.trim();
    expect(await readFile(first, 'utf8')).toContain('CREATE TABLE "Note"');
    await make('--check');
    await writeFile(join(prismaDir, 'schema.prisma'), SCHEMA.replace('@id', '@id\n  body String'));
    await expect(make('--check')).rejects.toThrow('differs from the last migration');
    const second = (await make('second')).stdout.trim();
    expect((await readFile(second, 'utf8')).trim()).toBe(
      '-- AlterTable\nALTER TABLE "Note" ADD COLUMN     "body" TEXT NOT NULL;',
    );
    expect((await readdir(join(prismaDir, 'migrations'))).sort()).toEqual([
      expect.stringMatching(/^\d{14}_first$/),
      expect.stringMatching(/^\d{14}_second$/),
      'migration_lock.toml',
    ]);
    expect(await readdir(dirname(first))).toEqual(['migration.sql']);
    expect((await readdir(dirname(second))).sort()).toEqual(['datamodel.prisma', 'migration.sql']);
  });

  it('refuses a migration that changes nothing, a bad name and an unknown option', async () => {
    await make('first');
    await expect(make('again')).rejects.toThrow('does not differ');
    await expect(make('Not A Name')).rejects.toThrow('Usage');
    await expect(make('--force')).rejects.toThrow('Unknown option --force');
    await make('by_hand', '--empty');
  });

  it('refuses a schema that is not one', async () => {
    await cp(TOOL, join(prismaDir, 'schema.prisma'));
    await expect(make('first')).rejects.toThrow('Error validating');
  });
});
