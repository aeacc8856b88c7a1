import { SetMetadata } from '@nestjs/common';

/** What a key may be allowed to do; a role is a set of these, an integration key carries chosen ones. */
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

/** States who may call a route; a route without it is refused by the guard and fails a test. */
export const Access = (rule: AccessRule): MethodDecorator & ClassDecorator => SetMetadata(ACCESS_RULE, rule);
