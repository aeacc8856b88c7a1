// Types, lint and format side by side; each says what it found when it ends, and one that fails makes the whole fail.
import { spawn } from 'node:child_process';

const CHECKS = ['typecheck', 'lint', 'format:check'];

const run = (name) =>
  new Promise((resolve) => {
    const child = spawn('npm', ['run', '--silent', name], { shell: process.platform === 'win32' });
    let text = '';
    for (const stream of [child.stdout, child.stderr]) stream.setEncoding('utf8').on('data', (part) => (text += part));
    child.on('error', (error) => resolve({ name, ok: false, text: String(error) }));
    child.on('close', (code) => resolve({ name, ok: code === 0, text }));
  });

const results = await Promise.all(
  CHECKS.map(async (name) => {
    const result = await run(name);
    console.log(`${name}: ${result.ok ? 'ok' : 'FAILED'}\n${result.text}`.trimEnd());
    return result;
  }),
);
process.exitCode = results.every(({ ok }) => ok) ? 0 : 1;
