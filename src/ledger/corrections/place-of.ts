import type { FieldError } from '../../platform/problems/problem.exception.js';
import { pointerTo, ProblemException } from '../../platform/problems/problem.exception.js';

type Path = readonly (string | number)[];

function pathOf(body: unknown, value: unknown, path: Path = []): Path | undefined {
  if (body === value) {
    return path;
  }
  if (typeof body !== 'object' || body === null) {
    return undefined;
  }
  const parts = Array.isArray(body) ? [...body.entries()] : Object.entries(body);
  return parts.map(([name, part]) => pathOf(part, value, [...path, name])).find((found) => found !== undefined);
}

/** A refusal of the books with the place in the body that names the vessel; any other error as it is. */
export function placed(error: unknown, body: object): unknown {
  if (!(error instanceof ProblemException) || error.code !== 'over-capacity') {
    return error;
  }
  const { code, message, members } = error;
  const where: FieldError = {
    pointer: pointerTo(...(pathOf(body, members.vessel) ?? [])),
    rule: code,
    detail: message,
  };
  return new ProblemException(code, message, { ...error, cause: error.cause, errors: [where] });
}
