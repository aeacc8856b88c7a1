import { Injectable } from '@nestjs/common';
import type { AccountKey, NominalKind, Subject } from '../../ledger/books/account.js';
import { nominalAccount } from '../../ledger/books/account.js';
import type { Amount } from '../../ledger/books/amount.js';
import { amount, drawnFrom } from '../../ledger/books/amount.js';
import type { Components } from '../../ledger/books/components.js';
import { drawnComponents } from '../../ledger/books/components.js';
import { headSequence } from '../../ledger/books/head.js';
import { OperationDraft } from '../../ledger/books/operation-draft.js';
import { canonicalText, Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { groupedNumber } from '../../platform/words.js';
import { PackagedLotReader } from '../../production/measuring/packed/packaged-lot.reader.js';
import type { FollowedLot } from '../../production/operations/containers/container-events.js';
import { followedLot } from '../../production/operations/containers/container.reader.js';
import { malformed, missingReference } from '../../production/shared/references.js';
import type { Plan } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { EventHead } from '../../ledger/books/event.js';
import { MOVEMENT_RULES } from './movement-kinds.js';
import { planOf } from './movement-plan.js';
import type { MovementRow } from './movement.reader.js';
import { MovementReader } from './movement.reader.js';
import type { Movement, NewMovement } from './movements.dto.js';
import { OutstandingReader } from './outstanding.reader.js';
import type { SentRow } from './sent-goods.reader.js';
import { isSentKind, SentGoodsReader } from './sent-goods.reader.js';
import { bookLitresOf } from './source.js';

/** Goods that were sent and did not arrive, with the dispatch or export that they were part of. */
export interface LostRead {
  readonly sent: MovementRow;
  /** Place of the sender. */
  readonly place: Pick<AccountKey, 'premisesId' | 'owner' | 'dutyStatus'>;
  readonly subject: Subject;
  readonly litres: Decimal;
  readonly nominalLitres: string | undefined;
  readonly balance: Amount;
  readonly components: Components;
  readonly followed: FollowedLot | undefined;
  readonly head: bigint;
}

interface PostedRow {
  readonly premisesId: string;
  readonly owner: string;
  readonly dutyStatus: AccountKey['dutyStatus'];
  readonly litres: string;
  readonly fermented: string;
  readonly added: string;
  readonly components: [string, string, string][] | null;
}

const refused = (pointer: string, rule: string, detail: string, movement: string): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail }], members: { movement } });

/** Finds goods that were sent under suspension or exported and were lost on the way. */
@Injectable()
export class LostGoods {
  constructor(
    private readonly movements: MovementReader,
    private readonly sentGoods: SentGoodsReader,
    private readonly outstanding: OutstandingReader,
    private readonly packagedLots: PackagedLotReader,
  ) {}

  /** @throws ProblemException `not-found`; `conflict` for what was not sent so, was reversed, or is not out as much; `validation-failed` */
  async of(tx: Tx, producerId: string, lostFrom: string, body: NewMovement, at: Date): Promise<LostRead> {
    const sent = await this.movements.row(tx, producerId, lostFrom);
    if (sent === undefined) throw missingReference('/lostFrom');
    if (!isSentKind(sent.kind) || sent.reversed || at < sent.occurredAt) {
      const detail = 'Name a dispatch under suspension or an export that stands and was entered for an earlier time.';
      throw refused('/lostFrom', 'not-sent', detail, lostFrom);
    }
    const lot =
      sent.packagedLotId === null ? undefined : await this.packagedLots.row(tx, producerId, sent.packagedLotId);
    const litres = lostLitres(body, sent, lot?.nominalLitres);
    requireOut(await this.sentGoods.row(tx, producerId, lostFrom), litres, lostFrom);
    const posted = await this.#posted(tx, producerId, lostFrom);
    const held = lot === undefined ? balanceOf(posted) : await this.outstanding.of(tx, producerId, lot.id, at);
    const { premisesId, dutyStatus, owner } = posted;
    return {
      sent,
      place: { premisesId, dutyStatus, owner },
      subject: {
        category: sent.category,
        lotId: sent.lotId ?? undefined,
        compositionId: sent.compositionId ?? undefined,
        packagedLotId: sent.packagedLotId ?? undefined,
        materialLotId: sent.materialLotId ?? undefined,
      },
      litres,
      nominalLitres: lot?.nominalLitres,
      ...held,
      followed: lot === undefined ? undefined : await followedLot(tx, producerId, lot, { premisesId, dutyStatus, at }),
      head: await headSequence(tx, producerId),
    };
  }

  /** Amount that the dispatch or export took out, on its line of the report. */
  async #posted(tx: Tx, producerId: string, id: string): Promise<PostedRow> {
    const [row] = await tx.$queryRaw<PostedRow[]>`
      SELECT a.premises_id AS "premisesId", a.owner, a.duty_status AS "dutyStatus", p.litres::text AS litres, p.lpa_fermented::text AS fermented,
             p.lpa_added::text AS added,
             (SELECT jsonb_agg(jsonb_build_array(c.origin, c.c_litres::text, c.c_lpa::text)) FROM posting_component c
               WHERE c.producer_id = p.producer_id AND c.operation_sequence = p.operation_sequence AND c.line = p.line) AS components
        FROM posting p JOIN account a ON a.producer_id = p.producer_id AND a.id = p.account_id AND a.side = 'nominal'
       WHERE p.producer_id = ${producerId}::uuid AND p.operation_id = ${id}::uuid`;
    return row;
  }
}

const balanceOf = ({ litres, fermented, added, components }: PostedRow): Pick<LostRead, 'balance' | 'components'> => ({
  balance: amount(litres, fermented, added),
  components: new Map(
    (components ?? []).map(([origin, l, a]) => [origin, { litres: new Exact(l), lpa: new Exact(a) }]),
  ),
});

/** @throws ProblemException `validation-failed` for goods that are named besides, or for another form than what was sent has */
function lostLitres(body: NewMovement, { packagedLotId }: MovementRow, nominalLitres: string | undefined): Decimal {
  const { count, volume, serials } = body;
  if (packagedLotId === null || nominalLitres === undefined) {
    if (volume === undefined || count !== undefined || serials !== undefined) {
      throw malformed({ pointer: '/volume', rule: 'bulk', detail: 'Bulk was sent: give the volume that was lost.' });
    }
    return bookLitresOf(volume);
  }
  const containers = count ?? serials?.length;
  if (containers === undefined || volume !== undefined) {
    throw malformed({ pointer: '/count', rule: 'packed', detail: 'Packed goods were sent: give their count.' });
  }
  return new Exact(nominalLitres).times(containers);
}

function requireOut(sent: SentRow | undefined, litres: Decimal, movement: string): void {
  const out = sent === undefined ? new Exact(0) : new Exact(sent.litres).minus(sent.back);
  if (litres.greaterThan(out)) {
    const detail = `${groupedNumber(canonicalText(out))} L of that movement are still out; ${groupedNumber(canonicalText(litres))} L are said to be lost.`;
    throw refused('/lostFrom', 'more-than-outstanding', detail, movement);
  }
}

/** @throws ProblemException `validation-failed` where the goods are named besides the movement that sent them */
export function requireLostAlone(body: NewMovement): void {
  const { kind, packagedLotId, materialLotId, lotId, vesselId, premisesId, dutyStatus, explains } = body;
  if (kind !== 'transit-loss') {
    const detail = 'Only a transit loss is of goods that went out before.';
    throw malformed({ pointer: '/lostFrom', rule: 'transit-loss-only', detail });
  }
  const besides = Object.entries({ packagedLotId, materialLotId, lotId, vesselId, premisesId, dutyStatus, explains });
  const named = besides.find(([, value]) => value !== undefined);
  if (named !== undefined) {
    const detail = 'The goods are those of the movement in lostFrom: give count or volume only.';
    throw malformed({ pointer: `/${named[0]}`, rule: 'one-of-two', detail });
  }
}

/** From the line by which the goods were sent to the line of transit losses. Nothing in stock changes. */
export function lostPlan(ctx: RequestContext, body: NewMovement, head: EventHead, read: LostRead): Plan<Movement> {
  const { sent, place, subject, litres, balance, components } = read;
  const moved = drawnFrom(balance, litres);
  const line = (kind: NominalKind): AccountKey => nominalAccount(place, kind, subject.category);
  const named: NewMovement = {
    ...body,
    packagedLotId: sent.packagedLotId ?? undefined,
    materialLotId: sent.materialLotId ?? undefined,
    count: sent.packagedLotId === null ? undefined : (body.count ?? body.serials?.length),
  };
  // Goods outstanding of a packaged lot are counted by the lines that name it: the loss itself does not.
  const lost = { ...subject, packagedLotId: undefined };
  return planOf(ctx, named, head, {
    stock: line('transit-loss'),
    subject,
    litres,
    moved,
    nominalLitres: read.nominalLitres,
    explained: undefined,
    followed: read.followed,
    duty: undefined,
    containerEvent: 'missing',
    rests: { head: read.head },
    build: (facts) =>
      new OperationDraft(facts).move(
        line(MOVEMENT_RULES[sent.kind].nominal),
        line('transit-loss'),
        moved,
        subject,
        drawnComponents(components, balance, litres),
        lost,
      ),
  });
}
