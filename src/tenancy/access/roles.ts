import type { Scope } from '../../platform/access.js';
import { SCOPES } from '../../platform/access.js';
import type { Role } from '../producer-database/context.js';

const EVERYTHING: readonly Scope[] = SCOPES;

/** Scopes of each role; an integration key has the scopes chosen for it instead. */
const SCOPES_OF: Readonly<Record<Exclude<Role, 'integration'>, readonly Scope[]>> = {
  owner: EVERYTHING,
  brewer: ['calculations', 'read', 'readings:write', 'production:write', 'movements:write'],
  bookkeeper: ['calculations', 'read', 'movements:write', 'periods:write'],
  auditor: ['calculations', 'read'],
};

/** Scopes that an integration can be given at the most: never keys, settings or the closing of a period. */
export const INTEGRATION_SCOPES: readonly Scope[] = [
  'calculations',
  'read',
  'readings:write',
  'production:write',
  'movements:write',
];

export const scopesOf = (role: Role, chosen: readonly string[]): ReadonlySet<Scope> =>
  new Set(role === 'integration' ? INTEGRATION_SCOPES.filter((scope) => chosen.includes(scope)) : SCOPES_OF[role]);
