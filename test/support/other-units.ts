/** An answer without `alsoIn`: a read does not know in which units the write was asked. */
export function withoutOtherUnits<T>(answer: T): T {
  return JSON.parse(JSON.stringify(answer), (key, value: unknown) => (key === 'alsoIn' ? undefined : value)) as T;
}
