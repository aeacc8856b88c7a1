import type { DisplayUnits } from '../../platform/units/display-units.js';
import type { Scope } from '../../platform/access.js';

export const ROLES = ['owner', 'brewer', 'bookkeeper', 'auditor', 'integration'] as const;
export type Role = (typeof ROLES)[number];

/** The request's fingerprint under which its answer is kept: the same key, route and body replay it. */
interface IdempotencyClaim {
  readonly route: string;
  readonly key: string;
  /** SHA-256 of the canonical body, hexadecimal. */
  readonly bodyHash: string;
}

/** The caller and the producer of a request: made by the guard, passed by every service to the producer database. */
export interface RequestContext {
  readonly producerId: string;
  /** The key's id. */
  readonly principalId: string;
  readonly role: Role;
  readonly scopes: ReadonlySet<Scope>;
  readonly producerName: string;
  readonly simulated: boolean;
  readonly displayUnits?: DisplayUnits;
  idempotency?: IdempotencyClaim;
}
