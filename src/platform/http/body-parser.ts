import type { FastifyInstance, FastifyRequest } from 'fastify';
import { scanBody } from './body-scan.js';
import { ProblemException } from '../problems/problem.exception.js';

/** Bytes of one JSON body. */
export const BODY_LIMIT = 256 * 1024;

const CHARSET = /;\s*charset\s*=\s*"?([^;"\s]+)"?/i;

/** Refuses what is labelled as something else than plain UTF-8, before a byte of the body is taken. */
function requirePlainBody(request: Pick<FastifyRequest, 'headers'>): void {
  const encoding = request.headers['content-encoding'];
  if (encoding !== undefined && encoding.toLowerCase() !== 'identity') {
    throw new ProblemException('unsupported-media-type', 'The body may not have a content encoding.');
  }
  const charset = CHARSET.exec(request.headers['content-type'] ?? '')?.[1];
  if (charset !== undefined && charset.toLowerCase() !== 'utf-8') {
    throw new ProblemException('unsupported-media-type', 'The body has to be in UTF-8.');
  }
}

/** Reads the bytes of a body as one JSON object, or says what is wrong with them. */
function parseJsonBody(bytes: Buffer): Record<string, unknown> {
  if (bytes.length === 0) {
    throw new ProblemException('malformed-body', 'The body is empty.', {
      errors: [{ pointer: '', rule: 'empty', detail: 'The body is empty.' }],
    });
  }
  const finding = scanBody(bytes);
  if (finding !== undefined) {
    const { code, rule, detail, offset } = finding;
    throw new ProblemException(code, detail, { errors: [{ pointer: '', rule, detail, offset }] });
  }
  let parsed: unknown;
  try {
    parsed = JSON.parse(bytes.toString('utf8'));
  } catch {
    const detail = 'The body is not valid JSON.';
    throw new ProblemException('malformed-body', detail, { errors: [{ pointer: '', rule: 'not-json', detail }] });
  }
  if (typeof parsed !== 'object' || parsed === null || Array.isArray(parsed)) {
    const detail = 'The body has to be one JSON object.';
    throw new ProblemException('malformed-body', detail, { errors: [{ pointer: '', rule: 'not-an-object', detail }] });
  }
  return parsed as Record<string, unknown>;
}

/** Makes application/json the only body that is taken, through the scan; a route for another media type adds its own parser. */
export function registerBodyParser(fastify: FastifyInstance): void {
  fastify.removeAllContentTypeParsers();
  fastify.addContentTypeParser<Buffer>(
    'application/json',
    { parseAs: 'buffer', bodyLimit: BODY_LIMIT },
    (_request, body, done) => {
      try {
        done(null, parseJsonBody(body));
      } catch (error) {
        done(error as Error);
      }
    },
  );
  fastify.addHook('preParsing', (request, _reply, _payload, done) => {
    try {
      requirePlainBody(request);
      done();
    } catch (error) {
      done(error as Error);
    }
  });
}
