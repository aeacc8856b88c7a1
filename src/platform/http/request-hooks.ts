import type { FastifyInstance } from 'fastify';
import { ProblemException } from '../problems/problem.exception.js';
import type { UnitsRequest } from '../units/display-units.js';
import { unitsUsed, withOtherUnits } from '../units/display-units.js';
import type { KnownMethods } from './known-methods.js';
import { SECURITY_HEADERS } from './security-headers.js';
import { checkUrl, pathForLog } from './url-rules.js';

/** Adds to every request: request id, security headers, checks of the address, OPTIONS, the units of the answer and the log line. */
export function registerRequestHooks(fastify: FastifyInstance, known: KnownMethods, isDraining: () => boolean): void {
  fastify.addHook('onRequest', (request, reply, done) => {
    void reply.headers({ ...SECURITY_HEADERS, 'x-request-id': request.id });
    if (request.url.startsWith('/v1')) {
      void reply.header('cache-control', 'no-store');
    }
    if (isDraining()) {
      void reply.header('connection', 'close');
    }
    try {
      checkUrl(request.url);
    } catch (error) {
      done(error as ProblemException);
      return;
    }
    const methods = request.method === 'OPTIONS' && request.is404 ? known.of(request.url) : [];
    if (methods.length > 0) {
      void reply.code(204).header('allow', methods.join(', ')).send();
      return;
    }
    done();
  });
  fastify.addHook('preSerialization', (request: UnitsRequest, reply, payload, done) => {
    const units = { ...request.displayUnits, ...unitsUsed(request.body) };
    const isPlain = reply.statusCode >= 400 || Object.keys(units).length === 0;
    done(null, isPlain ? payload : withOtherUnits(payload, units));
  });
  fastify.addHook('onResponse', (request, reply, done) => {
    request.log.info(
      {
        method: request.method,
        path: pathForLog(request.url),
        status: reply.statusCode,
        durationMs: Math.round(reply.elapsedTime * 10) / 10,
      },
      'request',
    );
    done();
  });
}
