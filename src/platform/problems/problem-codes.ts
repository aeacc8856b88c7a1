/** What a problem code means, for the answer and for its page. */
export interface ProblemKind {
  readonly status: number;
  readonly title: string;
  /** What happened, in words for the person who integrates. */
  readonly explanation: string;
  /** What to do about it. */
  readonly remedy: string;
}

const kind = (status: number, title: string, explanation: string, remedy: string): ProblemKind => ({
  status,
  title,
  explanation,
  remedy,
});

const WIRE_CODES = {
  'malformed-url': kind(
    400,
    'The address cannot be read',
    'The path or the query holds bytes that are not valid percent-encoded UTF-8, a control character, or a reserved name.',
    'Encode every value of the path and of the query as UTF-8 with percent-encoding.',
  ),
  'key-in-url': kind(
    400,
    'A key does not belong in the address',
    'The query names a key or a token. Addresses end up in logs and histories, so a key in one is refused and should be taken as lost.',
    'Send the key in the Authorization header, and revoke the one that was in the address.',
  ),
  'malformed-request': kind(
    400,
    'This is not a valid HTTP request',
    'The request line or a header is not valid HTTP, or holds a control character.',
    'Use an HTTP library, and keep control characters out of headers.',
  ),
  'malformed-body': kind(
    400,
    'The body cannot be read',
    'The body is not one JSON object in UTF-8, or holds what is refused before it is looked at: NUL, a lone surrogate, a byte order mark, a reserved property name.',
    'Send one JSON object, encoded as UTF-8, and look at the rule and the place in `errors`.',
  ),
  'body-too-deep': kind(
    400,
    'The body is nested too deeply',
    'Objects and arrays stand inside each other deeper than is allowed, or there are too many of them.',
    'Flatten the body, or send it in several requests.',
  ),
  'duplicate-key': kind(
    400,
    'A property is given twice',
    'An object of the body names the same property twice; which of the two is meant cannot be known.',
    'Give each property once.',
  ),
  'number-too-long': kind(
    400,
    'A number has too many digits',
    'A number of the body has more than 15 significant digits, or a size or form that cannot be kept exactly; it would be changed in silence.',
    'Send numbers with at most 15 significant digits.',
  ),
  'validation-failed': kind(
    400,
    'The request does not have the form that is asked for',
    'One or more values have the wrong type or form, are missing, or are not known here. Each is listed in `errors` with a JSON pointer and the rule that it broke.',
    'Correct the values that `errors` names; the reference shows the form of each.',
  ),
  'unit-unknown': kind(
    400,
    'The unit is not one of those taken here',
    'A quantity was given in a unit that this property does not take. `allowed` lists those that it does.',
    'Use one of the listed UCUM codes.',
  ),
  'scale-unknown': kind(
    400,
    'The gravity scale is not known',
    'A gravity was given on a scale that is not known here. `allowed` lists the scales.',
    'Use one of the listed scales; the temperature belongs to the scale (sg-20-20 is not sg-60f-60f).',
  ),
  'cursor-malformed': kind(
    400,
    'The cursor is not one that was given out',
    'A page cursor is opaque and only valid as it was received, for the same list.',
    'Start again from the first page and follow `next` or the Link header.',
  ),
  'idempotency-key-malformed': kind(
    400,
    'The Idempotency-Key cannot be taken',
    'An idempotency key has 1 to 255 printable ASCII characters.',
    'Send a fresh random key, for example a UUID.',
  ),
  unauthenticated: kind(
    401,
    'No valid key',
    'The request has no key, or one that is not known or has expired.',
    'Send `Authorization: Bearer <key>` with a key of the producer.',
  ),
  'key-revoked': kind(
    401,
    'The key has been revoked',
    'The key was valid once and has been revoked.',
    'Ask an owner of the producer for a new key.',
  ),
  forbidden: kind(
    403,
    'The key may not do this',
    'The key is valid, but its role or its scopes do not include what this route asks for.',
    'Use a key with the scope that the reference names for this route.',
  ),
  'not-found': kind(
    404,
    'There is no such thing',
    'Nothing is found under this address for this key. Things of another producer answer in the same way.',
    'Check the address and the identifier.',
  ),
  'method-not-allowed': kind(
    405,
    'This address does not take that method',
    'The address exists, but not with this method. The Allow header lists those that it takes.',
    'Use one of the methods of the Allow header.',
  ),
  'not-acceptable': kind(
    406,
    'There is no such form of it',
    'The resource cannot be given in any of the media types of the Accept header.',
    'Ask for one of the media types that the reference names.',
  ),
  'request-timeout': kind(
    408,
    'The request took too long to arrive',
    'The request was not complete within the time that the service waits for one.',
    'Send it again over a better connection.',
  ),
  'precondition-failed': kind(
    412,
    'It has changed in between',
    'The entity tag of If-Match is not the present one: someone changed the resource after it was read.',
    'Read it again, look at what changed, and send the change with the new entity tag.',
  ),
  'body-too-large': kind(
    413,
    'The body is too large',
    'The body is larger than this route takes.',
    'Send less in one request.',
  ),
  'uri-too-long': kind(
    414,
    'The address is too long',
    'The path or one of its parts is longer than is taken.',
    'Shorten it.',
  ),
  'unsupported-media-type': kind(
    415,
    'The media type of the body is not taken here',
    'The body has to be application/json in UTF-8, without a content encoding, unless the reference says otherwise.',
    'Send `Content-Type: application/json` and the body as it is.',
  ),
  'precondition-required': kind(
    428,
    'If-Match is missing',
    'A change of a setting has to say which version it changes, so that no one overwrites what they have not seen.',
    'Read the resource and send its ETag in If-Match.',
  ),
  'rate-limited': kind(
    429,
    'Too many requests',
    'The key, or the address that the request came from, has used up its requests for now.',
    'Wait for as many seconds as Retry-After says.',
  ),
  'headers-too-large': kind(
    431,
    'The headers are too large',
    'The headers of the request together are larger than is taken.',
    'Send smaller headers.',
  ),
  'internal-error': kind(
    500,
    'Something went wrong here',
    'The service failed in a way that it does not explain to the outside. The request id leads to the log.',
    'Try again later; if it stays, report the request id.',
  ),
  'service-unavailable': kind(
    503,
    'The service cannot answer just now',
    'The service is starting, stopping, or cannot reach its database in time. Nothing was stored, or it was stored whole; an idempotency key tells.',
    'Send the same request again, with the same Idempotency-Key, after as many seconds as Retry-After says.',
  ),
} as const satisfies Record<string, ProblemKind>;

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
    'The three roads to the closing figures do not meet to the last decimal, so the period is not closed.',
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
