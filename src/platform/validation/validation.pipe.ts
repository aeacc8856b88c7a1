import type { ArgumentMetadata } from '@nestjs/common';
import { Injectable, ValidationPipe } from '@nestjs/common';
import { getMetadataStorage } from 'class-validator';
import type { ValidationError } from 'class-validator';
import type { ProblemCode } from '../problems/problem-codes.js';
import { problemKind } from '../problems/problem-codes.js';
import type { FieldError } from '../problems/problem.exception.js';
import { ProblemException, pointerTo } from '../problems/problem.exception.js';
import { decodeFindings } from './field.js';
import type { Finding } from './rule.js';
import { finding, unknownProperty } from './rule.js';

/** Findings that are gathered before the rest of a hopeless body is left alone. */
const ENOUGH = 1000;

const UNKNOWN_PROPERTY = 'whitelistValidation';

/** Names of the properties that the class of a body knows. */
function propertiesOf(target: object | undefined): string[] {
  if (target === undefined) {
    return [];
  }
  const known = getMetadataStorage().getTargetValidationMetadatas(target.constructor, '', false, false);
  return [...new Set(known.map(({ propertyName }) => propertyName))];
}

function findingsOf(error: ValidationError): Finding[] {
  return Object.entries(error.constraints ?? {}).flatMap(([constraint, message]) => {
    if (constraint === UNKNOWN_PROPERTY) {
      // Of many unknown properties each would carry the whole list of the known ones.
      return [{ ...unknownProperty(error.property, propertiesOf(error.target)), path: [], allowed: undefined }];
    }
    return decodeFindings(message) ?? [finding('validation', 'The value is not of the form that is asked for.')];
  });
}

function gather(errors: readonly ValidationError[], path: readonly string[], into: Finding[]): Finding[] {
  for (const error of errors) {
    if (into.length >= ENOUGH) {
      break;
    }
    const here = [...path, (error.property ?? '').slice(0, 60)];
    into.push(...findingsOf(error).map((inner) => ({ ...inner, path: [...here, ...inner.path] })));
    gather(error.children ?? [], here, into);
  }
  return into;
}

/** One code for all findings: theirs if they agree; what is malformed comes before what is impossible. */
function codeOf(codes: ReadonlySet<ProblemCode>): ProblemCode {
  const [first = 'validation-failed'] = codes;
  if (codes.size === 1) {
    return first;
  }
  const isMalformed = [...codes].some((code) => problemKind(code).status === 400);
  return isMalformed ? 'validation-failed' : 'not-computable';
}

export function problemOfFindings(findings: readonly Finding[], place?: string): ProblemException {
  const code = codeOf(new Set(findings.map((each) => each.code ?? 'validation-failed')));
  const errors = findings.map(({ path, code: _code, ...rest }): FieldError => ({
    pointer: pointerTo(...path),
    ...(place === undefined ? {} : { in: place }),
    ...rest,
  }));
  const [only] = errors;
  const detail =
    errors.length === 1
      ? `${only.pointer || 'The body'}: ${only.detail}`
      : `${errors.length} values were refused; see errors.`;
  return new ProblemException(code, detail, { errors });
}

/** The one pipe: only what a DTO names gets through, unconverted, and refusals carry pointers and rules. */
@Injectable()
export class RequestValidationPipe extends ValidationPipe {
  constructor() {
    super({
      whitelist: true,
      forbidNonWhitelisted: true,
      forbidUnknownValues: true,
      transform: true,
      transformOptions: { enableImplicitConversion: false, exposeDefaultValues: true },
      validationError: { target: true, value: false },
      exceptionFactory: (errors) => problemOfFindings(gather(errors, [], [])),
    });
  }

  override async transform(value: unknown, metadata: ArgumentMetadata): Promise<unknown> {
    try {
      return (await super.transform(value, metadata)) as unknown;
    } catch (error) {
      if (!(error instanceof ProblemException) || metadata.type === 'body') {
        throw error;
      }
      const place = metadata.type === 'param' ? 'path' : metadata.type;
      const errors = error.errors.map((each) => ({ ...each, in: place }));
      throw new ProblemException(error.code, error.message, { errors });
    }
  }
}
