import { Injectable } from '@nestjs/common';
import { Clock } from '../../platform/clock.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import { hashSecret, parseKey, sameSecret } from './key-format.js';
import { scopesOf } from './roles.js';

const refuse = (detail: string): never => {
  throw new ProblemException('unauthenticated', detail, { headers: { 'www-authenticate': 'Bearer' } });
};

/** Finds out who holds a key. Nothing is cached: a key that is revoked is refused from the next request on. */
@Injectable()
export class Authenticator {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
  ) {}

  /** @throws ProblemException `unauthenticated` or `key-revoked` */
  async contextOf(header: string | undefined): Promise<RequestContext> {
    const text = header === undefined ? undefined : /^Bearer ([\x21-\x7e]+)$/i.exec(header)?.[1];
    if (text === undefined) {
      return refuse('A key is needed: Authorization: Bearer <key>.');
    }
    const parsed = parseKey(text);
    if (parsed === undefined) {
      return refuse('The key is not one that was given out.');
    }
    const row = await this.database.keyOf(parsed.producerId, parsed.keyId);
    if (row === undefined || !sameSecret(hashSecret(parsed.secret), Buffer.from(row.secret_hash))) {
      return refuse('The key is not one that was given out.');
    }
    if (row.revoked_at !== null) {
      throw new ProblemException('key-revoked', 'The key has been revoked.');
    }
    if (row.expires_at !== null && row.expires_at <= this.clock.now()) {
      return refuse('The key has expired.');
    }
    return {
      producerId: parsed.producerId,
      principalId: parsed.keyId,
      role: row.role,
      scopes: scopesOf(row.role, row.scopes),
      producerName: row.producer_name,
      simulated: row.simulated,
      ...(row.display_units === null ? {} : { displayUnits: row.display_units }),
    };
  }
}
