import type { Row } from '../../../tenancy/producer-database/batch.js';

export type CompositionKind = 'opening' | 'charge' | 'mixture' | 'dilution' | 'blend' | 'addition' | 'split' | 'rework';

export const compositionRow = (facts: {
  readonly id: string;
  readonly lotId: string;
  readonly premisesId: string;
  readonly kind: CompositionKind;
  readonly operationId: string;
  readonly openedAt: Date;
}): Row => ({
  id: facts.id,
  lot_id: facts.lotId,
  premises_id: facts.premisesId,
  kind: facts.kind,
  operation_id: facts.operationId,
  opened_at: facts.openedAt.toISOString(),
});
