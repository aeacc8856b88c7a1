import { Injectable } from '@nestjs/common';
import type { ApiKey as ApiKeyRow } from '../../generated/prisma/client.js';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { makeKey } from '../access/key-format.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import { SettingsStore } from '../settings/settings-store.js';
import type { IssuedKey, ApiKey, NewKey } from './keys.dto.js';
import { toApiKey } from './keys.dto.js';

@Injectable()
export class KeysService {
  constructor(
    private readonly store: SettingsStore,
    private readonly database: ProducerDatabase,
  ) {}

  list(ctx: RequestContext, query: PageQuery): Promise<Page<ApiKey>> {
    return this.store.list<ApiKeyRow, ApiKey>(ctx, 'apiKey', query, toApiKey);
  }

  async get(ctx: RequestContext, id: string): Promise<ApiKey> {
    return toApiKey(await this.store.get<ApiKeyRow>(ctx, 'apiKey', id));
  }

  async create(ctx: RequestContext, body: NewKey): Promise<Answer<IssuedKey>> {
    if ((body.role === 'integration') !== (body.scopes !== undefined)) {
      throw new ProblemException('validation-failed', 'Scopes are chosen for the role integration, and for no other.', {
        errors: [{ pointer: '/scopes', rule: 'scopes-of-role', detail: 'Give scopes with the role integration only.' }],
      });
    }
    const now = this.store.now();
    const expiresAt = body.expiresAt === undefined ? null : new Date(body.expiresAt);
    if (expiresAt !== null && expiresAt <= now) {
      throw new ProblemException('validation-failed', 'The key would have expired already.', {
        errors: [{ pointer: '/expiresAt', rule: 'in-future', detail: 'Give a time to come.' }],
      });
    }
    const id = this.store.newId();
    const { key, secretHash, hint } = makeKey(ctx.producerId, id);
    const row = { id, name: body.name, role: body.role, scopes: body.scopes ?? [], hint, createdAt: now, expiresAt };
    const wire = toApiKey({ ...row, revokedAt: null });
    return this.store.create<IssuedKey>(ctx, {
      action: 'keys.create',
      records: [{ table: 'apiKey', data: { ...row, secretHash } }],
      facts: { ...wire },
      body: { ...wire, key },
      kept: wire,
      headers: { location: `/v1/keys/${id}`, 'cache-control': 'no-store' },
    });
  }

  /** Revoking a key that is revoked already changes nothing and says so by its date. */
  async revoke(ctx: RequestContext, id: string): Promise<Answer<ApiKey>> {
    const row = await this.store.get<ApiKeyRow>(ctx, 'apiKey', id);
    if (row.revokedAt !== null) {
      return new Answer(200, toApiKey(row));
    }
    const revokedAt = this.store.now();
    return this.database.writeSettings(ctx, {
      batch: { action: 'keys.revoke', facts: { id, revokedAt: revokedAt.toISOString() } },
      statements: (client) => [
        client.apiKey.update({ where: { producerId_id: { producerId: ctx.producerId, id } }, data: { revokedAt } }),
      ],
      answer: new Answer(200, toApiKey({ ...row, revokedAt })),
    });
  }
}
