import canonicalize from 'canonicalize';

// The package is CommonJS and its types name the function as a default export of a module.
const serialize = canonicalize as unknown as (value: unknown) => string | undefined;

/** Canonical JSON (RFC 8785): one text for one value. Throws a TypeError for what has no JSON form. */
export function canonicalJson(value: unknown): string {
  const text = serialize(value);
  if (text === undefined) {
    throw new TypeError('This value has no JSON form.');
  }
  return text;
}
