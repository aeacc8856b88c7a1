import { STATUS_CODES } from 'node:http';
import type { Socket } from 'node:net';
import { type FastifyBaseLogger, type FastifyReply, type FastifyRequest, LogController } from 'fastify';
import { uuidv7 } from 'uuidv7';
import { BODY_LIMIT } from './body-parser.js';
import { problemDocument, problemHeaders } from '../problems/problem-document.js';
import { ProblemException } from '../problems/problem.exception.js';
import { sendProblem } from '../problems/problem.filter.js';
import { toProblem } from '../problems/to-problem.js';
import { SECURITY_HEADERS } from './security-headers.js';
import { requestIdOf } from './request-id.js';

const REQUEST_TIMEOUT_MS = 30_000;
const HEADERS_TIMEOUT_MS = 15_000;
const KEEP_ALIVE_MS = 60_000;
const HEADER_BYTES = 16 * 1024;

function clientProblem(error: NodeJS.ErrnoException): ProblemException {
  switch (error.code) {
    case 'HPE_HEADER_OVERFLOW':
      return new ProblemException('headers-too-large', `The headers together have at most ${HEADER_BYTES} bytes.`);
    case 'ERR_HTTP_REQUEST_TIMEOUT':
      return new ProblemException('request-timeout', 'The request did not arrive in time.');
    default:
      return new ProblemException('malformed-request', 'The request is not valid HTTP.');
  }
}

/** Answers what is no HTTP request at all, straight on the socket. */
function answerClientError(error: NodeJS.ErrnoException, socket: Socket): void {
  if (error.code === 'ECONNRESET' || socket.destroyed || !socket.writable) {
    socket.destroy();
    return;
  }
  const problem = clientProblem(error);
  const body = JSON.stringify(problemDocument(problem, uuidv7()));
  const headers = {
    ...SECURITY_HEADERS,
    ...problemHeaders(problem),
    'content-length': String(Buffer.byteLength(body)),
    connection: 'close',
  };
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}\r\n`);
  socket.end(`HTTP/1.1 ${problem.status} ${STATUS_CODES[problem.status] ?? ''}\r\n${lines.join('')}\r\n${body}`);
}

/** Options of the Fastify server: limits, time-outs, ids, and answers to what never reaches a route. */
export function serverOptions(logger: FastifyBaseLogger) {
  return {
    loggerInstance: logger,
    logController: new LogController({ disableRequestLogging: true }),
    requestIdHeader: false as const,
    genReqId: requestIdOf,
    bodyLimit: BODY_LIMIT,
    requestTimeout: REQUEST_TIMEOUT_MS,
    keepAliveTimeout: KEEP_ALIVE_MS,
    forceCloseConnections: 'idle' as const,
    trustProxy: false,
    return503OnClosing: false,
    http: { headersTimeout: HEADERS_TIMEOUT_MS, maxHeaderSize: HEADER_BYTES },
    routerOptions: { maxParamLength: 200, ignoreTrailingSlash: false },
    clientErrorHandler: answerClientError,
    frameworkErrors: (error: Error, request: FastifyRequest, reply: FastifyReply): void => {
      void reply.headers({ ...SECURITY_HEADERS, 'x-request-id': request.id });
      sendProblem(toProblem(error), request, reply);
    },
  };
}
