/** The name of a table or column in the database, from its name in the data model. */
export const columnName = (name: string): string => name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

const propertyNames = new Map<string, string>();

/** The other way round; kept, because each row of each answer asks for its columns. */
export function propertyName(column: string): string {
  const known = propertyNames.get(column) ?? column.replace(/_([a-z])/g, (_, letter: string) => letter.toUpperCase());
  propertyNames.set(column, known);
  return known;
}
