// Types, lint and format side by side; each says what it found when it ends, and one that fails makes the whole fail.
// Usage: node tools/check.mjs [--with-tests]   with --with-tests Jest runs beside them and shows its results as they come
import { spawn } from 'node:child_process';

const CHECKS = ['typecheck', 'lint', 'format:check'];
const shell = process.platform === 'win32';

function ended(child) {
  return new Promise((resolve) => {
    child.on('error', () => resolve(false));
    child.on('close', (code) => resolve(code === 0));
  });
}

async function check(name) {
  const child = spawn('npm', ['run', '--silent', name], { shell });
  let text = '';
  for (const stream of [child.stdout, child.stderr]) stream.setEncoding('utf8').on('data', (part) => (text += part));
  const ok = await ended(child);
  console.log(`${name}: ${ok ? 'ok' : 'FAILED'}\n${text}`.trimEnd());
  return { name, ok };
}

async function tests() {
  return { name: 'tests', ok: await ended(spawn('npm', ['run', '--silent', 'jest'], { shell, stdio: 'inherit' })) };
}

const withTests = process.argv.includes('--with-tests');
const results = await Promise.all([...CHECKS.map(check), ...(withTests ? [tests()] : [])]);
const failed = results.filter(({ ok }) => !ok).map(({ name }) => name);
if (failed.length > 0) {
  console.error(`FAILED: ${failed.join(', ')}`);
  process.exitCode = 1;
}
