import type { FastifyInstance, FastifyRequest } from 'fastify';
import { ProblemException } from '../problems/problem.exception.js';

interface KnownPath {
  readonly pattern: RegExp;
  readonly methods: Set<string>;
}

const escapeLiteral = (text: string): string => text.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** Writes a route's path as a pattern; a parameter stands for one segment, a star for all the rest. */
function patternOf(route: string): RegExp {
  const segments = route.split('/').map((segment) => {
    if (segment.startsWith(':')) {
      return '[^/]+';
    }
    return segment === '*' ? '.*' : escapeLiteral(segment);
  });
  return new RegExp(`^${segments.join('/')}$`);
}

/** Remembers which methods each path takes, so that a wrong method is told from an unknown path. */
export class KnownMethods {
  readonly #paths = new Map<string, KnownPath>();

  /** Watches the routes as they are registered; to be called before them. */
  watch(fastify: FastifyInstance): void {
    fastify.addHook('onRoute', (route) => {
      const known = this.#paths.get(route.url) ?? { pattern: patternOf(route.url), methods: new Set<string>() };
      for (const method of [route.method].flat()) {
        known.methods.add(method);
      }
      this.#paths.set(route.url, known);
    });
  }

  /** The methods of a path, sorted; empty if there is no such path. */
  of(url: string): string[] {
    const path = url.split('?', 1)[0];
    const methods = new Set<string>();
    for (const known of this.#paths.values()) {
      if (known.pattern.test(path)) {
        known.methods.forEach((method) => methods.add(method));
      }
    }
    if (methods.size > 0) {
      methods.add('OPTIONS');
    }
    return [...methods].sort();
  }

  /** Turns the 404 of an unmatched request into 405 with Allow where the path takes other methods. */
  refine(problem: ProblemException, request: FastifyRequest): ProblemException {
    if (problem.code !== 'not-found' || !request.is404) {
      return problem;
    }
    const methods = this.of(request.url);
    if (methods.length === 0) {
      return problem;
    }
    return new ProblemException('method-not-allowed', 'This address does not take that method.', {
      headers: { allow: methods.join(', ') },
      members: { allow: methods },
    });
  }
}
