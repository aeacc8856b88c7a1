import { escapeHtml, inlineText } from '../http/html.js';
import type { ProblemCode } from '../problems/problem-codes.js';
import type { ProblemKind } from '../problems/problem-kind.js';
import { PROBLEM_CODES } from '../problems/problem-codes.js';

export interface ProblemEntry extends ProblemKind {
  readonly code: ProblemCode;
  readonly type: string;
}

export const problemEntry = (code: ProblemCode): ProblemEntry => ({
  code,
  type: `/problems/${code}`,
  ...PROBLEM_CODES[code],
});

export const problemEntries = (): ProblemEntry[] =>
  Object.keys(PROBLEM_CODES).map((code) => problemEntry(code as ProblemCode));

export function problemPage(entry: ProblemEntry): string {
  return (
    `<p><a href="/problems">All problems</a></p><h1>${escapeHtml(entry.title)}</h1>` +
    `<p><code>${entry.code}</code>, HTTP status ${entry.status}</p>` +
    `<h2>What happened</h2><p>${inlineText(entry.explanation)}</p><h2>What to do</h2><p>${inlineText(entry.remedy)}</p>`
  );
}

export function problemListPage(entries: readonly ProblemEntry[]): string {
  const rows = entries
    .map(
      ({ code, status, title, type }) =>
        `<tr><td>${status}</td><td><a href="${type}"><code>${code}</code></a></td><td>${escapeHtml(title)}</td></tr>`,
    )
    .join('');
  return `<h1>Problems</h1><p>Every refusal carries one of these codes.</p><table><tr><th>Status</th><th>Code</th><th>Meaning</th></tr>${rows}</table>`;
}
