import { Optional } from '../../platform/validation/field.js';
import { IsId, IsInstant, IsPlainText, IsWholeNumber } from '../../platform/validation/fields.js';
import { ListOf } from '../../platform/openapi/list-of.js';

export class NewPerson {
  @IsPlainText(
    { max: 120 },
    { description: 'Kept outside the audit trail, which holds a salted hash of it.', example: 'A. Brewer' },
  )
  name: string;
}

export class Person {
  @IsId()
  id: string;

  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Absent once the person has been forgotten.' })
  name?: string;

  @IsWholeNumber({ min: 1, max: 2147483647 })
  version: number;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant()
  retiredAt?: string;

  @Optional()
  @IsInstant({ description: 'When the name was forgotten.' })
  forgottenAt?: string;
}

export class ForgottenPerson {
  @IsId()
  id: string;

  @IsInstant()
  forgottenAt: string;
}

export class PeoplePage extends ListOf(Person) {}

export interface PersonRow {
  readonly id: string;
  readonly name: string | null;
  readonly version: number;
  readonly createdAt: Date;
  readonly retiredAt: Date | null;
  readonly forgottenAt: Date | null;
}

export const toPerson = (row: PersonRow): Person => ({
  id: row.id,
  ...(row.name === null ? {} : { name: row.name }),
  version: row.version,
  createdAt: row.createdAt.toISOString(),
  ...(row.retiredAt === null ? {} : { retiredAt: row.retiredAt.toISOString() }),
  ...(row.forgottenAt === null ? {} : { forgottenAt: row.forgottenAt.toISOString() }),
});
