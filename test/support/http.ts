import type { DynamicModule, Type } from '@nestjs/common';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { Module } from '@nestjs/common';
import request from 'supertest';
import { createApp } from '../../src/bootstrap.js';

/** Boots an application of these modules, without a port of its own. */
export async function bootModules(...imports: (Type<object> | DynamicModule)[]): Promise<NestFastifyApplication> {
  class TestRoot {}
  Module({ imports })(TestRoot);
  // Jest cannot load the file server of the reference page; the tests of the whole program ask for that page.
  return createApp({ root: TestRoot, hasReferencePage: false });
}

/** A client of the application's server. */
export const clientOf = (app: NestFastifyApplication) => request(app.getHttpServer());
