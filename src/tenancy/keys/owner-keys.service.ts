import { Injectable } from '@nestjs/common';
import { makeKey } from '../access/key-format.js';
import { scopesOf } from '../access/roles.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import { notFound, SettingsStore } from '../settings/settings-store.js';
import type { IssuedKey, NewOwnerKey } from './keys.dto.js';
import { toApiKey } from './keys.dto.js';

/** Issues owner keys on behalf of the operator. */
@Injectable()
export class OwnerKeysService {
  constructor(
    private readonly store: SettingsStore,
    private readonly database: ProducerDatabase,
  ) {}

  /** @throws ProblemException `not-found` for a producer that is not here */
  async issue(
    producerId: string,
    { name = 'Owner key, issued by the operator', revokeOthers = false }: NewOwnerKey,
  ): Promise<Answer<IssuedKey>> {
    const producer =
      (await this.database.read({ producerId }, (tx) => tx.row('producer', { id: producerId }))) ?? notFound();
    const [id, createdAt] = [this.store.newId(), this.store.now()];
    const { key, secretHash, hint } = makeKey(producerId, id);
    const row = { id, name, role: 'owner', scopes: [], hint, createdAt, expiresAt: null };
    const issued = toApiKey({ ...row, revokedAt: null });
    // The operator has no key of the producer: the new one stands for it as the actor.
    const ctx: RequestContext = {
      producerId,
      principalId: id,
      role: 'owner',
      scopes: scopesOf('owner', []),
      producerName: producer.name,
      simulated: producer.simulated,
    };
    const others = { producerId, role: 'owner', revokedAt: null, id: { not: id } };
    return this.database.writeSettings(ctx, {
      batch: { action: 'keys.issue-by-operator', facts: { ...issued, issuedBy: 'operator', revokeOthers } },
      statements: (client) => [
        client.apiKey.create({ data: { producerId, ...row, secretHash: new Uint8Array(secretHash) } }),
        ...(revokeOthers ? [client.apiKey.updateMany({ where: others, data: { revokedAt: createdAt } })] : []),
      ],
      answer: new Answer(201, { ...issued, key }, { 'cache-control': 'no-store' }),
    });
  }
}
