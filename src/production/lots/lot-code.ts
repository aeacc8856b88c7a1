/** The beginning that the codes of one day share. */
export const codePrefix = (day: string): string => `${day.replaceAll('-', '')}-`;

/** The next code of a day, as in 20260301-3: one more than the highest count among the codes that begin alike. */
export function nextCode(day: string, taken: readonly string[]): string {
  const prefix = codePrefix(day);
  const counts = taken
    .filter((code) => code.startsWith(prefix))
    .map((code) => code.slice(prefix.length))
    .filter((count) => /^[1-9]\d{0,8}$/.test(count))
    .map(Number);
  return `${prefix}${Math.max(0, ...counts) + 1}`;
}
