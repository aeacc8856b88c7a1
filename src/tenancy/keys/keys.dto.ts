import type { ApiKey as ApiKeyRow } from '../../generated/prisma/client.js';
import { ListOf } from '../../platform/openapi/list-of.js';
import { Optional } from '../../platform/validation/field.js';
import { IsFlag, IsId, IsInstant, IsListOf, IsOneOf, IsPlainText } from '../../platform/validation/fields.js';
import { oneOfRule } from '../../platform/validation/text-rules.js';
import { INTEGRATION_SCOPES, scopesOf } from '../access/roles.js';
import type { Role } from '../producer-database/context.js';
import { ROLES } from '../producer-database/context.js';

export class NewKey {
  @IsPlainText({ max: 80 }, { example: 'Cellar tablet' })
  name: string;

  @IsOneOf(ROLES, { example: 'brewer' })
  role: Role;

  @Optional()
  @IsListOf(
    oneOfRule(INTEGRATION_SCOPES),
    { min: 1, max: INTEGRATION_SCOPES.length, unique: true },
    { description: 'For the role integration only: what it may do.' },
  )
  scopes?: string[];

  @Optional()
  @IsInstant({ description: 'From then on the key is refused.' })
  expiresAt?: string;
}

export class NewOwnerKey {
  @Optional()
  @IsPlainText({ max: 80 })
  name?: string;

  @Optional()
  @IsFlag({ description: 'true revokes every other owner key: for one that may be in the wrong hands.' })
  revokeOthers?: boolean;
}

export class ApiKey {
  @IsId()
  id: string;

  @IsPlainText({ max: 80 })
  name: string;

  @IsOneOf(ROLES)
  role: Role;

  @IsListOf(oneOfRule(INTEGRATION_SCOPES), { max: 20 })
  scopes: string[];

  @IsPlainText({ max: 4 }, { description: 'The last characters of the key.' })
  hint: string;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant()
  expiresAt?: string;

  @Optional()
  @IsInstant()
  revokedAt?: string;
}

export class IssuedKey extends ApiKey {
  @Optional()
  @IsPlainText({ max: 100 }, { description: 'The key itself, shown this once; absent when the answer is a replay.' })
  key?: string;
}

export class KeyPage extends ListOf(ApiKey) {}

export const toApiKey = (row: Omit<ApiKeyRow, 'secretHash' | 'producerId'>): ApiKey => ({
  id: row.id,
  name: row.name,
  role: row.role as Role,
  scopes: [...scopesOf(row.role as Role, row.scopes)],
  hint: row.hint,
  createdAt: row.createdAt.toISOString(),
  ...(row.expiresAt === null ? {} : { expiresAt: row.expiresAt.toISOString() }),
  ...(row.revokedAt === null ? {} : { revokedAt: row.revokedAt.toISOString() }),
});
