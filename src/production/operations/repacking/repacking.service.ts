import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import type { AccountKey } from '../../../ledger/books/account.js';
import { nominalAccount, packagedAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { drawnFrom, minus } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { drawnComponents, withoutComponents } from '../../../ledger/books/components.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact } from '../../../metrology/decimals.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Facts, Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { eventAnswer } from '../../shared/event.js';
import { bookStrength, checkLabel } from '../../shared/labels/label-check.js';
import { localDay } from '../../shared/local-day.js';
import { malformed } from '../../shared/references.js';
import type { PackedDraw, PackedStock } from './packed-stock.reader.js';
import { drawContainers, PackedStockReader } from './packed-stock.reader.js';
import type { ContainerEvent } from '../containers/container-events.js';
import { containerRows, requireSerialEach } from '../containers/container-events.js';
import { labelFlags } from '../packaging/run-flags.js';
import { packedStrengthOf } from '../packaging/packaged-lots.dto.js';
import type { NewRelabelling, NewRepacking, RepackedAnswer } from './repacking.dto.js';

/** The new packaged lot, as its row says. */
interface NewPacked {
  readonly container: string;
  readonly nominalLitres: string;
  readonly count: number;
  readonly lotMark: string;
  readonly declaredStrengthPercent: string;
  readonly dispense: string | null;
  readonly category: string;
  readonly packagedOn: string;
}

interface Repacked {
  readonly kind: 'repacking' | 'relabelling';
  readonly packed: NewPacked;
  readonly drawn: PackedDraw;
  readonly received: Amount;
  readonly receivedComponents: Components;
  readonly reasonDocument: Facts;
  /** Containers with serials; of the new packaged lot where none is named. */
  readonly containers: readonly {
    readonly event: ContainerEvent;
    readonly serials: readonly string[] | undefined;
    readonly packagedLotId: string | undefined;
    readonly litres: Decimal;
  }[];
}

/** Packed goods become other packed goods: other containers, another label, another category. */
@Injectable()
export class RepackingService {
  constructor(
    private readonly events: EventWriter,
    private readonly packed: PackedStockReader,
  ) {}

  repack(ctx: RequestContext, id: string, body: NewRepacking): Promise<Answer<RepackedAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx, { occurredAt }) => this.packed.of(tx, ctx.producerId, id, occurredAt),
      plan: (read, head) => this.repacking(body, read, head),
    });
  }

  relabel(ctx: RequestContext, id: string, body: NewRelabelling): Promise<Answer<RepackedAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx, { occurredAt }) => this.packed.of(tx, ctx.producerId, id, occurredAt),
      plan: (read, head) => this.relabelling(body, read, head),
    });
  }

  private repacking(body: NewRepacking, read: PackedStock, head: EventHead): Plan<RepackedAnswer> {
    const { lot } = read;
    const { into } = body;
    requireSerialEach(into.serials, into.count, '/into/serials');
    const drawn = drawContainers(read, body);
    const nominal = toBookLitres(into.nominalVolume).litres;
    const litres = nominal.times(into.count);
    requireRoom(drawn.amount.litres, litres, body.loss === undefined ? undefined : toBookLitres(body.loss).litres);
    return this.plan(head, read, {
      kind: 'repacking',
      packed: {
        container: into.container,
        nominalLitres: nominal.toFixed(),
        count: into.count,
        lotMark: into.lotMark ?? lot.lotMark,
        declaredStrengthPercent: lot.declaredStrengthPercent,
        dispense: into.dispense ?? null,
        category: lot.category,
        packagedOn: into.packagedOn ?? localDay(head.occurredAt, read.timeZone),
      },
      drawn,
      received: drawnFrom(drawn.amount, litres),
      receivedComponents: drawnComponents(drawn.components, drawn.amount, litres),
      reasonDocument: {
        opened: body.count,
        ...(body.serials === undefined ? {} : { openedSerials: body.serials }),
        ...(into.serials === undefined ? {} : { serials: into.serials }),
      },
      containers: [
        { event: 'emptied', serials: body.serials, packagedLotId: lot.id, litres: new Exact(lot.nominalLitres) },
        { event: 'filled', serials: into.serials, packagedLotId: undefined, litres: nominal },
      ],
    });
  }

  private relabelling(body: NewRelabelling, read: PackedStock, head: EventHead): Plan<RepackedAnswer> {
    const { lot } = read;
    const { declaredStrength, lotMark = lot.lotMark, category = lot.category } = body;
    const declared = declaredStrength === undefined ? lot.declaredStrengthPercent : String(declaredStrength.value);
    const same = new Exact(declared).equals(lot.declaredStrengthPercent);
    if (same && lotMark === lot.lotMark && category === lot.category) {
      throw malformed({
        pointer: '',
        rule: 'nothing-changed',
        detail: 'Give a declaredStrength, a lotMark or a category other than the present one.',
      });
    }
    const drawn = drawContainers(read, body);
    return this.plan(head, read, {
      kind: 'relabelling',
      packed: { ...lot, count: body.count, lotMark, category, declaredStrengthPercent: declared },
      drawn,
      received: drawn.amount,
      receivedComponents: drawn.components,
      containers: [
        { event: 'relabelled', serials: body.serials, packagedLotId: undefined, litres: new Exact(lot.nominalLitres) },
      ],
      reasonDocument: {
        ...(body.serials === undefined ? {} : { serials: body.serials }),
        before: {
          declaredStrengthPercent: lot.declaredStrengthPercent,
          lotMark: lot.lotMark,
          category: lot.category,
        },
      },
    });
  }

  private plan(head: EventHead, { lot, settings, strength }: PackedStock, repacked: Repacked): Plan<RepackedAnswer> {
    const { packed, drawn, received, receivedComponents } = repacked;
    const packagedLotId = uuidv7();
    const lost = minus(drawn.amount, received);
    const declared = Number(packed.declaredStrengthPercent);
    const known = strength ?? bookStrength(received, receivedComponents);
    const labelCheck = checkLabel(known, declared, settings);
    const flags = labelFlags(
      { expandedUncertainty: COVERAGE_95 * known.standardUncertainty, ...known },
      declared,
      settings,
    );
    const place = drawn.stock.account;
    const operation: OperationHead = {
      ...head,
      kind: repacked.kind,
      timing: 'draw',
      premisesId: place.premisesId,
      lotId: lot.lotId,
      compositionId: lot.compositionId,
      document: {
        fromPackagedLotId: lot.id,
        packagedLotId,
        ...repacked.reasonDocument,
        count: packed.count,
        nominalLitres: packed.nominalLitres,
        lossLitres: lost.litres.toFixed(),
        flags: flags.map(({ code }) => code),
        labelCheck: { ...labelCheck },
      },
    };
    return {
      batch: {
        action: `packaging.${repacked.kind}`,
        ...booksOf(draftOf(operation, repacked, packagedAccount(place, packagedLotId), lost)),
        rows: {
          packagedLot: [packedRow(packagedLotId, lot, packed, place.premisesId, head.id)],
          containerEvent: repacked.containers.flatMap(({ serials, event, litres, ...of }) =>
            containerRows(serials, {
              operationId: head.id,
              event,
              litres,
              packagedLotId: of.packagedLotId ?? packagedLotId,
            }),
          ),
        },
      },
      reads: readsOf(drawn.stock),
      answer: new Answer(
        201,
        {
          ...eventAnswer(operation, received, []),
          packagedLotId,
          fromPackagedLotId: lot.id,
          lotMark: packed.lotMark,
          category: packed.category,
          count: packed.count,
          loss: { value: lost.litres.toNumber(), unit: 'L' },
          declaredStrength: { value: declared, unit: '%' },
          ...packedStrengthOf(strength),
          flags: flags.map(({ code }) => code),
          labelCheck,
        },
        { location: `/v1/packaged-lots/${packagedLotId}` },
      ),
    };
  }
}

/** Out of the old containers, into the new ones; between categories each category by itself. */
function draftOf(operation: OperationHead, repacked: Repacked, into: AccountKey, lost: Amount): OperationDraft {
  const { drawn, received, receivedComponents, packed } = repacked;
  const { account } = drawn.stock;
  const from = drawn.subject;
  const to = { ...from, category: packed.category, packagedLotId: into.packagedLotId };
  const draft = new OperationDraft(operation);
  if (from.category === to.category) {
    draft.move(account, into, received, from, receivedComponents, to);
  } else {
    draft
      .move(account, nominalAccount(account, 'category-moves', from.category), received, from, receivedComponents)
      .move(nominalAccount(account, 'category-moves', to.category), into, received, to, receivedComponents);
  }
  return draft.move(
    account,
    nominalAccount(account, 'packaging-loss', from.category),
    lost,
    from,
    withoutComponents(drawn.components, receivedComponents),
  );
}

const packedRow = (
  id: string,
  lot: PackedStock['lot'],
  packed: NewPacked,
  premisesId: string,
  operationId: string,
): RowOf<'packagedLot'> => ({
  id,
  lotId: lot.lotId,
  compositionId: lot.compositionId,
  premisesId,
  container: packed.container,
  nominalLitres: packed.nominalLitres,
  count: packed.count,
  lotMark: packed.lotMark,
  declaredStrengthPercent: packed.declaredStrengthPercent,
  dispense: packed.dispense,
  category: packed.category,
  packagedOn: packed.packagedOn,
  operationId,
});

/** @throws ProblemException `insufficient-stock` for more than was opened; `validation-failed` for a loss that does not make up the rest */
function requireRoom(opened: Decimal, filled: Decimal, loss: Decimal | undefined): void {
  if (filled.greaterThan(opened)) {
    throw new ProblemException(
      'insufficient-stock',
      `The new containers hold ${filled.toFixed()} L, and ${opened.toFixed()} L were opened.`,
      {
        errors: [
          {
            pointer: '/into/count',
            rule: 'insufficient-stock',
            detail: 'Check the count and the nominal volume of the new containers.',
          },
        ],
        members: { openedLitres: opened.toNumber(), filledLitres: filled.toNumber() },
      },
    );
  }
  const rest = opened.minus(filled);
  if (loss !== undefined && !loss.equals(rest)) {
    throw malformed({
      pointer: '/loss',
      rule: 'adds-up',
      detail: `What was opened less what was filled is ${rest.toFixed()} L; leave the loss out, or count again.`,
    });
  }
}
