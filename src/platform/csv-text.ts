const DANGEROUS = /^[=+\-@\t\r\uFF1D\uFF0B\uFF0D\uFF20]/u;

/** A text as a spreadsheet takes it for a text: a leading sign that would make a formula of it is put behind an apostrophe. */
export const csvText = (text: string): string => (DANGEROUS.test(text) ? `'${text}` : text);
