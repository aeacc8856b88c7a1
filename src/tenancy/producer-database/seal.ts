import { createHash, randomBytes } from 'node:crypto';
import { canonicalJson } from '../../platform/canonical-json.js';
import type { Answer, Batch } from './batch.js';
import { bodyRows } from './batch-body.js';
import type { RequestContext } from './context.js';

/** The writer, and the answer to keep for a repeated request. */
export function guardOf(ctx: RequestContext, answer: Answer<unknown>): Record<string, unknown> {
  const { idempotency } = ctx;
  return {
    principal: ctx.principalId,
    ...(idempotency === undefined
      ? {}
      : { idempotency: { ...idempotency, status: answer.status, response: JSON.stringify(answer.kept) } }),
  };
}

/** The trail's body in canonical JSON, and beside it what the body names by its hash only. */
export function seal(ctx: RequestContext, batch: Batch): { body: string; attachments: string } {
  const { personalText = [], reportBytes, action, facts } = batch;
  const texts = personalText.map((each) => ({ ...each, salt: randomBytes(16).toString('hex') }));
  const body = canonicalJson({
    version: 1,
    actor: { key: ctx.principalId, role: ctx.role },
    action,
    ...bodyRows(batch),
    ...(facts === undefined ? {} : { facts }),
    ...(texts.length === 0
      ? {}
      : { personalText: texts.map(({ id, salt, text }) => ({ id, hash: saltedHash(salt, text) })) }),
  });
  return { body, attachments: JSON.stringify({ personalText: texts, reportBytes }) };
}

const saltedHash = (salt: string, text: string): string =>
  createHash('sha256').update(Buffer.from(salt, 'hex')).update(text, 'utf8').digest('hex');
