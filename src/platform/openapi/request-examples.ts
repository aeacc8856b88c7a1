import { SetMetadata } from '@nestjs/common';

/** Metadata key for the examples of a route. */
export const EXAMPLES_OF_ROUTE = 'gaugebook:examples';

/** A request that the reference shows. Its answer is computed when the document is built. */
interface RequestExample {
  /** One line that says what the example shows, with its source where it has one. */
  readonly summary: string;
  readonly request: Readonly<Record<string, unknown>>;
}

export type RequestExamples = Readonly<Record<string, RequestExample>>;

/** Attaches examples to a route that only computes; its handler is called with each of them. */
export const WithExamples = (examples: RequestExamples): MethodDecorator => SetMetadata(EXAMPLES_OF_ROUTE, examples);
