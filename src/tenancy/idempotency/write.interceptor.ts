import type { CallHandler, ExecutionContext, NestInterceptor } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import { createHash } from 'node:crypto';
import type { FastifyReply } from 'fastify';
import type { Observable } from 'rxjs';
import { map, of } from 'rxjs';
import { canonicalJson } from '../../platform/canonical-json.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { GuardedRequest } from '../access/access.guard.js';
import { Answer } from '../producer-database/batch.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';

const KEY = /^[\x21-\x7e]{1,255}$/;

/** Takes the Idempotency-Key of a POST, answers from the kept answer where there is one, and writes answers onto the reply. */
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
      const kept = await this.database.replayOf(context);
      if (kept !== undefined) {
        return of(WriteInterceptor.send(kept, reply));
      }
    }
    return next
      .handle()
      .pipe(map((result: unknown) => (result instanceof Answer ? WriteInterceptor.send(result, reply) : result)));
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
