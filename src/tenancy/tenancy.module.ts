import type { DynamicModule } from '@nestjs/common';
import { Module } from '@nestjs/common';
import { APP_GUARD, APP_INTERCEPTOR } from '@nestjs/core';
import { AccessGuard } from './access/access.guard.js';
import { Authenticator } from './access/authenticator.js';
import { ProducerDatabase } from './producer-database/producer-database.js';
import { WriteInterceptor } from './idempotency/write.interceptor.js';
import { KeysController } from './keys/keys.controller.js';
import { KeysService } from './keys/keys.service.js';
import { OwnerKeysController } from './keys/owner-keys.controller.js';
import { OwnerKeysService } from './keys/owner-keys.service.js';
import { PeopleController } from './people/people.controller.js';
import { PeopleService } from './people/people.service.js';
import { PremisesController } from './premises/premises.controller.js';
import { PremisesService } from './premises/premises.service.js';
import { ProducersController } from './producers/producers.controller.js';
import { ProducersService } from './producers/producers.service.js';
import { SettingsReader } from './producers/settings.reader.js';
import { ReasonCodesController } from './reasons/reason-codes.controller.js';
import type { TenancySettings } from './access/settings.token.js';
import { TENANCY_SETTINGS } from './access/settings.token.js';
import { SettingsStore } from './settings/settings-store.js';
import { TrailController } from './trail/trail.controller.js';
import { TrailReader } from './trail/trail.reader.js';

/** Producers, keys, the producer database, idempotency and the audit trail. */
@Module({})
export class TenancyModule {
  static with(settings: TenancySettings): DynamicModule {
    return {
      module: TenancyModule,
      global: true,
      controllers: [
        ProducersController,
        KeysController,
        OwnerKeysController,
        PremisesController,
        PeopleController,
        TrailController,
        ReasonCodesController,
      ],
      providers: [
        { provide: TENANCY_SETTINGS, useValue: settings },
        ProducerDatabase,
        Authenticator,
        SettingsStore,
        ProducersService,
        SettingsReader,
        KeysService,
        OwnerKeysService,
        PremisesService,
        PeopleService,
        TrailReader,
        { provide: APP_GUARD, useClass: AccessGuard },
        { provide: APP_INTERCEPTOR, useClass: WriteInterceptor },
      ],
      exports: [ProducerDatabase, SettingsReader, SettingsStore, ProducersService, PremisesService, TrailReader],
    };
  }
}
