import type { DynamicModule } from '@nestjs/common';
import { Global, Module } from '@nestjs/common';
import { Clock, SystemClock } from './clock.js';
import { HealthController } from './health/health.controller.js';
import { Readiness } from './health/readiness.js';
import { DocsController } from './reference/docs.controller.js';
import { OpenApiDocument } from './openapi/document.js';
import { GlossaryController } from './reference/glossary.controller.js';
import { ProblemsController } from './reference/problems.controller.js';

/** Services that every other module uses: clock, readiness, problem pages and the API document. */
@Global()
@Module({
  controllers: [HealthController, ProblemsController, DocsController, GlossaryController],
  providers: [{ provide: Clock, useClass: SystemClock }, Readiness, OpenApiDocument],
  exports: [Clock, Readiness, OpenApiDocument],
})
export class PlatformModule {
  /** The same with another clock than the machine's. */
  static with(clock: Clock): DynamicModule {
    return { module: PlatformModule, providers: [{ provide: Clock, useValue: clock }], exports: [Clock] };
  }
}
