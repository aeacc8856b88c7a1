// A small client for the terminal: node tools/gb.mjs <path> [body] [--key <Idempotency-Key>] [--get <part of the answer>] [--text]
// KEY holds the producer's key. GAUGEBOOK_URL is the server, http://127.0.0.1:3000 if left out. With a body it posts, else it reads.
import { parseArgs } from 'node:util';

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { key: { type: 'string' }, get: { type: 'string' }, text: { type: 'boolean' } },
});
const [path, body] = positionals;
if (path === undefined || process.env.KEY === undefined) {
  console.error('usage: KEY=... node tools/gb.mjs <path> [body] [--key <Idempotency-Key>] [--get items.0.id] [--text]');
  process.exit(2);
}
const response = await globalThis.fetch(`${process.env.GAUGEBOOK_URL ?? 'http://127.0.0.1:3000'}/v1${path}`, {
  method: body === undefined ? 'GET' : 'POST',
  headers: {
    authorization: `Bearer ${process.env.KEY}`,
    ...(body === undefined ? {} : { 'content-type': 'application/json' }),
    ...(values.key === undefined ? {} : { 'idempotency-key': values.key }),
  },
  body,
});
const text = await response.text();
if (!response.ok) {
  console.error(text);
  process.exit(1);
}
if (values.text) {
  process.stdout.write(text);
} else {
  // A part is named by its properties and places: items.0.id is the id of the first item, items.-1.id that of the last.
  const parts = values.get?.split('.') ?? [];
  const found = parts.reduce(
    (value, part) => (Array.isArray(value) ? value.at(Number(part)) : value?.[part]),
    JSON.parse(text),
  );
  console.log(typeof found === 'string' ? found : JSON.stringify(found, null, 2));
}
