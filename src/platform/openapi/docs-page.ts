import type { OpenAPIObject } from '@nestjs/swagger';
import { escapeHtml, inlineText } from '../http/html.js';

type Json = Readonly<Record<string, unknown>>;

const asObject = (value: unknown): Json => (typeof value === 'object' && value !== null ? (value as Json) : {});
const asText = (value: unknown): string => (typeof value === 'string' ? value : '');
const asList = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

const preformatted = (value: unknown): string => `<pre>${escapeHtml(JSON.stringify(value, null, 2))}</pre>`;

const paragraphs = (text: string): string =>
  text
    .split(/\n\n+/)
    .map((paragraph) => `<p>${inlineText(paragraph)}</p>`)
    .join('');

/** References are followed this deep; deeper ones are named. */
const DEEPEST_REFERENCE = 6;

/** Puts the schema in the place of each reference to it, so that it can be read in one piece. */
function resolved(schema: unknown, schemas: Json, depth = 0): unknown {
  if (Array.isArray(schema)) {
    return schema.map((part) => resolved(part, schemas, depth));
  }
  if (typeof schema !== 'object' || schema === null) {
    return schema;
  }
  const reference = asText((schema as Json)['$ref']);
  if (reference !== '') {
    const name = reference.split('/').at(-1) ?? '';
    return depth < DEEPEST_REFERENCE ? resolved(schemas[name], schemas, depth + 1) : `see ${name}`;
  }
  return Object.fromEntries(Object.entries(schema).map(([key, part]) => [key, resolved(part, schemas, depth)]));
}

function parameterTable(parameters: readonly unknown[]): string {
  if (parameters.length === 0) {
    return '';
  }
  const rows = parameters.map((parameter) => {
    const { name, in: place, required, description } = asObject(parameter);
    const need = required === true ? 'required' : 'optional';
    return `<tr><td><code>${escapeHtml(asText(name))}</code></td><td>${asText(place)}, ${need}</td><td>${inlineText(asText(description))}</td></tr>`;
  });
  return `<h4>Parameters</h4><table>${rows.join('')}</table>`;
}

function examplesOf(media: Json): string {
  return Object.values(asObject(media['examples']))
    .map((example) => {
      const { summary, value } = asObject(example);
      return `<p class="soft">${inlineText(asText(summary))}</p>${preformatted(value)}`;
    })
    .join('');
}

function bodyOf(title: string, content: unknown, schemas: Json): string {
  const media = asObject(asObject(content)['application/json']);
  if (media['schema'] === undefined) {
    return '';
  }
  const schema = preformatted(resolved(media['schema'], schemas));
  return `<h4>${title}</h4>${examplesOf(media)}<details><summary>Schema</summary>${schema}</details>`;
}

const linkToProblem = (code: string): string =>
  `<a href="/problems/${escapeHtml(code)}"><code>${escapeHtml(code)}</code></a>`;

function refusals(codes: readonly unknown[]): string {
  return codes.length === 0
    ? ''
    : `<h4>Refusals</h4><p>${codes.map((code) => linkToProblem(asText(code))).join(', ')}</p>`;
}

function operationBlock(path: string, method: string, operation: Json, schemas: Json): string {
  const responses = asObject(operation['responses']);
  const success = Object.entries(responses).find(([status]) => status.startsWith('2'))?.[1];
  return (
    `<details id="${escapeHtml(asText(operation['operationId']))}"><summary><span class="verb">${method.toUpperCase()}</span> ` +
    `<code>${escapeHtml(path)}</code> ${inlineText(asText(operation['summary']))}</summary>` +
    paragraphs(asText(operation['description'])) +
    parameterTable(asList(operation['parameters'])) +
    bodyOf('Body', asObject(operation['requestBody'])['content'], schemas) +
    bodyOf('Answer', asObject(success)['content'], schemas) +
    `${refusals(asList(operation['x-problem-codes']))}</details>`
  );
}

/** Renders the whole reference as one page without script and without anything from elsewhere. */
export function docsPage(document: OpenAPIObject): string {
  const schemas = asObject(document.components?.schemas);
  const blocks = new Map<string, string[]>();
  for (const [path, item] of Object.entries(document.paths)) {
    for (const [method, value] of Object.entries(asObject(item))) {
      const operation = asObject(value);
      const tag = asText(asList(operation['tags'])[0]);
      if (tag !== '') {
        blocks.set(tag, [...(blocks.get(tag) ?? []), operationBlock(path, method, operation, schemas)]);
      }
    }
  }
  const sections = (document.tags ?? []).map(
    ({ name, description = '' }) =>
      `<h2 id="tag-${escapeHtml(name)}">${escapeHtml(name)}</h2><p>${inlineText(description)}</p>${(blocks.get(name) ?? []).join('')}`,
  );
  return (
    `<h1>${escapeHtml(document.info.title)} ${escapeHtml(document.info.version)}</h1>${paragraphs(document.info.description ?? '')}` +
    '<p><a href="/openapi.json">OpenAPI 3.1 document</a>, <a href="/problems">problems</a></p>' +
    sections.join('')
  );
}
