import { SetMetadata } from '@nestjs/common';

/** Scopes: the rights that a key can have. A role is a set of scopes; an integration key has the scopes chosen for it. */
export const SCOPES = [
  'calculations',
  'read',
  'readings:write',
  'production:write',
  'movements:write',
  'periods:write',
  'settings:write',
  'keys:write',
] as const;
export type Scope = (typeof SCOPES)[number];

/** `public` needs no key, `operator` the platform operator's secret, `any-key` any valid key; else the scope that the key must carry. */
export type AccessRule = 'public' | 'operator' | 'any-key' | Scope;

export const ACCESS_RULE = 'gaugebook:access';

/** Declares the access rule of a route. The guard refuses a route without one, and a test fails. */
export const Access = (rule: AccessRule): MethodDecorator & ClassDecorator => SetMetadata(ACCESS_RULE, rule);
