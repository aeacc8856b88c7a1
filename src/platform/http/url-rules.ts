import { ProblemException } from '../problems/problem.exception.js';

/** Characters of a whole address; a cursor and a few filters need far less. */
const LONGEST_URL = 2048;

const KEY_NAMES = new Set([
  'key',
  'api_key',
  'apikey',
  'api-key',
  'token',
  'access_token',
  'auth',
  'authorization',
  'secret',
  'password',
]);

// A control character is looked for on purpose.
// prettier-ignore
const isControl = (code: number): boolean => code < 0x20 || code === 0x7f;

function decoded(text: string): string {
  try {
    return decodeURIComponent(text.replaceAll('+', ' '));
  } catch {
    throw new ProblemException('malformed-url', 'The address is not valid percent-encoded UTF-8.');
  }
}

function refuseControls(text: string): void {
  for (let index = 0; index < text.length; index++) {
    if (isControl(text.charCodeAt(index))) {
      throw new ProblemException('malformed-url', 'The address holds a control character.');
    }
  }
}

function checkQueryName(name: string): void {
  if (KEY_NAMES.has(name.toLowerCase())) {
    throw new ProblemException(
      'key-in-url',
      'A key or token in the address is refused; take it as lost and revoke it.',
    );
  }
  if (name in Object.prototype || name === 'prototype') {
    throw new ProblemException('malformed-url', 'The query holds a reserved name.');
  }
}

/** Checks the raw target of a request: length, encoding, control characters, reserved names, and keys where none belong. */
export function checkUrl(url: string): void {
  if (url.length > LONGEST_URL) {
    throw new ProblemException('uri-too-long', `An address has at most ${LONGEST_URL} characters.`);
  }
  const cut = url.indexOf('?');
  refuseControls(decoded(cut === -1 ? url : url.slice(0, cut)));
  if (cut === -1) {
    return;
  }
  for (const pair of url.slice(cut + 1).split('&')) {
    const equals = pair.indexOf('=');
    checkQueryName(decoded(equals === -1 ? pair : pair.slice(0, equals)));
    refuseControls(decoded(pair));
  }
}

/** The part of a target that may be logged: the query is left out, whatever it holds. */
export const pathForLog = (url: string): string => url.split('?', 1)[0].slice(0, 256);
