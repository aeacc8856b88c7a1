import type { Type } from '@nestjs/common';
import { plainToInstance } from 'class-transformer';
import type { ValidationError } from 'class-validator';
import { validateSync } from 'class-validator';
import type { Prisma } from '../../generated/prisma/client.js';

/** Plain data of an object, as a JSON column takes it: no class instances and no undefined properties. */
export const toJson = (value: object): Prisma.JsonObject => JSON.parse(JSON.stringify(value)) as Prisma.JsonObject;

export const toJsonList = (values: readonly object[]): Prisma.JsonArray => values.map(toJson);

const namesOf = (errors: readonly ValidationError[], path: string): string[] =>
  errors.flatMap(({ property, constraints, children }) => [
    ...(constraints === undefined ? [] : [`${path}/${property}`]),
    ...namesOf(children ?? [], `${path}/${property}`),
  ]);

/**
 * Reads a JSON column as the class that was written to it, by the rules of the class.
 *
 * @throws Error naming the column and the properties that do not fit: the row was not written by this program, or by another version of it
 */
export function fromJson<T extends object>(classOf: Type<T>, column: string, json: Prisma.JsonValue): T {
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    throw new Error(`${column} does not hold an object.`);
  }
  const instance = plainToInstance(classOf, json);
  const names = namesOf(validateSync(instance, { whitelist: true, forbidNonWhitelisted: true }), '');
  if (names.length > 0) {
    throw new Error(`${column} does not hold a ${classOf.name}: ${names.join(', ')}.`);
  }
  return JSON.parse(JSON.stringify(json)) as T;
}

/** As `fromJson`, for a column that holds a list. */
export function listFromJson<T extends object>(classOf: Type<T>, column: string, json: Prisma.JsonValue): T[] {
  if (!Array.isArray(json)) {
    throw new Error(`${column} does not hold a list.`);
  }
  return json.map((each) => fromJson(classOf, column, each));
}
