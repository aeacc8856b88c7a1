/** The meaning of a problem code, for the answer and for its page. */
export interface ProblemKind {
  readonly status: number;
  readonly title: string;
  /** The cause in one or two sentences, for the developer of a client. */
  readonly explanation: string;
  /** The next step. */
  readonly remedy: string;
}

export const kind = (status: number, title: string, explanation: string, remedy: string): ProblemKind => ({
  status,
  title,
  explanation,
  remedy,
});
