import { ProblemException } from '../../platform/problems/problem.exception.js';
import { isProblemCode } from '../../platform/problems/problem-codes.js';
import { refusalWords } from './refusal-words.js';

/** A refusal that the program handles itself: what it read has changed, so it reads again. */
export class Stale extends Error {
  /** The answer to give when reading again does not help. */
  constructor(readonly answer?: ProblemException) {
    super('stale');
  }
}
export class Replay extends Error {
  constructor(
    readonly status: number,
    readonly response: string,
  ) {
    super('replay');
  }
}

const MARK = 'GAUGEBOOK ';

/** Sentences for a refusal whose facts do not suffice for a more exact one. */
const DETAIL: Readonly<Record<string, string>> = {
  'not-found': 'Nothing is found under this address.',
  'insufficient-stock': 'At the moment of the event, or at a later one, the account would fall below zero.',
  'later-posting-in-the-way':
    'A later posting stands on the same account; what changes a composition may not come before it.',
  'assertion-in-the-way':
    'What was there has been found, gauged or changed after the time given; an entry cannot be dated before that.',
  'period-closed': 'The time lies in a closed period.',
  'period-not-open': 'No open period of the premises covers the time.',
  'time-ahead': 'The time lies more than five minutes ahead.',
  'idempotency-key-reused': 'The same Idempotency-Key came before with another body.',
  'reading-in-use': 'A finding rests on this reading.',
  'vessel-in-use': 'The vessel holds another lot, at that moment or at a later one.',
  'over-capacity': 'The vessel would hold more than its capacity, at that moment or at a later one.',
  'returned-since': 'Some of it has come back: at that moment, or at a later one, more would be back than had left.',
  'container-elsewhere': 'By what is on record the container was not where this would have it, then or afterwards.',
  'container-holds-less': 'By what is on record there was less in the container than that, then or afterwards.',
  'in-use': 'A later entry explains it; that one has to be reversed first.',
  'trail-broken': 'The trail does not hold.',
};

function* chain(error: unknown): Generator<object> {
  const queue: unknown[] = [error];
  for (let seen = 0; queue.length > 0 && seen < 20; seen += 1) {
    const next = queue.shift();
    if (typeof next !== 'object' || next === null) {
      continue;
    }
    yield next;
    const { cause, meta } = next as { cause?: unknown; meta?: { driverAdapterError?: unknown } };
    queue.push(cause, meta?.driverAdapterError);
  }
}

function messageOf(error: unknown): string | undefined {
  for (const link of chain(error)) {
    const { message, originalMessage } = link as { message?: unknown; originalMessage?: unknown };
    for (const text of [originalMessage, message]) {
      if (typeof text === 'string' && text.includes(MARK)) {
        return text.slice(text.indexOf(MARK) + MARK.length);
      }
    }
  }
  return undefined;
}

/** The first JSON object of a text that may go on after it. */
function firstObject(text: string): Record<string, unknown> | undefined {
  for (let end = text.indexOf('}'); end !== -1; end = text.indexOf('}', end + 1)) {
    try {
      return JSON.parse(text.slice(0, end + 1)) as Record<string, unknown>;
    } catch {
      continue;
    }
  }
  return undefined;
}

const sqlStateOf = (error: unknown): string | undefined => {
  for (const link of chain(error)) {
    const { originalCode, code, meta } = link as { originalCode?: unknown; code?: unknown; meta?: { code?: unknown } };
    for (const state of [originalCode, meta?.code, code]) {
      if (typeof state === 'string' && /^[0-9A-Z]{5}$/.test(state) && !state.startsWith('P2')) {
        return state;
      }
    }
  }
  return undefined;
};

/** Refusals of a unique or an exclusion constraint, when two requests passed the earlier check at the same time. */
const CONSTRAINT_CODES: Readonly<Record<string, [code: 'already-exists' | 'conflict', detail: string]>> = {
  '23505': ['already-exists', 'Something with the same name or code exists already.'],
  '23P01': ['conflict', 'It overlaps with what exists.'],
};

/** The refusals that a constraint made. */
const CONSTRAINTS = new WeakSet<ProblemException>();

/** As `fromDatabase`, for a write that rests on what it read: a constraint then means that another was first, and the next look will say so. */
export function fromPost(error: unknown): never {
  try {
    return fromDatabase(error);
  } catch (refusal) {
    throw refusal instanceof ProblemException && CONSTRAINTS.has(refusal) ? new Stale(refusal) : refusal;
  }
}

/** Turns a refusal of the database into Stale, Replay or a problem; anything else is thrown on as it is. */
export function fromDatabase(error: unknown): never {
  const message = messageOf(error);
  const refusal = message === undefined ? undefined : firstObject(message);
  if (refusal === undefined) {
    const known = CONSTRAINT_CODES[sqlStateOf(error) ?? ''];
    const prismaUnique = (error as { code?: unknown } | null)?.code === 'P2002' ? CONSTRAINT_CODES['23505'] : undefined;
    const constraint = known ?? prismaUnique;
    if (constraint !== undefined) {
      const refused = new ProblemException(constraint[0], constraint[1], { cause: error });
      CONSTRAINTS.add(refused);
      throw refused;
    }
    throw error;
  }
  const { code, ...members } = refusal as { code: string } & Record<string, unknown>;
  if (code === 'stale') {
    throw new Stale();
  }
  if (code === 'replay') {
    throw new Replay(Number(members.status), String(members.response));
  }
  if (!isProblemCode(code)) {
    throw error;
  }
  throw new ProblemException(code, refusalWords(code, members) ?? DETAIL[code] ?? 'The books refuse it.', {
    members,
    cause: error,
  });
}
