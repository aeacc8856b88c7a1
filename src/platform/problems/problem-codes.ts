import type { ProblemKind } from './problem-kind.js';
import { kind } from './problem-kind.js';
import { WIRE_CODES } from './wire-codes.js';

const VALUE_CODES = {
  'out-of-range': kind(
    422,
    'A value lies outside what is possible',
    'A value was understood, but lies outside its physical range or the range of the method. `errors` gives the range.',
    'Check the value, its unit or scale, and for a lost decimal point; nothing is extrapolated.',
  ),
  'not-computable': kind(
    422,
    'There is no answer for these values',
    'The values were understood, but they contradict each other, or no result exists for them. `errors` says why.',
    'Correct the values that `errors` names.',
  ),
  'readings-disagree': kind(
    422,
    'The readings disagree',
    'Taken together, the readings cannot belong to one liquid: for example a real extract below zero beyond its uncertainty, or a final gravity above the original one.',
    'Read again, check instrument, temperature and scale; strike the wrong reading.',
  ),
  'idempotency-key-reused': kind(
    422,
    'The Idempotency-Key was used for something else',
    'The same key came before with another body. A key stands for one request.',
    'Use a new key for a new request.',
  ),
  'time-ahead': kind(
    422,
    'The time lies ahead',
    'The time of the event lies further ahead of the clock than the allowance.',
    'Check the clock and the offset of the time.',
  ),
} as const satisfies Record<string, ProblemKind>;

const BOOKS_CODES = {
  conflict: kind(
    409,
    'It does not fit the present state',
    'The request was understood, but does not fit the state in which things are now.',
    'Read the present state and decide again.',
  ),
  'already-exists': kind(
    409,
    'There is one already',
    'Something with the same name or code exists already.',
    'Use the one that exists, or another name.',
  ),
  'in-use': kind(
    409,
    'Something rests on it',
    'Later work rests on what the request would change or take away.',
    'Undo what rests on it first, or post a correction.',
  ),
  'reading-in-use': kind(
    409,
    'A finding rests on the reading',
    'A reading is struck only while no finding rests on it. `finding` names one that does.',
    'Make a new finding of the readings that are right; the old one stays with what it rests on.',
  ),
  'insufficient-stock': kind(
    409,
    'There is not enough there',
    'At the moment of the event, or at a later one, the account would fall below zero.',
    'Check the quantity and the time; gauge the vessel if the books are wrong.',
  ),
  'later-posting-in-the-way': kind(
    409,
    'A later posting is in the way',
    'What changes a composition may not come before a later posting on the same accounts. `errors` names that posting.',
    'Date the event after it, or reverse the later one first.',
  ),
  'assertion-in-the-way': kind(
    409,
    'A gauge or a count is in the way',
    'A later gauge or stock-take asserted what was there; an earlier entry has to say that it explains it.',
    'Give `explains` with the gauge or stock-take that the entry explains.',
  ),
  'vessel-in-use': kind(
    409,
    'The vessel is not empty',
    'The vessel holds a lot. Two lots in one vessel are a blend, and are entered as one.',
    'Empty the vessel first, or use another.',
  ),
  'returned-since': kind(
    409,
    'Goods have come back since',
    'More of a packaged lot would have come back than had gone out. `operationsInTheWay` names the returns.',
    'Reverse the returns that rest on it first, or enter fewer back.',
  ),
  'container-elsewhere': kind(
    409,
    'The container is not where it would have to be',
    'A container with a serial is filled empty, leaves as it was filled, and comes back from where it went. `serial` names it, `operation` what stands in the way.',
    'Check the serial; enter what happened to the container in between, or reverse what stands in the way.',
  ),
  'container-holds-less': kind(
    409,
    'The container holds less than that',
    'No more comes out of a container with a serial than it was last known to hold. `serial` names it, `contents` what was in it, `operation` what says so.',
    'A container that is part full goes by its measured volume: give `volume` instead of `count`, with its one serial.',
  ),
  'packing-exceeds-gauge': kind(
    409,
    'More was packed than the vessel held',
    'The full containers hold more than the books have in the vessel, by more than the uncertainty of what was gauged.',
    'Count again and gauge again; if the count stands, give a reason for it.',
  ),
  'period-closed': kind(
    409,
    'The period is closed',
    'The event lies in a closed period, and closed periods do not change.',
    'Post a correction in the open period; it appears there on the line for earlier periods.',
  ),
  'period-not-open': kind(
    409,
    'No open period covers the time',
    'The time of the event lies in no open period of the premises.',
    'Open a period that covers it, or correct the time.',
  ),
  'period-not-ended': kind(
    409,
    'The period has not ended',
    'A period can be closed only after its end.',
    'Close it after its end.',
  ),
  'books-do-not-balance': kind(
    409,
    'The books do not meet',
    'The three reconciliation to the closing figures do not meet to the last decimal, so the period is not closed.',
    'Run the check of the trail; it names the first entry that does not fit.',
  ),
  'trail-broken': kind(
    409,
    'The trail does not hold',
    'An entry of the audit trail, or what it stands for, is not what it was when it was written.',
    'Do not go on; compare with a kept export and find who changed the database.',
  ),
  'finding-needed': kind(
    409,
    'A strength is needed first',
    'The operation needs a strength of this composition, of record or provisional.',
    'Record the readings or a finding of this composition.',
  ),
  'method-not-applicable': kind(
    409,
    'The method does not apply to this composition',
    'The method needs something that this composition does not have: for example an original gravity after a dilution.',
    'Use a method that fits; `errors` says what is missing.',
  ),
  'not-packed': kind(
    422,
    'Only what is packed can go this way',
    'Release and own use are counted in containers with a declared strength; liquid in a vessel has neither.',
    'Pack it first, and give the packaged lot and the count.',
  ),
} as const satisfies Record<string, ProblemKind>;

/** The closed list: every problem that the service answers with has its code here. */
export const PROBLEM_CODES = { ...WIRE_CODES, ...VALUE_CODES, ...BOOKS_CODES };

export type ProblemCode = keyof typeof PROBLEM_CODES;

export const isProblemCode = (code: string): code is ProblemCode => Object.hasOwn(PROBLEM_CODES, code);

export const problemKind = (code: ProblemCode): ProblemKind => PROBLEM_CODES[code];
