import { ProblemException } from '../../platform/problems/problem.exception.js';

interface ReasonFacts {
  /** Next steps: first to check the value, then to give a reason. */
  readonly advice: string;
  readonly members?: Readonly<Record<string, unknown>>;
}

/** Refuses an unusual entry that has no reason. @throws ProblemException `reason-needed` at /reasonCode */
export function requireReason(reasonCode: string | undefined, detail: string, { advice, members }: ReasonFacts): void {
  if (reasonCode === undefined) {
    throw new ProblemException('reason-needed', detail, {
      errors: [{ pointer: '/reasonCode', rule: 'reason-needed', detail: advice }],
      members,
    });
  }
}
