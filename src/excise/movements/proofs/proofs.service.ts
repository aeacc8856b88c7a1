import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { WireQuantity } from '../../../production/shared/event.dto.js';
import { malformed } from '../../../production/shared/references.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import type { MovementRow } from '../movement.reader.js';
import { MovementReader } from '../movement.reader.js';
import type { SentRow } from '../sent-goods.reader.js';
import { isSentKind, SentGoodsReader } from '../sent-goods.reader.js';
import { toProofDiscrepancy } from '../proof-discrepancy.js';
import { toOpenProof, toRecipients } from './proof.mapper.js';
import type { MovementProof, NewProof, OpenProofQuery, OpenProofs } from './proofs.dto.js';

/** Enters the proof of an export or a dispatch when it comes, in whichever period: it changes no figure. Lists those that have none. */
@Injectable()
export class ProofsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly movements: MovementReader,
    private readonly sent: SentGoodsReader,
    private readonly settings: SettingsReader,
    private readonly clock: Clock,
  ) {}

  /** @throws ProblemException `not-found`; `conflict` for goods that are not out; `validation-failed` for another form than what was sent has */
  enter(ctx: RequestContext, movementId: string, body: NewProof): Promise<Answer<MovementProof>> {
    const { proof, personId } = body;
    return this.database.write(ctx, {
      read: async (tx) => {
        await requirePerson(tx, ctx.producerId, personId, '/personId');
        const movement = (await this.movements.row(tx, ctx.producerId, movementId)) ?? notFound();
        requireProvable(movement, await this.sent.row(tx, ctx.producerId, movementId));
        return { movement, ...statedIn(body, movement) };
      },
      plan: ({ movement, arrived, refused }) => {
        const arrivedLitres = arrived === undefined ? null : canonicalText(arrived);
        const refusedLitres = refused === undefined ? null : canonicalText(refused);
        const row = { id: uuidv7(), operationId: movementId, proof, arrivedLitres, refusedLitres };
        return {
          batch: { action: 'movements.prove', rows: { movementProof: [{ ...row, personId: personId ?? null }] } },
          answer: new Answer(201, {
            movementId,
            proof,
            ...(personId === undefined ? {} : { personId }),
            ...toProofDiscrepancy(movement.litres, arrivedLitres, refusedLitres),
          }),
        };
      },
    });
  }

  async open(ctx: RequestContext, { premisesId, counterparty }: OpenProofQuery): Promise<OpenProofs> {
    const now = this.clock.now();
    const { rows, dueDays } = await this.database.read(ctx, async (tx) => ({
      rows: await this.sent.open(tx, ctx.producerId),
      dueDays: (await this.settings.of(tx, ctx.producerId)).proofDueDays,
    }));
    const wanted = counterparty?.toLowerCase();
    const items = rows
      .filter((row) => premisesId === undefined || row.premisesId === premisesId)
      .filter((row) => wanted === undefined || row.counterparty?.toLowerCase() === wanted)
      .map((row) => toOpenProof(row, { now, dueDays }));
    return { at: now.toISOString(), dueAfterDays: dueDays, items, recipients: toRecipients(items) };
  }
}

const notOut = (rule: string, detail: string): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer: '/proof', rule, detail }] });

function requireProvable({ kind, reversed }: MovementRow, sent: SentRow | undefined): void {
  if (!isSentKind(kind)) {
    throw notOut('no-proof', 'Only an export or a dispatch under suspension has a proof.');
  }
  if (reversed || sent === undefined) {
    throw notOut('reversed', 'The movement was reversed, so there is nothing to prove.');
  }
  if (new Exact(sent.back).greaterThanOrEqualTo(sent.litres)) {
    throw notOut('nothing-out', 'All of it came back or was lost on the way, so there is nothing to prove.');
  }
}

interface Stated {
  readonly arrived: Decimal | undefined;
  readonly refused: Decimal | undefined;
}

/** Quantities of the proof. @throws ProblemException `validation-failed` for a count of bulk, a volume of what was counted, or refused goods without the accepted ones */
function statedIn(body: NewProof, { count, litres }: MovementRow): Stated {
  const { arrivedCount, refusedCount, arrivedVolume, refusedVolume } = body;
  const counts = Object.entries({ arrivedCount, refusedCount }).filter(([, value]) => value !== undefined);
  const volumes = Object.entries({ arrivedVolume, refusedVolume }).filter(([, value]) => value !== undefined);
  const wrong = (count === null ? counts : volumes).at(0);
  if (wrong !== undefined) {
    const detail =
      count === null ? 'It went out by volume: give volumes.' : 'It went out by count: give counts of containers.';
    throw malformed({ pointer: `/${wrong[0]}`, rule: 'as-sent', detail });
  }
  const each = new Exact(litres).dividedBy(count ?? 1);
  const ofCount = (value: number | undefined) => (value === undefined ? undefined : each.times(value));
  const ofVolume = (value: WireQuantity | undefined) => (value === undefined ? undefined : toBookLitres(value).litres);
  const stated =
    count === null
      ? { arrived: ofVolume(arrivedVolume), refused: ofVolume(refusedVolume) }
      : { arrived: ofCount(arrivedCount), refused: ofCount(refusedCount) };
  if (stated.refused !== undefined && stated.arrived === undefined) {
    const pointer = count === null ? '/arrivedVolume' : '/arrivedCount';
    throw malformed({ pointer, rule: 'required', detail: 'Give what was accepted beside what was refused.' });
  }
  return stated;
}
