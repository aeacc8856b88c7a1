import type { INestApplication } from '@nestjs/common';
import type { OpenAPIObject } from '@nestjs/swagger';
import { unitsUsed, withOtherUnits } from '../units/display-units.js';
import type { BodyExample } from './bodies/body-examples.js';
import { EXCISE_BODIES } from './bodies/excise-bodies.js';
import { PRODUCTION_BODIES } from './bodies/production-bodies.js';
import { SETTINGS_BODIES } from './bodies/settings-bodies.js';
import type { RequestExamples } from './request-examples.js';
import { declaredRoutes } from './routes.js';

interface Media {
  examples?: Record<string, { summary: string; value: unknown }>;
}
interface ExampleOperation {
  readonly requestBody: { readonly content: Record<string, Media> };
  readonly responses: Record<string, { readonly content: Record<string, Media> }>;
}

const JSON_MEDIA = 'application/json';

async function addTo(
  operation: ExampleOperation,
  examples: RequestExamples,
  handle: (body: unknown) => unknown,
): Promise<void> {
  const requests = (operation.requestBody.content[JSON_MEDIA].examples ??= {});
  const answers = (operation.responses['200'].content[JSON_MEDIA].examples ??= {});
  for (const [name, { summary, request }] of Object.entries(examples)) {
    requests[name] = { summary, value: request };
    answers[name] = { summary, value: withOtherUnits(await handle(request), unitsUsed(request)) };
  }
}

const BODIES = { ...SETTINGS_BODIES, ...PRODUCTION_BODIES, ...EXCISE_BODIES };

/** Adds the examples of bodies of routes that store something: what a client sends, without an answer. */
export function addBodyExamples(document: OpenAPIObject): void {
  const operations = Object.values(document.paths).flatMap(({ post, patch, put }) => [post, patch, put]);
  for (const operation of operations) {
    const example = BODIES[operation?.operationId ?? ''] as BodyExample | undefined;
    if (operation !== undefined && example !== undefined) {
      const { requestBody } = operation as unknown as ExampleOperation;
      requestBody.content[JSON_MEDIA].examples = { example };
    }
  }
}

/** Adds the examples of requests to the document, with the answers that the handlers of the running application give. */
export async function addExamples(app: INestApplication, document: OpenAPIObject): Promise<void> {
  const operations = new Map(
    Object.values(document.paths).flatMap(({ post }) => (post === undefined ? [] : [[post.operationId, post]])),
  );
  for (const { operationId, examples, handle } of declaredRoutes(app)) {
    const operation = operations.get(operationId);
    if (examples !== undefined && operation !== undefined) {
      await addTo(operation as unknown as ExampleOperation, examples, handle);
    }
  }
}
