import { requireSameOwner } from '../../../production/shared/owner.js';
import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import { drawnFrom, minus, NOTHING } from '../../../ledger/books/amount.js';
import {
  countedComponents,
  drawnComponents,
  NO_COMPONENTS,
  withoutComponents,
} from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { toBookLitres } from '../../../metrology/units.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { compositionRow } from '../../../production/lots/compositions/composition.rows.js';
import { containerRows, requireSerialEach } from '../../../production/operations/containers/container-events.js';
import { eventAnswer, eventParts } from '../../../production/shared/event.js';
import { findingRow } from '../../../production/measuring/finding-records/finding.rows.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { FindingReader, ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import { receivingLot } from '../../../production/lots/receiving-lot.js';
import { mixParts } from '../../../production/operations/composition/mixtures.js';
import type { CompositionPosition } from '../../../production/measuring/position/lot-position.js';
import { PositionReader } from '../../../production/measuring/position/position.reader.js';
import { referenced } from '../../../production/shared/references.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { packedOf } from '../goods.js';
import type { ProductSource } from '../movement-source.js';
import { MovementSources } from '../movement-source.js';
import type { NewRework, ReworkAnswer } from './reworks.dto.js';

interface ReworkRead {
  readonly source: ProductSource;
  readonly lot: {
    readonly id: string;
    readonly category: string;
    readonly premisesId: string;
    readonly owner: string | null;
  };
  readonly vesselPremisesId: string;
  readonly standing: CompositionPosition | undefined;
  readonly finding: FindingRow | undefined;
}

/** Packed goods back into a vessel: used as material on both sides, a composition of its own with the strength of the books. */
@Injectable()
export class ReworksService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly sources: MovementSources,
    private readonly positions: PositionReader,
    private readonly findings: FindingReader,
  ) {}

  rework(ctx: RequestContext, body: NewRework): Promise<Answer<ReworkAnswer>> {
    const event = eventParts(body, this.clock.now());
    const { packagedLotId, count, volume, premisesId } = body;
    const goods = packedOf({ packagedLotId, count, volume, premisesId });
    requireSerialEach(body.serials, count ?? 1);
    return this.events.write(ctx, body, {
      read: async (tx): Promise<ReworkRead> => {
        const { producerId } = ctx;
        const lot = await receivingLot(tx, producerId, body.lotId, '/lotId');
        const vessel = await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
        const asked = { occurredAt: event.head.occurredAt, explains: undefined };
        const source = await this.sources.of(tx, producerId, goods, asked);
        const findings = await this.findings.ofCompositions(tx, producerId, [source.subject.compositionId]);
        return {
          source,
          lot,
          vesselPremisesId: vessel.premisesId,
          standing: await this.positions.inVessel(tx, producerId, body.vesselId),
          finding: ofRecordOf(findings),
        };
      },
      plan: (read) => plan(ctx, body, event, read),
    });
  }
}

function requirePlace({ source, lot, vesselPremisesId, standing }: ReworkRead): void {
  const { premisesId, owner } = source.account.account;
  const elsewhere = [
    ['/lotId', lot.premisesId],
    ['/vesselId', vesselPremisesId],
  ].find(([, there]) => there !== premisesId);
  if (elsewhere !== undefined) {
    const detail = 'It stands on other premises; goods between premises go in transit.';
    throw new ProblemException('conflict', detail, {
      errors: [{ pointer: elsewhere[0], rule: 'other-premises', detail }],
    });
  }
  requireSameOwner(owner, lot.owner, '/lotId');
  if (standing !== undefined) {
    throw new ProblemException('vessel-in-use', `The vessel holds lot ${standing.composition.lotCode}.`, {
      errors: [{ pointer: '/vesselId', rule: 'vessel-in-use', detail: 'Rework into an empty vessel, then blend.' }],
    });
  }
}

function plan(
  ctx: RequestContext,
  body: NewRework,
  event: ReturnType<typeof eventParts>,
  read: ReworkRead,
): Plan<ReworkAnswer> {
  requirePlace(read);
  const { source, lot, finding } = read;
  const { account, subject: from, litres } = source;
  const { head, personalText } = event;
  const opened = drawnFrom(account.balance, litres);
  const openedComponents = drawnComponents(account.components, account.balance, litres);
  const lossLitres = body.loss === undefined ? litres.minus(litres) : toBookLitres(body.loss).litres;
  if (!lossLitres.lessThan(litres)) {
    const detail = `${litres.toFixed()} L were opened: something of it has to end in the vessel.`;
    throw new ProblemException('insufficient-stock', detail, {
      errors: [{ pointer: '/loss', rule: 'insufficient-stock', detail }],
    });
  }
  const lost = lossLitres.isZero() ? NOTHING : drawnFrom(opened, lossLitres);
  const lostComponents = lossLitres.isZero() ? NO_COMPONENTS : countedComponents(openedComponents, opened, lossLitres);
  const into = minus(opened, lost);
  const intoComponents = withoutComponents(openedComponents, lostComponents);
  const extractPlato = finding?.realExtractPlato ?? 0;
  const mixed = mixParts([{ name: 'reworked', amount: into, components: intoComponents, extractPlato }]);
  const compositionId = uuidv7();
  const findingId = uuidv7();
  const place = account.account;
  const to = { category: lot.category, lotId: lot.id, compositionId };
  const rework = {
    ...head,
    kind: 'rework',
    timing: 'draw' as const,
    premisesId: place.premisesId,
    lotId: lot.id,
    compositionId,
    keyId: ctx.principalId,
    document: {
      packagedLotId: body.packagedLotId,
      ...(body.count === undefined ? { volumeL: litres.toFixed() } : { count: body.count }),
      vesselId: body.vesselId,
      fromCompositionId: from.compositionId,
      lossLitres: lossLitres.toFixed(),
    },
  };
  const draft = new OperationDraft(rework)
    .move(place, nominalAccount(place, 'used-as-material', from.category), into, from, intoComponents)
    .move(
      nominalAccount(place, 'used-as-material', lot.category),
      liquidAccount(place, compositionId, body.vesselId),
      into,
      to,
      intoComponents,
    )
    .move(place, nominalAccount(place, 'process-loss', from.category), lost, from, lostComponents);
  const { strengthPercent: strength } = mixed.finding;
  return {
    batch: {
      action: 'reworks.rework',
      ...booksOf(draft),
      rows: {
        containerEvent: containerRows(body.serials, {
          operationId: head.id,
          event: 'emptied',
          packagedLotId: body.packagedLotId,
          litres: litres.dividedBy(body.serials?.length ?? 1),
        }),
        composition: [
          compositionRow({
            id: compositionId,
            lotId: lot.id,
            premisesId: place.premisesId,
            kind: 'rework',
            operationId: head.id,
            openedAt: head.occurredAt,
          }),
        ],
        finding: [
          findingRow(
            {
              id: findingId,
              lotId: lot.id,
              compositionId,
              standing: 'of-record',
              operationId: head.id,
              sampledAt: head.occurredAt,
              inputs: { from: finding?.id ?? null, packagedLotId: body.packagedLotId },
              warnings: mixed.warnings,
            },
            mixed.finding,
          ),
        ],
      },
      personalText,
    },
    reads: readsOf(account),
    answer: new Answer(201, {
      ...eventAnswer(rework, into, mixed.warnings),
      findingId,
      strength: { value: strength.value, unit: '%' },
      expandedUncertainty: strength.expanded,
      loss: { value: lossLitres.toNumber(), unit: 'L' },
      category: lot.category,
    }),
  };
}
