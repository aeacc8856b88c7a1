import type { CanActivate, ExecutionContext } from '@nestjs/common';
import { Inject, Injectable } from '@nestjs/common';
import { Reflector } from '@nestjs/core';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { UnitsRequest } from '../../platform/units/display-units.js';
import type { AccessRule } from '../../platform/access.js';
import { ACCESS_RULE } from '../../platform/access.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { RequestContext } from '../producer-database/context.js';
import { TENANCY_SETTINGS } from './settings.token.js';
import type { TenancySettings } from './settings.token.js';
import { Authenticator } from './authenticator.js';
import { sameSecret } from './key-format.js';
import type { Allowance } from './rate-limiter.js';
import { RateLimiter } from './rate-limiter.js';

/** A request as the guard leaves it. */
export type GuardedRequest = UnitsRequest & { context?: RequestContext };

const WRONG_KEYS_PER_MINUTE = 60;

/** Checks every request against the access rule of its route. A route without a rule is refused. */
@Injectable()
export class AccessGuard implements CanActivate {
  readonly #perKey: RateLimiter;
  readonly #wrongKeys = new RateLimiter(WRONG_KEYS_PER_MINUTE);

  constructor(
    private readonly reflector: Reflector,
    private readonly authenticator: Authenticator,
    @Inject(TENANCY_SETTINGS) private readonly settings: TenancySettings,
  ) {
    this.#perKey = new RateLimiter(settings.requestsPerMinute);
  }

  async canActivate(execution: ExecutionContext): Promise<boolean> {
    const rule = this.reflector.getAllAndOverride<AccessRule | undefined>(ACCESS_RULE, [
      execution.getHandler(),
      execution.getClass(),
    ]);
    if (rule === 'public') {
      return true;
    }
    const request = execution.switchToHttp().getRequest<GuardedRequest>();
    const reply = execution.switchToHttp().getResponse<FastifyReply>();
    if (rule === undefined) {
      throw new ProblemException('forbidden', 'This route states no access rule.');
    }
    const context = await this.#counted(request, reply, () =>
      rule === 'operator' ? this.#operator(request) : this.authenticator.contextOf(request.headers.authorization),
    );
    if (context === undefined) {
      return true;
    }
    const allowance = await this.#perKey.take(context.principalId);
    reply
      .header('ratelimit-limit', allowance.limit)
      .header('ratelimit-remaining', allowance.remaining)
      .header('ratelimit-reset', allowance.resetS);
    this.#hold(allowance, reply);
    if (rule !== 'any-key' && rule !== 'operator' && !context.scopes.has(rule)) {
      throw new ProblemException('forbidden', `This route asks for the scope ${rule}.`, { members: { scope: rule } });
    }
    request.context = context;
    request.displayUnits = context.displayUnits;
    return true;
  }

  /** Counts wrong keys by address, to slow down a guesser. Valid keys behind the same address are not counted. */
  async #counted<T>(request: FastifyRequest, reply: FastifyReply, look: () => Promise<T>): Promise<T> {
    try {
      return await look();
    } catch (error) {
      if (error instanceof ProblemException && error.status === 401) {
        this.#hold(await this.#wrongKeys.take(request.ip), reply);
      }
      throw error;
    }
  }

  async #operator(request: FastifyRequest): Promise<undefined> {
    const secret = this.settings.operatorKey;
    const given = /^Bearer ([\x21-\x7e]+)$/i.exec(request.headers.authorization ?? '')?.[1];
    if (given === undefined) {
      throw new ProblemException(
        'unauthenticated',
        'The operator key is needed: Authorization: Bearer <operator key>.',
        {
          headers: { 'www-authenticate': 'Bearer' },
        },
      );
    }
    if (secret === undefined || !sameSecret(Buffer.from(given), Buffer.from(secret))) {
      // A producer's key is a valid key that may not do this; anything else is not known here.
      await this.authenticator.contextOf(request.headers.authorization);
      throw new ProblemException('forbidden', 'This route is for the operator of the platform.');
    }
    return undefined;
  }

  #hold({ allowed, resetS }: Allowance, reply: FastifyReply): void {
    if (!allowed) {
      reply.header('retry-after', resetS);
      throw new ProblemException('rate-limited', `Too many requests; try again in ${resetS} s.`, {
        headers: { 'retry-after': String(resetS) },
      });
    }
  }
}
