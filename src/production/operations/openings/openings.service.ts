import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { AccountKey } from '../../../ledger/books/account.js';
import { liquidAccount, nominalAccount, packagedAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, NOTHING, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { strengthComponents, volumeComponents } from '../../../ledger/books/components.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Lot } from '../../../generated/prisma/client.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { malformed, referenced } from '../../shared/references.js';
import type { FigureSource } from '../../shared/sources.js';
import { requireOneUncertainty, sourcesOf } from '../../shared/sources.js';
import type { NewOpening, OpeningAnswer, OpeningLiquid, OpeningPackaged, StatedStrength } from './openings.dto.js';
import { stated } from './stated-strength.js';

interface OpeningRead {
  readonly lots: ReadonlyMap<string, Lot>;
  readonly before: string | undefined;
  readonly head: bigint;
}

/** One thing in stock when the books begin. */
interface Item {
  readonly lot: Lot;
  readonly compositionId: string;
  readonly packagedLotId: string | undefined;
  readonly account: AccountKey;
  readonly amount: Amount;
  readonly components: Components;
  readonly found: StrengthFinding | undefined;
  readonly sources: readonly FigureSource[];
}

interface PackagedItem extends Item {
  readonly packagedLotId: string;
  readonly entry: OpeningPackaged;
}

/** Stock when a producer starts: once for each premises, before anything else is closed. */
@Injectable()
export class OpeningsService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
  ) {}

  open(ctx: RequestContext, body: NewOpening): Promise<Answer<OpeningAnswer>> {
    const entries = (body.liquids?.length ?? 0) + (body.packaged?.length ?? 0);
    if ((entries === 0) !== (body.nothing === true)) {
      throw malformed({
        pointer: '/liquids',
        rule: 'stock-or-nothing',
        detail: 'Give the liquids and packaged goods in stock, or nothing: true.',
      });
    }
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, body),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, body: NewOpening): Promise<OpeningRead> {
    await referenced(tx, producerId, 'premises', body.premisesId, '/premisesId');
    const lots = new Map<string, Lot>();
    for (const [list, entries] of [
      ['liquids', body.liquids ?? []],
      ['packaged', body.packaged ?? []],
    ] as const) {
      for (const [index, { lotId }] of entries.entries()) {
        lots.set(lotId, await referenced(tx, producerId, 'lot', lotId, `/${list}/${index}/lotId`));
      }
    }
    body.packaged?.forEach((each, index) =>
      requireOneUncertainty({ ...each, strength: each.strength ?? each.declaredStrength }, `/packaged/${index}`),
    );
    for (const [index, entry] of (body.liquids ?? []).entries()) {
      requireOneUncertainty(entry, `/liquids/${index}`);
      const { vesselId, instrumentId } = entry;
      if (instrumentId !== undefined) {
        await referenced(tx, producerId, 'instrument', instrumentId, `/liquids/${index}/instrumentId`);
      }
      const vessel = await referenced(tx, producerId, 'vessel', vesselId, `/liquids/${index}/vesselId`);
      const standing = await this.positions.inVessel(tx, producerId, vessel.id);
      if (standing !== undefined || body.liquids?.findIndex((each) => each.vesselId === vesselId) !== index) {
        throw new ProblemException(
          'vessel-in-use',
          'A vessel holds one lot: that one has been given another already.',
          {
            errors: [
              {
                pointer: `/liquids/${index}/vesselId`,
                rule: 'vessel-in-use',
                detail: 'Give another vessel, or one entry for all that is in it.',
              },
            ],
          },
        );
      }
    }
    const [seen] = await tx.$queryRaw<{ id: string }[]>`
      SELECT o.id FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.premises_id = ${body.premisesId}::uuid AND o.kind = 'opening'
         AND NOT is_reversed(o.producer_id, o.id) LIMIT 1`;
    const head = await tx.rowThere('producerHead', { producerId });
    return { lots, before: seen?.id, head: head.trailSequence };
  }

  private plan(body: NewOpening, { lots, before, head: trail }: OpeningRead, head: EventHead): Plan<OpeningAnswer> {
    if (before !== undefined) {
      throw new ProblemException('conflict', 'The opening stock of the premises has been entered already.', {
        errors: [
          {
            pointer: '/premisesId',
            rule: 'opened',
            detail: 'Correct that entry, or enter a stock-take.',
            operation: before,
          },
        ],
      });
    }
    const place = { premisesId: body.premisesId };
    const packaged = (body.packaged ?? []).map((each) => packagedItem(each, lotOf(lots, each.lotId), place.premisesId));
    const items = [
      ...(body.liquids ?? []).map((each) => liquidItem(each, lotOf(lots, each.lotId), place.premisesId)),
      ...packaged,
    ];
    const opening = {
      ...head,
      kind: 'opening',
      timing: 'change' as const,
      ...place,
      document: {
        nothing: items.length === 0,
        sources: items.flatMap(({ sources }) => sources.map((each) => ({ ...each }))),
      },
    };
    const draft = draftOf(opening, items);
    const total = items.reduce((sum, item) => plus(sum, item.amount), NOTHING);
    return {
      batch: {
        action: 'openings.open',
        ...booksOf(draft),
        rows: {
          composition: items.map(({ compositionId, lot }) =>
            compositionRow({
              id: compositionId,
              lotId: lot.id,
              ...place,
              kind: 'opening',
              operationId: head.id,
              openedAt: head.occurredAt,
            }),
          ),
          packagedLot: packaged.map((item) => packagedRow(item, body.premisesId, head.id)),
          finding: items.flatMap((item) => openingFinding(item, head.id, head.occurredAt)),
        },
      },
      head: trail,
      answer: new Answer(201, {
        operationId: head.id,
        occurredAt: head.occurredAt.toISOString(),
        volume: { value: total.litres.toNumber(), unit: 'L' },
        pureAlcohol: { value: pureAlcohol(total).toNumber(), unit: 'L' },
        compositionIds: items.map(({ compositionId }) => compositionId),
        packagedLotIds: items.flatMap(({ packagedLotId }) => (packagedLotId === undefined ? [] : [packagedLotId])),
        warnings: items.some(({ found }) => found === undefined)
          ? ['Liquid without a strength is in process: its alcohol is posted with its first finding.']
          : [],
      }),
    };
  }
}

function draftOf(opening: OperationHead, items: readonly Item[]): OperationDraft {
  const draft = new OperationDraft(opening);
  for (const { lot, compositionId, packagedLotId, account, amount: held, components } of items) {
    const subject = { category: lot.category, lotId: lot.id, compositionId, packagedLotId };
    draft.move(nominalAccount(account, 'opening', lot.category), account, held, subject, components);
  }
  return draft;
}

const lotOf = (lots: ReadonlyMap<string, Lot>, id: string): Lot => {
  const lot = lots.get(id);
  if (lot === undefined) {
    throw new Error('A lot that was read is missing.');
  }
  return lot;
};

function amountOf(litres: Decimal, entry: StatedStrength): Amount {
  const alcohol = toPlaces6HalfEven(litres.times(new Exact(entry.strength?.value ?? 0)).dividedBy(100));
  const added = toPlaces6HalfEven(alcohol.times(new Exact(entry.addedShare ?? 0)).dividedBy(100));
  return amount(litres, alcohol.minus(added), added);
}

const withStrength = (volume: Components, litres: Decimal, found: StrengthFinding | undefined): Components =>
  found === undefined
    ? volume
    : strengthComponents(volume, litres, found.strengthPercent.value, componentsByOrigin(found.strengthPercent.budget));

function liquidItem(entry: OpeningLiquid, lot: Lot, premisesId: string): Item {
  const compositionId = uuidv7();
  const { litres } = toBookLitres(entry.volume);
  const standard =
    entry.standardUncertainty === undefined
      ? DEFAULTS.dipOrSightGlass.standardUncertainty * litres.toNumber()
      : toBase('volume', entry.standardUncertainty);
  const found = stated(entry, compositionId, entry.realExtract);
  return {
    lot,
    compositionId,
    packagedLotId: undefined,
    account: liquidAccount({ premisesId, owner: lot.owner }, compositionId, entry.vesselId),
    amount: amountOf(litres, entry),
    components: withStrength(volumeComponents([[`vessel/${entry.vesselId}`, standard]]), litres, found),
    found,
    sources: sourcesOf(entry),
  };
}

function packagedItem(entry: OpeningPackaged, lot: Lot, premisesId: string): PackagedItem {
  const compositionId = uuidv7();
  const packagedLotId = uuidv7();
  const litres = toBookLitres(entry.nominalVolume).litres.times(entry.count);
  const found = stated({ ...entry, strength: entry.strength ?? entry.declaredStrength }, compositionId);
  return {
    entry,
    lot,
    compositionId,
    packagedLotId,
    account: packagedAccount({ premisesId, owner: lot.owner }, packagedLotId),
    amount: amountOf(litres, { ...entry, strength: entry.strength ?? entry.declaredStrength }),
    components: withStrength(volumeComponents([]), litres, found),
    found,
    sources: sourcesOf({ ...entry, strength: entry.strength ?? entry.declaredStrength }),
  };
}

const openingFinding = (item: Item, operationId: string, sampledAt: Date): RowOf<'finding'>[] =>
  item.found === undefined
    ? []
    : [
        findingRow(
          {
            id: uuidv7(),
            lotId: item.lot.id,
            compositionId: item.compositionId,
            standing: 'of-record',
            operationId,
            sampledAt,
            inputs: {
              stated: item.found.strengthPercent.value,
              ...(item.sources.length === 0 ? {} : { sources: item.sources.map((each) => ({ ...each })) }),
            },
            warnings: [],
          },
          item.found,
        ),
      ];

const packagedRow = (
  { entry, ...item }: PackagedItem,
  premisesId: string,
  operationId: string,
): RowOf<'packagedLot'> => ({
  id: item.packagedLotId,
  lotId: item.lot.id,
  compositionId: item.compositionId,
  premisesId,
  container: entry.container,
  nominalLitres: toBookLitres(entry.nominalVolume).litres.toFixed(),
  count: entry.count,
  lotMark: entry.lotMark,
  declaredStrengthPercent: String(entry.declaredStrength.value),
  dispense: null,
  category: item.lot.category,
  packagedOn: entry.packagedOn,
  operationId,
});
