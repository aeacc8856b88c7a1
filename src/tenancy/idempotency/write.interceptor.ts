import type { CallHandler, ExecutionContext, NestInterceptor } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import { createHash } from 'node:crypto';
import type { FastifyReply } from 'fastify';
import type { Observable } from 'rxjs';
import { catchError, from, map } from 'rxjs';
import { canonicalJson } from '../../platform/canonical-json.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Clock } from '../../platform/clock.js';
import { toProblem } from '../../platform/problems/to-problem.js';
import type { GuardedRequest } from '../access/access.guard.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import { RecentEntries } from './recent-entries.js';

const KEY = /^[\x21-\x7e]{1,255}$/;

/** Takes the Idempotency-Key of a POST, answers a repeated request with its kept answer, and writes answers onto the reply. */
@Injectable()
export class WriteInterceptor implements NestInterceptor {
  readonly #recent = new RecentEntries();

  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
  ) {}

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
      map((result: unknown) => (result instanceof Answer ? this.flagged(request, result) : result)),
      map((result: unknown) => (result instanceof Answer ? WriteInterceptor.send(result, reply) : result)),
    );
  }

  /** The answer with a flag, where the same was entered within the last minute without an Idempotency-Key. */
  private flagged(request: GuardedRequest, answer: Answer<unknown>): Answer<unknown> {
    const { context, method, url, body } = request;
    const isEntry = method === 'POST' && answer.status === 201 && context !== undefined;
    if (!isEntry || context.idempotency !== undefined || typeof answer.body !== 'object' || answer.body === null) {
      return answer;
    }
    const before = this.#recent.note(context.principalId, url, body, this.clock.now());
    if (before === undefined) {
      return answer;
    }
    const { flags } = answer.body as { readonly flags?: unknown };
    const others: readonly unknown[] = Array.isArray(flags) ? flags : [];
    return new Answer(201, { ...answer.body, flags: [...others, enteredTwice(before)] }, answer.headers);
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

const enteredTwice = (before: Date): { code: string; detail: string } => ({
  code: 'entered-twice',
  detail: `The same was entered at ${before.toISOString()}, less than a minute before. If it happened once only, take one of the two back; an Idempotency-Key keeps a repeated request from being carried out twice.`,
});
