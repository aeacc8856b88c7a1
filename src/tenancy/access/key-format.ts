import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { crc32 } from 'node:zlib';

/** A key as its holder has it: `gk1.<producer and key id>.<secret>.<checksum>`, base64url. */
export interface ParsedKey {
  readonly producerId: string;
  readonly keyId: string;
  readonly secret: Buffer;
}

const PREFIX = 'gk1';
const SHAPE = /^gk1\.([A-Za-z0-9_-]{43})\.([A-Za-z0-9_-]{32})\.([A-Za-z0-9_-]{6})$/;

const uuidBytes = (id: string): Buffer => Buffer.from(id.replaceAll('-', ''), 'hex');
const uuidOf = (bytes: Buffer): string =>
  bytes.toString('hex').replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');

function checksum(text: string): string {
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(crc32(Buffer.from(text)));
  return sum.toString('base64url');
}

/** Makes a new key. What is kept of it is the hash of its secret and a hint of its last characters. */
export function makeKey(producerId: string, keyId: string): { key: string; secretHash: Buffer; hint: string } {
  const secret = randomBytes(24);
  const ids = Buffer.concat([uuidBytes(producerId), uuidBytes(keyId)]).toString('base64url');
  const body = `${PREFIX}.${ids}.${secret.toString('base64url')}`;
  const key = `${body}.${checksum(body)}`;
  return { key, secretHash: hashSecret(secret), hint: key.slice(-4) };
}

/** Reads a key; undefined when its shape or checksum is off, so that a mistyped key costs no query. */
export function parseKey(text: string): ParsedKey | undefined {
  const match = SHAPE.exec(text);
  if (match === null || checksum(text.slice(0, text.lastIndexOf('.'))) !== match[3]) {
    return undefined;
  }
  const ids = Buffer.from(match[1], 'base64url');
  return {
    producerId: uuidOf(ids.subarray(0, 16)),
    keyId: uuidOf(ids.subarray(16, 32)),
    secret: Buffer.from(match[2], 'base64url'),
  };
}

/** The secret has 192 random bits, so one round of SHA-256 keeps it. */
export const hashSecret = (secret: Buffer): Buffer => createHash('sha256').update(secret).digest();

/** Compares in constant time, whatever the lengths. */
export const sameSecret = (left: Buffer, right: Buffer): boolean =>
  timingSafeEqual(createHash('sha256').update(left).digest(), createHash('sha256').update(right).digest());
