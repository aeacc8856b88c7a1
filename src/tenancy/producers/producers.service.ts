import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { Producer as ProducerRow } from '../../generated/prisma/client.js';
import { Clock } from '../../platform/clock.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { makeKey } from '../access/key-format.js';
import { scopesOf } from '../access/roles.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import { toJson } from '../settings/stored-json.js';
import { etagOf, notFound, requireMatch } from '../settings/settings-store.js';
import type { ChargeableLoss } from './chargeable-loss.dto.js';
import type { ProducerChange, Producer } from './producers.dto.js';
import { DEFAULT_SETTINGS, toProducer } from './producers.dto.js';
import { requireCalendar, requireProductionYear } from './settings.rules.js';

export interface Founding {
  readonly name: string;
  readonly simulated?: boolean;
}

@Injectable()
export class ProducersService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly clock: Clock,
  ) {}

  /** Makes a producer with its first key, an owner's. */
  async found({ name, simulated = false }: Founding): Promise<{ producer: { id: string; name: string }; key: string }> {
    const now = this.clock.now();
    const producerId = uuidv7();
    const keyId = uuidv7();
    const { key, secretHash, hint } = makeKey(producerId, keyId);
    const ctx: RequestContext = {
      producerId,
      principalId: keyId,
      role: 'owner',
      scopes: scopesOf('owner', []),
      producerName: name,
      simulated,
    };
    const settings = toJson(DEFAULT_SETTINGS);
    await this.database.found(ctx, {
      batch: { action: 'producers.found', facts: { id: producerId, name, simulated, settings, key: keyId } },
      statements: (client) => [
        client.producer.create({
          data: { id: producerId, name, simulated, settings, createdAt: now },
        }),
        client.apiKey.create({
          data: {
            producerId,
            id: keyId,
            name: 'First key',
            role: 'owner',
            scopes: [],
            secretHash: new Uint8Array(secretHash),
            hint,
            createdAt: now,
          },
        }),
      ],
      answer: new Answer(201, undefined),
    });
    return { producer: { id: producerId, name }, key };
  }

  async row(ctx: RequestContext): Promise<ProducerRow> {
    const row = await this.database.read(ctx, (tx) => tx.row('producer', { id: ctx.producerId }));
    return row ?? notFound();
  }

  async change(ctx: RequestContext, ifMatch: string | undefined, body: ProducerChange): Promise<Answer<Producer>> {
    const row = await this.row(ctx);
    requireMatch(ifMatch, row.version);
    requireLinesOnce(body.settings?.chargeableLosses ?? []);
    requireCalendar(body.settings ?? {});
    requireProductionYear(body.settings ?? {});
    const settings = body.settings === undefined ? undefined : toJson(body.settings);
    const changes = {
      ...(body.name === undefined ? {} : { name: body.name }),
      ...(settings === undefined ? {} : { settings }),
    };
    const version = row.version + 1;
    try {
      return await this.database.writeSettings(ctx, {
        batch: { action: 'producers.change', facts: { version, changes } },
        statements: (client) => [
          client.producer.update({
            where: { id: ctx.producerId, version: row.version },
            data: { ...changes, version },
          }),
        ],
        answer: new Answer(200, toProducer({ ...row, ...changes, version }), { etag: etagOf(version) }),
      });
    } catch (error) {
      if ((error as { code?: unknown }).code === 'P2025') {
        throw new ProblemException('precondition-failed', 'It has changed since it was read.');
      }
      throw error;
    }
  }
}

/** @throws ProblemException `validation-failed` for a line that is there twice: which allowance holds could not be told */
function requireLinesOnce(losses: readonly ChargeableLoss[]): void {
  const twice = losses.findIndex(({ line }, index) => losses.findIndex((each) => each.line === line) < index);
  if (twice >= 0) {
    const detail = 'Each line once: its allowance could not be told.';
    throw new ProblemException('validation-failed', detail, {
      errors: [{ pointer: `/settings/chargeableLosses/${twice}/line`, rule: 'not-unique', detail }],
    });
  }
}
