import type { INestApplication } from '@nestjs/common';
import { Injectable } from '@nestjs/common';
import type { OpenAPIObject } from '@nestjs/swagger';
import { DocumentBuilder, SwaggerModule } from '@nestjs/swagger';
import type { AccessRule } from '../access.js';
import { VERSION } from '../version.js';
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

const DESCRIPTION = [
  'Production records and alcohol accounts for small drinks producers.',
  '',
  'Quantities are `{ "value": 12.5, "unit": "L" }` with a UCUM code; times are RFC 3339 with offset.',
  'Every refusal is `application/problem+json` with a code of the list under `/problems`.',
  'Local law and licensed practice decide what is owed; no figure here is legal advice.',
].join('\n');

const METHODS = ['get', 'put', 'post', 'delete', 'patch'] as const;

/** Tags in the order of the reference; a controller's tag that is not listed here is a fault that a test finds. */
export const TAGS: Readonly<Record<string, string>> = {
  Calculations: 'The computations of the service without a lot: for integrators, and for a brewer in a hurry.',
  Producers: 'The businesses that keep their records here.',
  Keys: 'Keys of a producer, their roles and scopes.',
  People: 'Who did what; names stand outside the trail, so that a person can be forgotten.',
  Premises: 'Licensed sites, each with its time zone and its approvals.',
  Vessels: 'What holds.',
  Instruments: 'What measures, and the record of how well it does.',
  Materials: 'What is bought or kept, and the lots of it that came in.',
  Recipes: 'Plans, in versions.',
  Lots: 'Production lots and what is done with them.',
  Readings: 'Measured values as read.',
  Findings: 'Strengths by named methods, with their budgets.',
  Packaging: 'Packaged lots.',
  Movements: 'Goods in and out of stock.',
  Periods: 'Reporting periods, reports and closing.',
  Books: 'Accounts, operations and postings.',
  'Audit trail': 'One entry a write, chained, and the check of the chain.',
  Problems: 'What refusals mean.',
  Health: 'Whether the service lives and can take work.',
};

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

const accessWords = (access: AccessRule): string => {
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

/** Adds to an operation what follows from its route: security, the scope in words, and every refusal. */
function complete(operation: Operation, route: DeclaredRoute): void {
  const access = route.access ?? 'operator';
  operation.security = securityOf(access);
  operation['x-access'] = access;
  operation.description = [operation.description, accessWords(access)].filter(Boolean).join('\n\n');
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
  operation.responses = { ...operation.responses, ...problemResponses(codes) };
}

/** Closes every object schema that does not say otherwise: what a DTO does not name is refused. */
function closeSchemas(schemas: Record<string, unknown>): void {
  for (const schema of Object.values(schemas) as Record<string, unknown>[]) {
    if (schema['type'] === 'object' && schema['additionalProperties'] === undefined) {
      schema['additionalProperties'] = false;
    }
  }
}

/** Builds the OpenAPI 3.1 document of a booted application. */
export function buildDocument(app: INestApplication): OpenAPIObject {
  const builder = new DocumentBuilder()
    .setOpenAPIVersion('3.1.0')
    .setTitle('Gaugebook')
    .setDescription(DESCRIPTION)
    .setVersion(VERSION)
    .setLicense('Apache-2.0', 'https://www.apache.org/licenses/LICENSE-2.0')
    .addServer('/', 'This service')
    .addBearerAuth({ type: 'http', scheme: 'bearer', description: 'A key of the producer.' }, 'producerKey')
    .addBearerAuth({ type: 'http', scheme: 'bearer', description: "The platform operator's secret." }, 'operatorKey');
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
  const schemas = { ...document.components?.schemas, ...PROBLEM_SCHEMAS } as Record<string, unknown>;
  closeSchemas(schemas);
  const tags = Object.entries(TAGS).filter(([name]) => usedTags.has(name));
  return {
    ...document,
    tags: tags.map(([name, description]) => ({ name, description })),
    components: { ...document.components, headers: HEADERS, responses: refusalResponses(), schemas },
  } as unknown as OpenAPIObject;
}

/** The document of the running application, for those that serve it. */
@Injectable()
export class OpenApiDocument {
  #document: OpenAPIObject | undefined;

  set(document: OpenAPIObject): void {
    this.#document = document;
  }

  get(): OpenAPIObject {
    if (this.#document === undefined) {
      throw new Error('The OpenAPI document is asked for before the application was set up.');
    }
    return this.#document;
  }
}
