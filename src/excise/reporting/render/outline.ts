import type { Content } from 'pdfmake/interfaces.js';
import type { PageTable, Placed } from './page-table.js';

/** A text node, as far as it is looked at here. */
interface TextNode {
  readonly text?: unknown;
  readonly style?: unknown;
  readonly stack?: readonly Node[];
}
type Node = TextNode & Partial<PageTable>;
type Bookmarked = Placed & { outline?: boolean; outlineText?: string; outlineParentId?: string };

interface Heading {
  readonly level: 1 | 2;
  readonly name: string;
  readonly at: Bookmarked;
}

const levelOf = ({ style }: Node): 1 | 2 | undefined => (style === 'h1' ? 1 : style === 'h2' ? 2 : undefined);

/** Headings of a node in their order. That of a table is marked at its first row: its title comes again on each page. */
function headingsIn(node: Node): Heading[] {
  if (node.groups !== undefined) {
    const title = (node.table?.body[0][0] as Node).stack ?? [];
    return title.flatMap(headingsIn).map((each) => ({ ...each, at: (node as PageTable).groups[0].first }));
  }
  const level = levelOf(node);
  return level === undefined
    ? (node.stack ?? []).flatMap(headingsIn)
    : [{ level, name: String(node.text), at: node as Bookmarked }];
}

/** Makes a bookmark of every heading, those of parts below those of chapters, and gives the ends of tables their ids. */
export function bookmark(content: readonly Content[]): PageTable[] {
  let chapter: string | undefined;
  content
    .flatMap((each) => headingsIn(each as Node))
    .forEach(({ level, name, at }, index) => {
      at.id ??= `part-${index + 1}`;
      at.outline = true;
      at.outlineText = name;
      if (level === 1) {
        chapter = at.id;
      } else if (chapter !== undefined) {
        at.outlineParentId = chapter;
      }
    });
  const tables = content.flatMap(tablesIn);
  tables
    .flatMap(({ groups }) => groups.flatMap(({ first, last }) => [first, last]))
    .forEach((each, index) => (each.id ??= `row-${index + 1}`));
  return tables;
}

function tablesIn(content: Content): PageTable[] {
  const node = content as Node;
  return node.groups !== undefined ? [node as PageTable] : ((node.stack ?? []) as Content[]).flatMap(tablesIn);
}

const pageOf = ({ positions }: Placed): number => positions?.[0]?.pageNumber ?? 0;

/** Words for the head of a page on which a table goes on that began before it; known after the layout. */
export function continuedOn(page: number, tables: readonly PageTable[]): string {
  for (const { groups } of tables) {
    if (pageOf(groups[0].first) < page && pageOf(groups[groups.length - 1].last) >= page) {
      const group = groups.find(({ name, first, last }) => name !== '' && pageOf(first) < page && pageOf(last) >= page);
      return group === undefined ? 'continued' : `continued: ${group.name}`;
    }
  }
  return '';
}
