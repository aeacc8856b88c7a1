import type { INestApplication } from '@nestjs/common';
import type { OpenAPIObject } from '@nestjs/swagger';
import { unitsUsed, withOtherUnits } from '../units/display-units.js';
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
