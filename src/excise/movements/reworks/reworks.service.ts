import { requireSameOwner } from '../../../production/shared/owner.js';
import { Injectable } from '@nestjs/common';
import { nominalAccount } from '../../../ledger/books/account.js';
import { drawnFrom, minus, NOTHING } from '../../../ledger/books/amount.js';
import {
  countedComponents,
  drawnComponents,
  NO_COMPONENTS,
  withoutComponents,
} from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { canonicalText, Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import {
  drawnRows,
  requireSerialEach,
  requireSerials,
} from '../../../production/operations/containers/container-events.js';
import { eventAnswer } from '../../../production/shared/event.js';
import type { FindingRow } from '../../../production/measuring/finding-records/finding.reader.js';
import { FindingReader, ofRecordOf } from '../../../production/measuring/finding-records/finding.reader.js';
import { receivingLot } from '../../../production/lots/receiving-lot.js';
import { mixParts } from '../../../production/operations/composition/mixtures.js';
import { NewComposition } from '../../../production/operations/composition/new-composition.js';
import type { CompositionPosition } from '../../../production/measuring/position/lot-position.js';
import { requireEmpty } from '../../../production/measuring/position/vessel-liquid.js';
import { PositionReader } from '../../../production/measuring/position/position.reader.js';
import { referenced } from '../../../production/shared/references.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { packedOf } from '../goods.js';
import type { ProductSource } from '../source.js';
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
    private readonly sources: MovementSources,
    private readonly positions: PositionReader,
    private readonly findings: FindingReader,
  ) {}

  rework(ctx: RequestContext, body: NewRework): Promise<Answer<ReworkAnswer>> {
    const { packagedLotId, count, volume, premisesId } = body;
    const goods = packedOf({ packagedLotId, count, volume, premisesId });
    requireSerialEach(body.serials, count ?? 1);
    return this.events.write(ctx, body, {
      read: async (tx, { occurredAt }): Promise<ReworkRead> => {
        const { producerId } = ctx;
        const lot = await receivingLot(tx, producerId, body.lotId, '/lotId');
        const vessel = await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
        const asked = { occurredAt, explains: undefined };
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
      plan: (read, head) => plan(ctx, body, head, read),
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
  requireEmpty(standing, '/vesselId');
}

/** Litres lost in opening. @throws ProblemException `insufficient-stock` where nothing would reach the vessel */
function lossOf({ loss }: NewRework, opened: Decimal): Decimal {
  const lost = loss === undefined ? new Exact(0) : toBookLitres(loss).litres;
  if (!lost.lessThan(opened)) {
    const detail = `${canonicalText(opened)} L were opened: some of it has to reach the vessel. Enter less loss.`;
    throw new ProblemException('insufficient-stock', detail, {
      errors: [{ pointer: '/loss', rule: 'insufficient-stock', detail }],
    });
  }
  return lost;
}

function plan(ctx: RequestContext, body: NewRework, head: EventHead, read: ReworkRead): Plan<ReworkAnswer> {
  requirePlace(read);
  const { source, lot, finding } = read;
  requireSerials(source.followed, body.serials, body.count ?? 1);
  const { account, subject: from, litres } = source;
  const opened = drawnFrom(account.balance, litres);
  const openedComponents = drawnComponents(account.components, account.balance, litres);
  const lossLitres = lossOf(body, litres);
  const lost = lossLitres.isZero() ? NOTHING : drawnFrom(opened, lossLitres);
  const lostComponents = lossLitres.isZero() ? NO_COMPONENTS : countedComponents(openedComponents, opened, lossLitres);
  const into = minus(opened, lost);
  const intoComponents = withoutComponents(openedComponents, lostComponents);
  const extractPlato = finding?.realExtractPlato ?? 0;
  const mixed = mixParts([{ name: 'reworked', amount: into, components: intoComponents, extractPlato }]);
  const { account: place } = account;
  const result = new NewComposition({ head, kind: 'rework', lot, place, vesselId: body.vesselId });
  const operation = result.operation({
    kind: 'rework',
    timing: 'draw',
    keyId: ctx.principalId,
    document: {
      packagedLotId: body.packagedLotId,
      ...(body.count === undefined ? { volumeL: litres.toFixed() } : { count: body.count }),
      vesselId: body.vesselId,
      fromCompositionId: from.compositionId,
      lossLitres: lossLitres.toFixed(),
    },
  });
  const draft = new OperationDraft(operation).move(
    place,
    nominalAccount(place, 'used-as-material', from.category),
    into,
    from,
    intoComponents,
  );
  result.receive(draft, 'used-as-material', into, intoComponents);
  draft.move(place, nominalAccount(place, 'process-loss', from.category), lost, from, lostComponents);
  result.find(mixed.finding, {
    standing: 'of-record',
    inputs: { from: finding?.id ?? null, packagedLotId: body.packagedLotId },
    warnings: mixed.warnings,
  });
  const { strengthPercent: strength } = mixed.finding;
  return {
    batch: {
      action: 'reworks.rework',
      ...booksOf(draft),
      rows: {
        ...result.rows,
        containerEvent: drawnRows(source.followed, body.serials, {
          operationId: head.id,
          event: 'emptied',
          packagedLotId: body.packagedLotId,
          litres,
          isMeasured: body.volume !== undefined,
        }),
      },
    },
    reads: readsOf(account),
    answer: new Answer(201, {
      ...eventAnswer(operation, into, mixed.warnings),
      findingId: String(result.findingId),
      strength: { value: strength.value, unit: '%' },
      expandedUncertainty: { value: strength.expanded, unit: '%' },
      loss: { value: lossLitres.toNumber(), unit: 'L' },
      category: lot.category,
    }),
  };
}
