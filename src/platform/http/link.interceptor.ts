import type { CallHandler, ExecutionContext, NestInterceptor } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { map, type Observable } from 'rxjs';
import type { Page } from '../pagination.js';
import { linkOf } from '../pagination.js';

const isPage = (body: unknown): body is Page<unknown> =>
  typeof body === 'object' && body !== null && 'items' in body && 'next' in body;

/** Puts the Link header beside every page that leaves, so that no controller has to think of it. */
@Injectable()
export class LinkInterceptor implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler): Observable<unknown> {
    const http = context.switchToHttp();
    return next.handle().pipe(
      map((body: unknown) => {
        const link = isPage(body) ? linkOf(http.getRequest<FastifyRequest>().url, body) : undefined;
        if (link !== undefined) {
          void http.getResponse<FastifyReply>().header('link', link);
        }
        return body;
      }),
    );
  }
}
