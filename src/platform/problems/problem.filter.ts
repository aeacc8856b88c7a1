import type { ArgumentsHost, ExceptionFilter } from '@nestjs/common';
import { Catch } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { problemDocument, problemHeaders } from './problem-document.js';
import type { ProblemException } from './problem.exception.js';
import { toProblem } from './to-problem.js';

/** Answers with a problem document. An unexpected error is logged with the request id and never sent. */
export function sendProblem(problem: ProblemException, request: FastifyRequest, reply: FastifyReply): void {
  if (problem.status === 500 || (problem.status === 503 && problem.cause !== undefined)) {
    request.log.error({ err: problem.cause ?? problem, code: problem.code }, 'request failed');
  }
  if (reply.sent || reply.raw.headersSent) {
    reply.raw.destroy();
    return;
  }
  void reply
    .code(problem.status)
    .headers(problemHeaders(problem))
    .send(JSON.stringify(problemDocument(problem, request.id)));
}

/** Turns everything that a request throws into a problem document. */
@Catch()
export class ProblemFilter implements ExceptionFilter {
  /** `refine` may turn a problem into a more exact one that needs the request, such as 404 into 405. */
  constructor(private readonly refine: (problem: ProblemException, request: FastifyRequest) => ProblemException) {}

  catch(error: unknown, host: ArgumentsHost): void {
    const http = host.switchToHttp();
    const request = http.getRequest<FastifyRequest>();
    sendProblem(this.refine(toProblem(error), request), request, http.getResponse<FastifyReply>());
  }
}
