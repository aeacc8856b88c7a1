import { uuidv7 } from 'uuidv7';
import { nominalAccount } from '../../src/ledger/books/account.js';
import { drawnFrom } from '../../src/ledger/books/amount.js';
import { drawnComponents } from '../../src/ledger/books/components.js';
import { booksOf, OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { Exact } from '../../src/metrology/decimals.js';
import { withConnection } from '../../src/platform/database/connection.js';
import type { RowOf } from '../../src/tenancy/producer-database/batch.js';
import { Answer } from '../../src/tenancy/producer-database/batch.js';
import type { RequestContext } from '../../src/tenancy/producer-database/context.js';
import type { Floor } from './floor.js';

export interface OpeningBottles {
  readonly mark: string;
  readonly category: string;
  readonly count: number;
  readonly nominalLitres: number;
  readonly declaredPercent: number;
  readonly percent: number;
  readonly strengthU: number;
  readonly container?: string;
}

export interface OpeningTank {
  readonly vessel: string;
  readonly category: string;
  readonly litres: number;
  readonly volumeU: number;
  /** Left out for what still ferments. */
  readonly percent?: number;
  readonly strengthU?: number;
}

export interface OpenedStock {
  readonly packaged: readonly string[];
  readonly lots: readonly string[];
  readonly vessels: readonly string[];
}

const L = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });

/** Opens the books of a floor with stock of known strength: figures that can be worked by hand. */
export async function openStock(
  floor: Floor,
  occurredAt: string,
  tanks: readonly OpeningTank[],
  bottles: readonly OpeningBottles[],
): Promise<OpenedStock> {
  const lots: string[] = [];
  const vessels: string[] = [];
  const liquids: object[] = [];
  for (const tank of tanks) {
    const lotId = await floor.lot(tank.category);
    const vesselId = await floor.vessel(tank.vessel);
    lots.push(lotId);
    vessels.push(vesselId);
    liquids.push({
      lotId,
      vesselId,
      volume: L(tank.litres),
      standardUncertainty: { value: tank.volumeU, unit: 'L' },
      ...(tank.percent === undefined
        ? {}
        : { strength: percent(tank.percent), strengthStandardUncertainty: { value: tank.strengthU, unit: '%' } }),
    });
  }
  const packaged: object[] = [];
  for (const each of bottles) {
    const lotId = await floor.lot(each.category);
    lots.push(lotId);
    packaged.push({
      lotId,
      container: each.container ?? 'bottle',
      nominalVolume: L(each.nominalLitres),
      count: each.count,
      lotMark: each.mark,
      declaredStrength: percent(each.declaredPercent),
      strength: percent(each.percent),
      strengthStandardUncertainty: { value: each.strengthU, unit: '%' },
      packagedOn: occurredAt.slice(0, 10),
    });
  }
  const opened = await floor.post('/v1/openings', { premisesId: floor.premisesId, occurredAt, liquids, packaged });
  return { packaged: opened.packagedLotIds as string[], lots, vessels };
}

/** The context of the producer's own key, for writes through the door where HTTP would take too long. */
async function contextOf(floor: Floor): Promise<RequestContext> {
  const keys = (await floor.get('/v1/keys')).items as { id: string }[];
  return {
    producerId: floor.producerId,
    principalId: keys[0].id,
    role: 'owner',
    scopes: new Set(),
    producerName: 'Invented Drinks',
    simulated: false,
  };
}

/** Releases of one container each, many in one write: two postings an operation, with components. */
export async function manyReleases(
  floor: Floor,
  packagedLotId: string,
  occurredAt: Date,
  count: number,
  atOnce = 250,
): Promise<void> {
  const ctx = await contextOf(floor);
  const door = floor.service.app.get(floor.service.program.ProducerDatabase);
  const stock = floor.service.app.get(floor.service.program.StockReader);
  for (let done = 0; done < count; done += atOnce) {
    // What autovacuum does within a minute: without statistics the planner takes any index that begins with the producer.
    await withConnection(floor.service.database.superuserUrl, (connection) => connection.query('ANALYZE'));
    await door.write(ctx, {
      read: (tx) => stock.ofPackagedLots(tx, ctx.producerId, [packagedLotId]),
      plan: ([account]) => {
        const drafts: OperationDraft[] = [];
        const movement: RowOf<'movement'>[] = [];
        let { balance, components } = account;
        const litres = new Exact('0.33');
        for (let n = 0; n < Math.min(atOnce, count - done); n += 1) {
          const id = uuidv7();
          const taken = drawnFrom(balance, litres);
          const share = drawnComponents(components, balance, litres);
          const place = { premisesId: floor.premisesId };
          const head = { id, kind: 'movement', timing: 'draw' as const, ...place, occurredAt, document: {} };
          drafts.push(
            new OperationDraft(head).move(
              account.account,
              nominalAccount(place, 'released', 'beer'),
              taken,
              { category: 'beer', packagedLotId },
              share,
            ),
          );
          movement.push({
            operationId: id,
            kind: 'release',
            packagedLotId,
            compositionId: null,
            materialLotId: null,
            count: 1,
            litres: '0.33',
            dutyDate: '2026-03-10',
            strengthForDutyPercent: '4.5',
            counterpartyTextId: null,
            witnessTextId: null,
            evidence: {},
          });
          balance = {
            litres: balance.litres.minus(taken.litres),
            fermented: balance.fermented.minus(taken.fermented),
            added: balance.added.minus(taken.added),
          };
          components = new Map(
            [...components].map(([origin, each]) => {
              const out = share.get(origin);
              return [
                origin,
                { litres: each.litres.minus(out?.litres ?? 0), lpa: each.lpa.minus(out?.lpa ?? 0) },
              ] as const;
            }),
          );
        }
        return {
          batch: { action: 'movements.create', ...booksOf(...drafts), rows: { movement } },
          answer: new Answer(201, {}),
        };
      },
    });
  }
}
