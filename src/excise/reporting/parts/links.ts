/** Address of the operations from which a figure is summed. */
export const operationLink = (filter: Readonly<Record<string, string>>): string =>
  `/v1/operations?${Object.entries(filter)
    .map(([name, value]) => `${name}=${encodeURIComponent(value)}`)
    .join('&')}`;

export const oneOperation = (id: string): string => `/v1/operations/${id}`;
