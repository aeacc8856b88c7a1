import type { INestApplication, Type } from '@nestjs/common';
import { METHOD_METADATA, PATH_METADATA } from '@nestjs/common/constants.js';
import { MetadataScanner, ModulesContainer, Reflector } from '@nestjs/core';
import type { AccessRule } from '../access.js';
import { ACCESS_RULE } from '../access.js';
import type { ProblemCode } from '../problems/problem-codes.js';
import { PROBLEMS_OF_ROUTE } from './problems.decorator.js';
import type { RequestExamples } from './request-examples.js';
import { EXAMPLES_OF_ROUTE } from './request-examples.js';

/** Metadata key under which the OpenAPI decorators of the library describe a handler. */
const OPERATION_METADATA = 'swagger/apiOperation';

const statedOperationId = (handler: object): string | undefined =>
  (Reflect.getMetadata(OPERATION_METADATA, handler) as { operationId?: string } | undefined)?.operationId;

/** One route as its controller declares it. */
export interface DeclaredRoute {
  readonly controller: string;
  readonly handler: string;
  /** As in the OpenAPI document: stated, or the name of the handler. */
  readonly operationId: string;
  /** `undefined` if no access rule was declared, which is a fault. */
  readonly access: AccessRule | undefined;
  readonly problems: readonly ProblemCode[];
  readonly examples: RequestExamples | undefined;
  /** Calls the handler with a body, without guards and pipes. */
  readonly handle: (body: unknown) => unknown;
}

/** Walks every controller of the application. */
export function declaredRoutes(app: INestApplication): DeclaredRoute[] {
  const reflector = new Reflector();
  const scanner = new MetadataScanner();
  const routes: DeclaredRoute[] = [];
  for (const module of app.get(ModulesContainer).values()) {
    for (const { metatype, instance } of module.controllers.values()) {
      const controller = metatype as Type<object> | null;
      if (controller === null || !Reflect.hasMetadata(PATH_METADATA, controller)) {
        continue;
      }
      const prototype = controller.prototype as Record<string, (...args: unknown[]) => unknown>;
      for (const name of scanner.getAllMethodNames(prototype)) {
        const handler = prototype[name];
        if (!Reflect.hasMetadata(METHOD_METADATA, handler)) {
          continue;
        }
        routes.push({
          controller: controller.name,
          handler: name,
          operationId: statedOperationId(handler) ?? name,
          access: reflector.getAllAndOverride<AccessRule | undefined>(ACCESS_RULE, [handler, controller]),
          problems: reflector.get<ProblemCode[] | undefined>(PROBLEMS_OF_ROUTE, handler) ?? [],
          examples: reflector.get<RequestExamples | undefined>(EXAMPLES_OF_ROUTE, handler),
          handle: (body) => handler.call(instance, body),
        });
      }
    }
  }
  return routes;
}
