import 'reflect-metadata';
import type { DynamicModule, Type } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import { registerBodyParser } from './platform/http/body-parser.js';
import { Readiness } from './platform/health/readiness.js';
import { KnownMethods } from './platform/http/known-methods.js';
import { registerRequestHooks } from './platform/http/request-hooks.js';
import { serverOptions } from './platform/http/server-options.js';
import { LinkInterceptor } from './platform/http/link.interceptor.js';
import type { LogLevel } from './platform/config.js';
import { NestLog, createLogger } from './platform/logging.js';
import { OpenApiDocument, buildDocument } from './platform/openapi/document.js';
import { ProblemFilter } from './platform/problems/problem.filter.js';
import { registerReferencePage } from './platform/reference/reference-page.js';
import { RequestValidationPipe } from './platform/validation/validation.pipe.js';

export interface AppOptions {
  /** The application's root; tests give a smaller one, or one with parts replaced. */
  readonly root: Type<object> | DynamicModule;
  readonly logLevel?: LogLevel;
  /** Serves the API reference under `/docs`; true unless a test of single modules does without. */
  readonly hasReferencePage?: boolean;
}

/** Sets the application up, the same for the server, the tests and the export of the OpenAPI file; it does not listen yet. */
export async function createApp({
  root,
  logLevel = 'silent',
  hasReferencePage = true,
}: AppOptions): Promise<NestFastifyApplication> {
  const logger = createLogger(logLevel);
  const adapter = new FastifyAdapter(serverOptions(logger));
  const fastify = adapter.getInstance();
  const known = new KnownMethods();
  known.watch(fastify);
  const app = await NestFactory.create<NestFastifyApplication>(root, adapter, {
    bodyParser: false,
    abortOnError: false,
    logger: new NestLog(logger),
  });
  const readiness = app.get(Readiness);
  registerRequestHooks(fastify, known, () => readiness.draining);
  registerBodyParser(fastify);
  app.useGlobalFilters(new ProblemFilter((problem, request) => known.refine(problem, request)));
  app.useGlobalPipes(new RequestValidationPipe());
  app.useGlobalInterceptors(new LinkInterceptor());
  if (hasReferencePage) {
    registerReferencePage(app);
  }
  await app.init();
  app.get(OpenApiDocument).set(() => buildDocument(app));
  await fastify.ready();
  return app;
}
