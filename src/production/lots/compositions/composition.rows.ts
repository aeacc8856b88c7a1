import type { RowOf } from '../../../tenancy/producer-database/batch.js';

export type CompositionKind =
  'opening' | 'charge' | 'mixture' | 'dilution' | 'blend' | 'addition' | 'split' | 'rework' | 'receipt';

export const compositionRow = (facts: {
  readonly id: string;
  readonly lotId: string;
  readonly premisesId: string;
  readonly kind: CompositionKind;
  readonly operationId: string;
  readonly openedAt: Date;
}): RowOf<'composition'> => ({
  id: facts.id,
  lotId: facts.lotId,
  premisesId: facts.premisesId,
  kind: facts.kind,
  operationId: facts.operationId,
  openedAt: facts.openedAt.toISOString(),
});
