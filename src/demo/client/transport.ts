/** One request, as a client writes it. */
interface WireRequest {
  readonly method: 'GET' | 'POST' | 'PATCH';
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body?: string;
}

export interface WireAnswer {
  readonly status: number;
  readonly text: string;
}

/** Sends requests: over the network, or into an application that does not listen yet. */
export type Transport = (request: WireRequest) => Promise<WireAnswer>;

const LONGEST_WAIT_MS = 60_000;

/** Over the network, to the server at `baseUrl`. */
export function overHttp(baseUrl: string): Transport {
  return async ({ method, path, headers, body }) => {
    const signal = AbortSignal.timeout(LONGEST_WAIT_MS);
    try {
      const response = await fetch(new URL(path, baseUrl), { method, headers, body, signal });
      return { status: response.status, text: await response.text() };
    } catch (error) {
      const cause = error instanceof Error ? (error.cause ?? error) : error;
      throw new Error(`${method} ${path}: nobody answers at ${baseUrl} (${String(cause)}).`, { cause: error });
    }
  };
}
