import type { ProblemKind } from './problem-kind.js';
import { kind } from './problem-kind.js';
import { REQUEST_CODES } from './request-codes.js';

const VALUE_CODES = {
  'out-of-range': kind(
    422,
    'A value is out of range',
    'A value was understood, but lies outside its physical range or the range of the method. `errors` gives the range.',
    'Check the value, its unit or scale, and the decimal point. Nothing is extrapolated.',
  ),
  'not-computable': kind(
    422,
    'No result exists for these values',
    'The values were understood, but they contradict each other, or no result exists for them. `errors` says why.',
    'Correct the values that `errors` names.',
  ),
  'readings-disagree': kind(
    422,
    'The readings disagree',
    'Taken together, the readings cannot belong to one liquid: for example a real extract below zero beyond its uncertainty, or a final gravity above the original one.',
    'Measure again. Check the instrument, the temperature and the scale. Strike the wrong reading.',
  ),
  'idempotency-key-reused': kind(
    422,
    'The Idempotency-Key was used for another request',
    'The same key was sent before with another body. A key belongs to one request.',
    'Use a new key for a new request.',
  ),
  'time-ahead': kind(
    422,
    'The time is in the future',
    'The time of the event is later than the clock of the service allows.',
    'Check the clock and the offset of the time.',
  ),
} as const satisfies Record<string, ProblemKind>;

const BOOKS_CODES = {
  conflict: kind(
    409,
    'The request conflicts with the present state',
    'The request was understood, but the present state of the records does not allow it.',
    'Read the present state and send a request that fits it.',
  ),
  'already-exists': kind(
    409,
    'It exists already',
    'A record with the same name or code exists already.',
    'Use the existing one, or choose another name.',
  ),
  'in-use': kind(
    409,
    'It is used by later records',
    'Later records depend on what the request would change or remove.',
    'Reverse the later records first, or post a correction.',
  ),
  'reading-in-use': kind(
    409,
    'A finding uses the reading',
    'A reading can be struck only while no finding uses it. `finding` names one that does.',
    'Make a new finding from the right readings. The old one and its readings stay as they are.',
  ),
  'insufficient-stock': kind(
    409,
    'There is not enough in stock',
    'At the moment of the event, or at a later one, the account would fall below zero.',
    'Check the quantity and the time. If the books are wrong, gauge the vessel or take stock.',
  ),
  'later-posting-in-the-way': kind(
    409,
    'A later posting exists',
    'An event that changes a composition cannot be dated before a later posting on the same accounts. `errors` names that posting.',
    'Date the event after it, or reverse the later one first.',
  ),
  'assertion-in-the-way': kind(
    409,
    'A later gauge or stock-take exists',
    'A later gauge or stock-take states what was in stock. An entry before it has to name it as the one that it explains.',
    'Give `explains` with the gauge or stock-take that the entry explains.',
  ),
  'vessel-in-use': kind(
    409,
    'The vessel is not empty',
    'The vessel holds a lot. Two lots in one vessel are a blend, and are entered as one.',
    'Empty the vessel first, or use another.',
  ),
  'over-capacity': kind(
    409,
    'The vessel cannot hold that much',
    'With the entry the vessel would hold more than its capacity, at the moment of the event or at a later one. `vessel` names it, `capacity` what it can hold, `contents` what it would hold.',
    'Check the volume and its unit. If they are right, put the capacity of the vessel right first, with PATCH on the vessel.',
  ),
  'returned-since': kind(
    409,
    'Goods were returned since',
    'More containers of a packaged lot would be returned than were sent out. `operationsInTheWay` names the returns.',
    'Reverse those returns first, or enter fewer returned containers.',
  ),
  'container-elsewhere': kind(
    409,
    'The container is recorded at another place',
    'A container with a serial is filled empty, leaves as it was filled, and comes back from where it went. `serial` names it, `operation` the record that contradicts the request.',
    'Check the serial. Enter what happened to the container in between, or reverse the record that contradicts the request.',
  ),
  'container-holds-less': kind(
    409,
    'The container holds less than that',
    'No more can come out of a container with a serial than was last recorded in it. `serial` names it, `contents` the recorded volume, `operation` the record.',
    'For a container that is partly full, give its measured `volume` instead of `count`, with its one serial.',
  ),
  'reason-needed': kind(
    409,
    'The entry needs a reason',
    'The entry is far from what the books lead one to expect, by more than its uncertainty and than the producer’s setting. `errors` says what differs.',
    'Check the value, its unit and the decimal point. If it is right, send it with `reasonCode`.',
  ),
  'packing-exceeds-gauge': kind(
    409,
    'More was packed than the vessel held',
    'The full containers hold more than the books have in the vessel, by more than the uncertainty of what was gauged.',
    'Count again and gauge again. If the count is right, send it with a reason.',
  ),
  'period-closed': kind(
    409,
    'The period is closed',
    'The event falls in a closed period. A closed period does not change.',
    'Post a correction in the open period; it appears there on the line `earlier-period`.',
  ),
  'period-not-open': kind(
    409,
    'No open period covers the time',
    'The time of the event falls in no open period of the premises.',
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
    'The books do not balance',
    'The three independent sums of the closing stock do not agree to the last decimal, so the period is not closed.',
    'Run the check of the audit trail (`GET /v1/audit-trail/check`). It names the first entry that does not agree.',
  ),
  'trail-broken': kind(
    409,
    'The audit trail was changed',
    'An entry of the audit trail, or a record that it describes, is not as it was written.',
    'Stop the work on these books. Compare the trail with an earlier export and find out who changed the database.',
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
    'Use another method. `errors` says what is missing.',
  ),
  'not-packed': kind(
    422,
    'Only packed goods can be moved this way',
    'Release and own use are counted in containers with a declared strength; liquid in a vessel has neither.',
    'Pack it first, and give the packaged lot and the count.',
  ),
} as const satisfies Record<string, ProblemKind>;

/** The closed list of problem codes: every problem of the service has one of them. */
export const PROBLEM_CODES = { ...REQUEST_CODES, ...VALUE_CODES, ...BOOKS_CODES };

export type ProblemCode = keyof typeof PROBLEM_CODES;

export const isProblemCode = (code: string): code is ProblemCode => Object.hasOwn(PROBLEM_CODES, code);

export const problemKind = (code: ProblemCode): ProblemKind => PROBLEM_CODES[code];
