import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { MovementKind } from '../movement-kinds.js';
import { MovementReader } from '../movement.reader.js';
import type { MovementProof, NewProof } from './proofs.dto.js';

const PROVED: readonly MovementKind[] = ['export', 'dispatch-suspended'];

/** Enters the proof of an export or a dispatch when it comes, in whichever period: it changes no figure. */
@Injectable()
export class ProofsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly movements: MovementReader,
  ) {}

  /** @throws ProblemException `not-found`, `conflict` for a movement of another kind or one that was reversed */
  enter(ctx: RequestContext, movementId: string, { proof, personId }: NewProof): Promise<Answer<MovementProof>> {
    return this.database.write(ctx, {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, personId, '/personId');
        const movement = (await this.movements.row(tx, ctx.producerId, movementId)) ?? notFound();
        requireProvable(movement.kind, movement.reversed);
      },
      plan: () => ({
        batch: {
          action: 'movements.prove',
          rows: {
            movementProof: [
              {
                id: uuidv7(),
                operationId: movementId,
                proof,
                arrivedLitres: null,
                refusedLitres: null,
                personId: personId ?? null,
              },
            ],
          },
        },
        answer: new Answer(201, { movementId, proof, ...(personId === undefined ? {} : { personId }) }),
      }),
    });
  }
}

function requireProvable(kind: string, reversed: boolean): void {
  if (!(PROVED as readonly string[]).includes(kind)) {
    throw new ProblemException('conflict', 'Only an export or a dispatch under suspension has a proof.');
  }
  if (reversed) {
    throw new ProblemException('conflict', 'The movement was reversed, so there is nothing to prove.');
  }
}
