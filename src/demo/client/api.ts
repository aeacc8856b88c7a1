import type { Transport } from './transport.js';

/** The answer of a service that would not do what was asked. */
export class Refusal extends Error {
  override readonly name = 'Refusal';

  constructor(
    asked: string,
    readonly status: number,
    readonly code: string,
    detail: string,
  ) {
    super(`${asked} was answered ${status} ${code}: ${detail}`);
  }
}

interface ProblemDocument {
  readonly code?: string;
  readonly detail?: string;
  readonly errors?: readonly { readonly pointer: string; readonly detail: string }[];
}

function problemOf(text: string): ProblemDocument {
  try {
    return JSON.parse(text) as ProblemDocument;
  } catch {
    return { detail: text.slice(0, 200) };
  }
}

/** Entries about something that happened take the person who did it; registers and settings do not. */
const isEvent = (path: string, body: object): boolean =>
  'occurredAt' in body || 'takenAt' in body || 'corrects' in body || path.endsWith('/reversal');

/** A client of the service with one key. Its writes are numbered: the same run sent again replays what was done and goes on from there. */
export class Api {
  /** Ids of those who do the work, in turn: an event that names nobody gets one of them. */
  people: readonly string[] = [];
  #writes = 0;

  constructor(
    private readonly transport: Transport,
    private readonly key: string,
    private readonly runId: string,
  ) {}

  get writes(): number {
    return this.#writes;
  }

  /** @throws Refusal */
  async post<T>(path: string, body: object): Promise<T> {
    this.#writes += 1;
    const personId = this.people.at(this.#writes % (this.people.length || 1));
    const named = personId !== undefined && isEvent(path, body) ? { personId, ...body } : body;
    return JSON.parse(await this.#send('POST', path, JSON.stringify(named), `${this.runId}-${this.#writes}`)) as T;
  }

  /** Changes some settings of the producer; nothing where they are so already. @throws Refusal */
  async settle(change: Readonly<Record<string, unknown>>): Promise<void> {
    const { settings, version } = await this.get<{ settings: Record<string, unknown>; version: number }>(
      '/v1/producer',
    );
    if (Object.entries(change).some(([name, value]) => settings[name] !== value)) {
      const body = JSON.stringify({ settings: { ...settings, ...change } });
      await this.#send('PATCH', '/v1/producer', body, undefined, version);
    }
  }

  /** Without an Idempotency-Key: a computation stores nothing. @throws Refusal */
  async compute<T>(path: string, body: object): Promise<T> {
    return JSON.parse(await this.#send('POST', path, JSON.stringify(body))) as T;
  }

  /** @throws Refusal */
  async get<T>(path: string): Promise<T> {
    return JSON.parse(await this.text(path)) as T;
  }

  /** The bytes as they came. @throws Refusal */
  text(path: string): Promise<string> {
    return this.#send('GET', path);
  }

  /** Every item of a list, page by page. @throws Refusal */
  async all<T>(path: string): Promise<T[]> {
    const items: T[] = [];
    let cursor: string | null = null;
    do {
      const query = new URLSearchParams({ limit: '200', ...(cursor === null ? {} : { cursor }) });
      const page: { items: T[]; next: string | null } = await this.get(`${path}?${query}`);
      items.push(...page.items);
      cursor = page.next;
    } while (cursor !== null);
    return items;
  }

  async #send(
    method: 'GET' | 'POST' | 'PATCH',
    path: string,
    body?: string,
    idempotencyKey?: string,
    version?: number,
  ): Promise<string> {
    const headers = {
      authorization: `Bearer ${this.key}`,
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...(idempotencyKey === undefined ? {} : { 'idempotency-key': idempotencyKey }),
      ...(version === undefined ? {} : { 'if-match': `"v${version}"` }),
    };
    const { status, text } = await this.transport({ method, path, headers, body });
    if (status >= 200 && status < 300) {
      return text;
    }
    const { code = 'unknown', detail = '', errors = [] } = problemOf(text);
    const fields = errors.map((error) => ` ${error.pointer} ${error.detail}`).join('');
    throw new Refusal(`${method} ${path}`, status, code, `${detail}${fields}`);
  }
}
