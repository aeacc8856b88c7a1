import type { CallHandler, ExecutionContext, NestInterceptor } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import { createHash } from 'node:crypto';
import type { FastifyReply } from 'fastify';
import type { Observable } from 'rxjs';
import { catchError, from, map } from 'rxjs';
import { canonicalJson } from '../../platform/canonical-json.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { toProblem } from '../../platform/problems/to-problem.js';
import type { GuardedRequest } from '../access/access.guard.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';

const KEY = /^[\x21-\x7e]{1,255}$/;

/** Takes the Idempotency-Key of a POST, answers a repeated request with its kept answer, and writes answers onto the reply. */
@Injectable()
export class WriteInterceptor implements NestInterceptor {
  constructor(private readonly database: ProducerDatabase) {}

  async intercept(execution: ExecutionContext, next: CallHandler): Promise<Observable<unknown>> {
    const request = execution.switchToHttp().getRequest<GuardedRequest>();
    const reply = execution.switchToHttp().getResponse<FastifyReply>();
    const { context } = request;
    const given = request.headers['idempotency-key'];
    if (given !== undefined && request.method === 'POST' && context !== undefined) {
      if (typeof given !== 'string' || !KEY.test(given)) {
        throw new ProblemException(
          'idempotency-key-malformed',
          'An Idempotency-Key has 1 to 255 printable ASCII characters.',
        );
      }
      context.idempotency = {
        route: `POST ${request.url}`,
        key: given,
        bodyHash: createHash('sha256')
          .update(canonicalJson(request.body ?? {}))
          .digest('hex'),
      };
    }
    return next.handle().pipe(
      catchError((error: unknown) => from(this.kept(context, error))),
      map((result: unknown) => (result instanceof Answer ? WriteInterceptor.send(result, reply) : result)),
    );
  }

  /**
   * The kept answer of a request that is refused: the same request may have been carried out before, and be refused for its own effect. One that is
   * not refused needs no look, since the write itself finds the kept answer under its lock.
   */
  private async kept(context: RequestContext | undefined, error: unknown): Promise<Answer<unknown>> {
    const refused = context?.idempotency !== undefined && toProblem(error).status < 500;
    const answer = refused ? await this.database.replayOf(context) : undefined;
    if (answer === undefined) {
      throw error;
    }
    return answer;
  }

  private static send(answer: Answer<unknown>, reply: FastifyReply): unknown {
    reply.status(answer.status);
    for (const [name, value] of Object.entries(answer.headers)) {
      reply.header(name, value);
    }
    if (answer.replayed) {
      reply.header('idempotency-replayed', 'true');
    }
    return answer.body;
  }
}
