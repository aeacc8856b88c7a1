import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { missingReference } from './references.js';

export const PLAN_KINDS = ['dilution', 'blend', 'addition', 'carbonation'] as const;
export type PlanKind = (typeof PLAN_KINDS)[number];

/**
 * Checks the plan that an operation says it carries out.
 *
 * @throws ProblemException `not-found` for an unknown plan, `conflict` for one of another lot or another kind
 */
export async function requirePlan(
  tx: Tx,
  producerId: string,
  planId: string | undefined,
  kind: PlanKind,
  lotId: string,
): Promise<void> {
  if (planId === undefined) {
    return;
  }
  const [plan] = await tx.$queryRaw<{ kind: string; lotId: string }[]>`
    SELECT kind, lot_id AS "lotId" FROM plan WHERE producer_id = ${producerId}::uuid AND id = ${planId}::uuid`;
  if (plan === undefined) {
    throw missingReference('/planId');
  }
  if (plan.kind !== kind || plan.lotId !== lotId) {
    const detail = plan.lotId === lotId ? `The plan is of a ${plan.kind}.` : 'The plan is of another lot.';
    throw new ProblemException('conflict', detail, { errors: [{ pointer: '/planId', rule: 'other-plan', detail }] });
  }
}
