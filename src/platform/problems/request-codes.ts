import type { ProblemKind } from './problem-kind.js';
import { kind } from './problem-kind.js';

/** Codes of requests that are refused before their values are used in a computation or a record. */
export const REQUEST_CODES = {
  'malformed-url': kind(
    400,
    'The address cannot be read',
    'The path or the query holds bytes that are not valid percent-encoded UTF-8, a control character, or a reserved name.',
    'Encode every value of the path and of the query as UTF-8 with percent-encoding.',
  ),
  'key-in-url': kind(
    400,
    'A key was sent in the address',
    'The query holds a key or a token. Addresses are stored in logs and histories, so the key may be known to others by now.',
    'Revoke the key that was in the address. Send the new one in the Authorization header.',
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
    'The body is not one JSON object in UTF-8, or it holds a NUL character, a lone surrogate, a byte order mark or a reserved property name.',
    'Send one JSON object, encoded as UTF-8. `errors` names the rule and the place.',
  ),
  'body-too-deep': kind(
    400,
    'The body is nested too deeply',
    'Objects and arrays are nested deeper than is allowed, or there are too many of them.',
    'Flatten the body, or send it in several requests.',
  ),
  'duplicate-key': kind(
    400,
    'A property is given twice',
    'An object of the body has the same property twice, so its value is not certain.',
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
    'The request does not have the required form',
    'One or more values have the wrong type or form, are missing, or are not known here. Each is listed in `errors` with a JSON pointer and the rule that it broke.',
    'Correct the values that `errors` names; the reference shows the form of each.',
  ),
  'unit-unknown': kind(
    400,
    'The unit is not accepted here',
    'A quantity was given in a unit that this property does not accept. `allowed` lists the accepted units.',
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
    'The cursor is not valid',
    'A page cursor is valid only as it was received, and only for the same list.',
    'Start again from the first page and follow `next` or the Link header.',
  ),
  'idempotency-key-malformed': kind(
    400,
    'The Idempotency-Key is not valid',
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
    'The key is valid, but its role or its scopes do not include the scope of this route.',
    'Use a key with the scope that the reference names for this route.',
  ),
  'not-found': kind(
    404,
    'Not found',
    'Nothing exists at this address for this key. Records of another producer are answered in the same way.',
    'Check the address and the identifier.',
  ),
  'method-not-allowed': kind(
    405,
    'The method is not allowed here',
    'The address exists, but not with this method. The Allow header lists the allowed methods.',
    'Use one of the methods of the Allow header.',
  ),
  'not-acceptable': kind(
    406,
    'The media type is not available',
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
    'It was changed in between',
    'The entity tag of If-Match is not the present one: the resource was changed after it was read.',
    'Read the resource again, check what changed, and send the change with the new entity tag.',
  ),
  'body-too-large': kind(
    413,
    'The body is too large',
    'The body is larger than this route accepts.',
    'Send smaller requests.',
  ),
  'uri-too-long': kind(
    414,
    'The address is too long',
    'The path or one of its parts is longer than is accepted.',
    'Shorten it.',
  ),
  'unsupported-media-type': kind(
    415,
    'The media type of the body is not accepted here',
    'The body has to be application/json in UTF-8, without a content encoding, unless the reference says otherwise.',
    'Send `Content-Type: application/json` and an uncompressed body.',
  ),
  'precondition-required': kind(
    428,
    'If-Match is missing',
    'A change of a setting has to name the version that it changes, so that nobody overwrites a change that they have not seen.',
    'Read the resource and send its ETag in If-Match.',
  ),
  'rate-limited': kind(
    429,
    'Too many requests',
    'The key, or the address that the request came from, has used up its requests for now.',
    'Wait for the seconds in Retry-After.',
  ),
  'headers-too-large': kind(
    431,
    'The headers are too large',
    'The headers of the request are together larger than is accepted.',
    'Send smaller headers.',
  ),
  'internal-error': kind(
    500,
    'The service failed',
    'An unexpected error occurred. The request id identifies the entry in the log of the service.',
    'Try again later. If it happens again, report the request id.',
  ),
  'service-unavailable': kind(
    503,
    'The service is not available at the moment',
    'The service is starting, stopping, or cannot reach its database in time. The request was stored either completely or not at all.',
    'Send the same request again after the seconds in Retry-After, with the same Idempotency-Key: then it is carried out once only.',
  ),
} as const satisfies Record<string, ProblemKind>;
