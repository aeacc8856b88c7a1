import type { INestApplication } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import type { OpenAPIObject } from '@nestjs/swagger';
import { DocumentBuilder, SwaggerModule } from '@nestjs/swagger';
import type { AccessRule } from '../access.js';
import { VERSION } from '../version.js';
import { CURSOR_PATTERN, LARGEST_PAGE, LONGEST_CURSOR } from '../pagination.js';
import { SAME_QUANTITY_SCHEMA } from '../units/display-units.js';
import { addBodyExamples, addExamples } from './examples.js';
import type { DeclaredRoute } from './routes.js';
import { declaredRoutes } from './routes.js';
import {
  HEADERS,
  PROBLEM_SCHEMAS,
  headersOf,
  problemResponses,
  problemsOf,
  refusalResponses,
} from './standard-responses.js';
import { TAGS } from './tags.js';

const DESCRIPTION = [
  'Production records and alcohol accounts for small drinks producers.',
  '',
  'Quantities are `{ "value": 12.5, "unit": "L" }` with a UCUM code; times are RFC 3339 with offset.',
  'Every refusal is `application/problem+json` with one of the [problem codes](/problems); each code has a page.',
  'This document itself: [/openapi.json](/openapi.json).',
  'Local law and licensed practice decide what is owed; no figure here is legal advice.',
].join('\n');

const NO_JWT = 'An opaque secret, not a JWT, so RFC8725 does not apply.';
const KEY_DESCRIPTION = `A key of the producer. ${NO_JWT}`;
const OPERATOR_DESCRIPTION = `The platform operator's secret. ${NO_JWT}`;

const METHODS = ['get', 'put', 'post', 'delete', 'patch'] as const;

interface Operation {
  operationId?: string;
  description?: string;
  security?: Record<string, string[]>[];
  requestBody?: unknown;
  parameters?: { in?: string }[];
  responses: Record<string, { headers?: Record<string, unknown>; $ref?: string }>;
  [extension: `x-${string}`]: unknown;
}

function securityOf(access: AccessRule): Record<string, string[]>[] {
  if (access === 'public') {
    return [];
  }
  return [access === 'operator' ? { operatorKey: [] } : { producerKey: [] }];
}

const accessDescription = (access: AccessRule): string => {
  switch (access) {
    case 'public':
      return 'Needs no key.';
    case 'operator':
      return "Needs the platform operator's secret.";
    case 'any-key':
      return 'Needs any key of the producer.';
    default:
      return `Needs a key with the scope \`${access}\`.`;
  }
};

/** Adds security, the scope in words and every refusal to an operation; all follow from its route. */
function complete(operation: Operation, route: DeclaredRoute): void {
  const access = route.access ?? 'operator';
  operation.security = securityOf(access);
  operation['x-access'] = access;
  operation.description = [operation.description, accessDescription(access)].filter(Boolean).join('\n\n');
  for (const response of Object.values(operation.responses)) {
    response.headers = { ...headersOf(access), ...response.headers };
  }
  const codes = problemsOf({
    access,
    hasBody: operation.requestBody !== undefined,
    hasPath: (operation.parameters ?? []).some((parameter) => parameter.in === 'path'),
    problems: route.problems,
  });
  operation['x-problem-codes'] = codes;
  operation.description += `\n\nRefusals: ${codes.map((code) => `[${code}](/problems/${code})`).join(', ')}.`;
  operation.responses = { ...operation.responses, ...problemResponses(codes) };
}

interface SchemaNode {
  type?: unknown;
  additionalProperties?: unknown;
  properties?: Record<string, Record<string, unknown>>;
}

/** Closes every object schema that does not say otherwise, since a property that is not named is refused; limits the items of a page. */
function completeSchemas(schemas: Record<string, unknown>): void {
  for (const schema of Object.values(schemas) as SchemaNode[]) {
    if (schema.type === 'object' && schema.additionalProperties === undefined) {
      schema.additionalProperties = false;
    }
    const { items, next } = schema.properties ?? {};
    if (items !== undefined && next !== undefined) {
      items['maxItems'] ??= LARGEST_PAGE;
      next['maxLength'] ??= LONGEST_CURSOR;
      next['pattern'] ??= CURSOR_PATTERN.source;
    }
  }
}

const FLAGS_SCHEMA = {
  type: 'array',
  maxItems: 20,
  description: 'Doubts about the entry, which was stored all the same: `entered-twice`.',
  items: { $ref: '#/components/schemas/Flag' },
};

/** Every entry may be flagged as entered twice: adds `flags` to the answers of POSTs that have none of their own. */
function completeFlags(paths: OpenAPIObject['paths'], schemas: Record<string, unknown>): void {
  for (const { post } of Object.values(paths)) {
    const created = post?.responses['201'] as { content?: Record<string, { schema?: { $ref?: string } }> } | undefined;
    const name = created?.content?.['application/json']?.schema?.$ref?.split('/').at(-1) ?? '';
    const schema = schemas[name] as SchemaNode | undefined;
    if (schema?.properties !== undefined && 'Flag' in schemas) {
      schema.properties['flags'] ??= FLAGS_SCHEMA;
    }
  }
}

/** The shared responses that at least one operation names. */
function usedRefusals(document: OpenAPIObject): Record<string, unknown> {
  const text = JSON.stringify(document.paths);
  return Object.fromEntries(
    Object.entries(refusalResponses()).filter(([name]) => text.includes(`"#/components/responses/${name}"`)),
  );
}

/** Builds the OpenAPI 3.1 document of a booted application. */
export async function buildDocument(app: INestApplication): Promise<OpenAPIObject> {
  const builder = new DocumentBuilder()
    .setOpenAPIVersion('3.1.0')
    .setTitle('Gaugebook')
    .setDescription(DESCRIPTION)
    .setVersion(VERSION)
    .setExternalDoc('Glossary: the words of this API, each with an example', '/glossary')
    .setLicense('Apache-2.0', 'https://www.apache.org/licenses/LICENSE-2.0')
    .addServer('/', 'This service, whether local, staging or production', {}, { 'x-internal': false })
    .addBearerAuth({ type: 'http', scheme: 'bearer', description: KEY_DESCRIPTION }, 'producerKey')
    .addBearerAuth({ type: 'http', scheme: 'bearer', description: OPERATOR_DESCRIPTION }, 'operatorKey');
  const document = SwaggerModule.createDocument(app, builder.build(), {
    operationIdFactory: (_controller, method) => method,
    autoTagControllers: false,
  });
  const routes = new Map(declaredRoutes(app).map((route) => [route.operationId, route]));
  const usedTags = new Set<string>();
  for (const item of Object.values(document.paths)) {
    for (const method of METHODS) {
      const operation = item[method];
      const route = routes.get(operation?.operationId ?? '');
      if (operation !== undefined && route !== undefined) {
        complete(operation as unknown as Operation, route);
        operation.tags?.forEach((tag) => usedTags.add(tag));
      }
    }
  }
  await addExamples(app, document);
  addBodyExamples(document);
  const schemas = {
    ...document.components?.schemas,
    ...PROBLEM_SCHEMAS,
    SameQuantity: SAME_QUANTITY_SCHEMA,
  } as Record<string, unknown>;
  completeFlags(document.paths, schemas);
  completeSchemas(schemas);
  const tags = Object.entries(TAGS).filter(([name]) => usedTags.has(name));
  return {
    ...document,
    tags: tags.map(([name, description]) => ({ name, description })),
    components: { ...document.components, headers: HEADERS, responses: usedRefusals(document), schemas },
  } as unknown as OpenAPIObject;
}

/** The document of the running application. It is built when it is first asked for, so that a start does not wait for it. */
@Injectable()
export class OpenApiDocument {
  #build: (() => Promise<OpenAPIObject>) | undefined;
  #document: Promise<OpenAPIObject> | undefined;

  /** Takes the function that builds the document of the application. */
  set(build: () => Promise<OpenAPIObject>): void {
    this.#build = build;
    this.#document = undefined;
  }

  get(): Promise<OpenAPIObject> {
    if (this.#build === undefined) {
      throw new Error('The OpenAPI document is asked for before the application was set up.');
    }
    this.#document ??= this.#build().catch((error: unknown) => {
      this.#document = undefined;
      throw error;
    });
    return this.#document;
  }
}
