/** A node of a document's pages, as far as tests look at it. */
export interface PageNode {
  readonly text?: unknown;
  readonly stack?: readonly PageNode[];
  readonly columns?: readonly PageNode[];
  readonly table?: { readonly body: readonly (readonly PageNode[])[] };
  readonly style?: unknown;
  readonly margin?: readonly number[];
  id?: string;
  readonly positions?: readonly { readonly pageNumber: number }[];
}

const childrenOf = ({ stack, columns, table }: PageNode): PageNode[] => [
  ...(stack ?? []),
  ...(columns ?? []),
  ...(table?.body.flat() ?? []),
];

/** All nodes that have a text, in their order. */
export function textNodes(node: unknown): PageNode[] {
  if (Array.isArray(node)) {
    return node.flatMap(textNodes);
  }
  const each = node as PageNode;
  return typeof each.text === 'string' ? [each] : childrenOf(each).flatMap(textNodes);
}

/** All texts of a document's pages, in their order, without the marks at which a long word may break. */
export const textsOn = (content: unknown): string[] =>
  textNodes(content).map(({ text }) => String(text).replaceAll('\u200b', ''));

/** Rows of a printed table as their texts, those that stay together as rows of their own. */
export function rowsOn(node: unknown): PageNode[][] {
  const { table } = node as PageNode;
  return (table?.body ?? []).flatMap((row) => (row[0].table === undefined ? [[...row]] : rowsOn(row[0])));
}
