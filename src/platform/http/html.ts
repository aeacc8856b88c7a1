import { createHash } from 'node:crypto';
import type { FastifyReply } from 'fastify';

const STYLE = [
  ':root{color-scheme:light dark;--line:#8884;--soft:#8881;--accent:#0a6e5c}',
  '@media (prefers-color-scheme:dark){:root{--accent:#5fd0b8}}',
  'body{font:16px/1.5 system-ui,sans-serif;max-width:62rem;margin:0 auto;padding:1.5rem 1rem 4rem}',
  'h1,h2,h3{line-height:1.2}h2{margin-top:2.5rem;border-bottom:1px solid var(--line)}a{color:var(--accent)}',
  'code,pre{font-family:ui-monospace,monospace;font-size:.875em}',
  'pre{background:var(--soft);padding:.75rem;overflow:auto;border-radius:.375rem;max-height:26rem}',
  'table{border-collapse:collapse;width:100%}td,th{border-bottom:1px solid var(--line);padding:.375rem .5rem;text-align:left;vertical-align:top}',
  'details{border:1px solid var(--line);border-radius:.375rem;margin:.5rem 0;padding:.5rem .75rem}summary{cursor:pointer}',
  '.verb{display:inline-block;min-width:4.5em;font-weight:700;font-family:ui-monospace,monospace}.soft{opacity:.75}',
].join('');

const STYLE_HASH = createHash('sha256').update(STYLE).digest('base64');

/** Nothing but the page's own style may load. */
const PAGE_POLICY = `default-src 'none'; style-src 'sha256-${STYLE_HASH}'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'`;

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

export const escapeHtml = (text: string): string => text.replaceAll(/[&<>"']/g, (character) => ENTITIES[character]);

/** HTML of a plain text: words in backquotes become code, everything else is escaped. */
export const inlineText = (text: string): string => escapeHtml(text).replaceAll(/`([^`]+)`/g, '<code>$1</code>');

function htmlPage(title: string, body: string): string {
  return (
    '<!doctype html><html lang="en"><head><meta charset="utf-8">' +
    '<meta name="viewport" content="width=device-width,initial-scale=1">' +
    `<title>${escapeHtml(title)}</title><style>${STYLE}</style></head><body>${body}</body></html>`
  );
}

export function sendHtml(reply: FastifyReply, title: string, body: string): void {
  void reply
    .header('content-type', 'text/html; charset=utf-8')
    .header('content-security-policy', PAGE_POLICY)
    .send(htmlPage(title, body));
}

/** True if the caller asks for a page rather than for data: the Accept header names `text/html` before JSON. */
export function prefersHtml(accept: string | undefined): boolean {
  const html = (accept ?? '').indexOf('text/html');
  const json = (accept ?? '').indexOf('json');
  return html !== -1 && (json === -1 || html < json);
}
