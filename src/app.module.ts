import type { DynamicModule } from '@nestjs/common';
import { Module } from '@nestjs/common';
import { CalculationsModule } from './calculations/calculations.module.js';
import { ExciseModule } from './excise/excise.module.js';
import type { DatabaseClient } from './platform/database/client.js';
import { LedgerModule } from './ledger/ledger.module.js';
import { Clock, SystemClock } from './platform/clock.js';
import { DatabaseModule } from './platform/database/database.module.js';
import { PlatformModule } from './platform/platform.module.js';
import { ProductionModule } from './production/production.module.js';
import type { TenancySettings } from './tenancy/access/settings.token.js';
import { TenancyModule } from './tenancy/tenancy.module.js';

export interface AppParts {
  readonly client: DatabaseClient;
  readonly tenancy: TenancySettings;
  /** The machine's own unless a simulation lives in its own time. */
  readonly clock?: Clock;
}

/** All modules of the application, lower layers first; a layer depends only on those before it. */
@Module({})
export class AppModule {
  static with({ client, tenancy, clock = new SystemClock() }: AppParts): DynamicModule {
    return {
      module: AppModule,
      imports: [
        PlatformModule.with(clock),
        DatabaseModule.with(client),
        TenancyModule.with(tenancy),
        LedgerModule,
        ProductionModule,
        ExciseModule,
        CalculationsModule,
      ],
    };
  }
}
