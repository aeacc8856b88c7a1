import type { ProblemKind } from './problem-kind.js';
import { kind } from './problem-kind.js';

/** Refusals of the wire itself, before a value is looked at. */
export const WIRE_CODES = {
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
    'A number of the body has more than 17 significant digits, or a double-precision number cannot hold it as given: it is too large, too small, or its last digits would change.',
    'Send at most 15 significant digits, or the 16 or 17 that your JSON library writes for a double. Whole numbers above 9007199254740991 cannot be sent.',
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
