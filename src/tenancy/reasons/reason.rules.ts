import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { ReasonNeed } from './reason-codes.js';
import { reasonOf } from './reason-codes.js';

/** Properties of an entry that a reason may need. */
export interface ReasonFacts {
  readonly reasonCode?: string;
  readonly note?: string;
  readonly occurredAt?: string;
  readonly witness?: string;
  readonly evidence?: { readonly report?: string; readonly method?: string; readonly approval?: string };
}

/** Ways to give what is missing. A count and a gauge take no evidence: what they find is entered as a movement. */
export const NEED_WORDS: Readonly<Record<ReasonNeed, string>> = {
  note: 'Say in words what the reason was.',
  occurredAt: 'Give the date and the time at which it happened.',
  witness:
    'Name who saw it in witness, or give the number of the approval in evidence.approval; what a count or a gauge found is entered as a movement, which takes it.',
  'evidence/report':
    'Give in evidence.report the number under which it was reported to the police or the authority; what a count or a gauge found is entered as a movement, which takes it.',
  'evidence/method':
    'Say in evidence.method how it was destroyed, for example "poured to the drain"; what a count or a gauge found is entered as a movement, which takes it.',
};

/** True if an entry gives what a reason or a kind needs. Who destroys under an approval needs no other witness. */
export function hasNeed({ note, occurredAt, witness, evidence }: ReasonFacts, need: ReasonNeed): boolean {
  const given: Readonly<Record<ReasonNeed, string | undefined>> = {
    note,
    occurredAt,
    witness: witness ?? evidence?.approval,
    'evidence/report': evidence?.report,
    'evidence/method': evidence?.method,
  };
  return given[need] !== undefined;
}

/**
 * Requires what the reason of an entry needs.
 *
 * @param place JSON pointer of what holds the reason, and the name of its text
 * @throws ProblemException `validation-failed` that names each missing property
 */
export function requireReasonFacts(given: ReasonFacts, place: { pointer: string; note: string }): void {
  const reason = reasonOf(given.reasonCode);
  const errors = (reason?.needs ?? [])
    .filter((need) => !hasNeed(given, need))
    .map((need) => ({
      pointer: `${place.pointer}/${need === 'note' ? place.note : need}`,
      rule: 'required',
      detail: `The reason "${String(reason?.code)}" needs it. ${NEED_WORDS[need]}`,
    }));
  if (errors.length > 0) {
    throw new ProblemException('validation-failed', errors.map(({ detail }) => detail).join(' '), { errors });
  }
}
