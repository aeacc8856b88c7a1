import type { DynamicModule } from '@nestjs/common';
import { Module } from '@nestjs/common';
import type { DatabaseClient } from './client.js';
import { DATABASE } from './token.js';

/** Hands the one client in; who opened it closes it. */
@Module({})
export class DatabaseModule {
  static with(client: DatabaseClient): DynamicModule {
    return {
      module: DatabaseModule,
      global: true,
      providers: [{ provide: DATABASE, useValue: client }],
      exports: [DATABASE],
    };
  }
}
