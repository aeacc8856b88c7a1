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

/** JSON with each reference to a schema as a link to it. */
const withLinks = (schema: unknown): string =>
  `<pre>${escapeHtml(JSON.stringify(schema, null, 2)).replaceAll(
    /#\/components\/schemas\/(\w+)/g,
    (_reference, name: string) => `<a href="#schema-${name}">${name}</a>`,
  )}</pre>`;

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

function bodyOf(title: string, content: unknown): string {
  const media = asObject(asObject(content)['application/json']);
  if (media['schema'] === undefined) {
    return '';
  }
  return `<h4>${title}</h4>${examplesOf(media)}${withLinks(media['schema'])}`;
}

const linkToProblem = (code: string): string =>
  `<a href="/problems/${escapeHtml(code)}"><code>${escapeHtml(code)}</code></a>`;

function refusals(codes: readonly unknown[]): string {
  return codes.length === 0
    ? ''
    : `<h4>Refusals</h4><p>${codes.map((code) => linkToProblem(asText(code))).join(', ')}</p>`;
}

function operationBlock(path: string, method: string, operation: Json): string {
  const responses = asObject(operation['responses']);
  const success = Object.entries(responses).find(([status]) => status.startsWith('2'))?.[1];
  return (
    `<details id="${escapeHtml(asText(operation['operationId']))}"><summary><span class="verb">${method.toUpperCase()}</span> ` +
    `<code>${escapeHtml(path)}</code> ${inlineText(asText(operation['summary']))}</summary>` +
    paragraphs(asText(operation['description'])) +
    parameterTable(asList(operation['parameters'])) +
    bodyOf('Body', asObject(operation['requestBody'])['content']) +
    bodyOf('Answer', asObject(success)['content']) +
    `${refusals(asList(operation['x-problem-codes']))}</details>`
  );
}

function schemaSection(schemas: Json): string {
  const blocks = Object.entries(schemas).map(
    ([name, schema]) =>
      `<details id="schema-${escapeHtml(name)}"><summary><code>${escapeHtml(name)}</code></summary>${withLinks(schema)}</details>`,
  );
  return `<h2>Schemas</h2>${blocks.join('')}`;
}

/** Renders the whole reference as one page without script and without anything from elsewhere. */
export function docsPage(document: OpenAPIObject): string {
  const blocks = new Map<string, string[]>();
  for (const [path, item] of Object.entries(document.paths)) {
    for (const [method, value] of Object.entries(asObject(item))) {
      const operation = asObject(value);
      const tag = asText(asList(operation['tags'])[0]);
      if (tag !== '') {
        blocks.set(tag, [...(blocks.get(tag) ?? []), operationBlock(path, method, operation)]);
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
    sections.join('') +
    schemaSection(asObject(document.components?.schemas))
  );
}
