/** What a problem code means, for the answer and for its page. */
export interface ProblemKind {
  readonly status: number;
  readonly title: string;
  /** What happened, in words for the person who integrates. */
  readonly explanation: string;
  /** What to do about it. */
  readonly remedy: string;
}

export const kind = (status: number, title: string, explanation: string, remedy: string): ProblemKind => ({
  status,
  title,
  explanation,
  remedy,
});
