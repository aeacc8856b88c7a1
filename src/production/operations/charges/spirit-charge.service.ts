import { Injectable } from '@nestjs/common';
import type { Vessel } from '../../../generated/prisma/client.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import { bookStrengthPercent, drawnFrom } from '../../../ledger/books/amount.js';
import { measuredComponents, NO_COMPONENTS } from '../../../ledger/books/components.js';
import type { Measure } from '../../../ledger/books/components.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf, StockReader } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { toBookLitres } from '../../../metrology/units.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireEmpty } from '../../measuring/position/vessel-liquid.js';
import { measuredVolume } from '../../measuring/volumes/measured-volume.js';
import { drawMeasure } from '../../measuring/volumes/draw-measure.js';
import { requireSameOwner } from '../../shared/owner.js';
import { malformed, missingReference, referenced } from '../../shared/references.js';
import { mixtureAnswer } from '../composition/mixture-answer.js';
import type { Part } from '../composition/mixtures.js';
import { mixParts } from '../composition/mixtures.js';
import { NewComposition } from '../composition/new-composition.js';
import { requireWaterOrTarget, waterPart } from '../composition/water.js';
import type { SpiritCharge, SpiritChargeAnswer } from './charges.dto.js';

interface SpiritRead {
  readonly position: LotPosition;
  readonly standing: CompositionPosition | undefined;
  readonly vessel: Vessel;
  readonly stock: readonly StockAccount[];
}

/** Spirit that is drawn from a material lot. */
interface DrawnSpirit extends Part {
  readonly stock: StockAccount;
}

/** Spirit out of its material lots, with water, to a mixture whose strength follows from its parts. */
@Injectable()
export class SpiritChargeService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly stock: StockReader,
  ) {}

  charge(ctx: RequestContext, lotId: string, body: SpiritCharge): Promise<Answer<SpiritChargeAnswer>> {
    requireWaterOrTarget(body);
    const ids = body.spirits.map(({ materialLotId }) => materialLotId);
    if (new Set(ids).size < ids.length) {
      throw malformed({ pointer: '/spirits', rule: 'not-unique', detail: 'A material lot is named twice.' });
    }
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body, ids),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(
    tx: Tx,
    producerId: string,
    lotId: string,
    body: SpiritCharge,
    ids: readonly string[],
  ): Promise<SpiritRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    const vessel = await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    return {
      position,
      vessel,
      standing: await this.positions.inVessel(tx, producerId, body.vesselId),
      stock: await this.stock.ofMaterialLots(tx, producerId, ids),
    };
  }

  private plan(
    body: SpiritCharge,
    { position: { lot }, standing, vessel, stock }: SpiritRead,
    head: EventHead,
  ): Plan<SpiritChargeAnswer> {
    requireEmpty(standing, '/vesselId');
    const spirits = body.spirits.map((spirit, index) => draw(spirit, index, stock, `operation/${head.id}`));
    for (const [index, { stock: drawn }] of spirits.entries()) {
      requireSameOwner(lot.owner, drawn.account.owner, `/spirits/${index}/materialLotId`);
    }
    const water = waterPart(body, spirits, `operation/${head.id}`);
    const waterL = water.amount.litres;
    const mixed = mixParts([...spirits, water]);
    const place = { premisesId: vessel.premisesId, owner: lot.owner };
    const result = new NewComposition({ head, kind: 'mixture', lot, place, vesselId: vessel.id });
    const { warnings } = mixed;
    const operation = result.operation({
      kind: 'spirit-charge',
      timing: 'change',
      document: {
        vesselId: vessel.id,
        spirits: body.spirits.map((spirit) => ({ ...spirit })),
        waterL: waterL.toFixed(),
        targetStrength: body.targetStrength ?? null,
        volumeChangeL: mixed.volumeChange.toFixed(),
        warnings,
      },
    });
    const draft = new OperationDraft(operation);
    for (const { stock: from, amount, components } of spirits) {
      const material = { category: 'materials', materialLotId: from.account.materialLotId };
      const used = nominalAccount(from.account, 'used-as-material', 'materials');
      draft.move(from.account, used, amount, material, components);
      result.receive(draft, 'used-as-material', amount, components);
    }
    result.receive(draft, 'liquid-added', water.amount, water.components);
    result.receiveVolumeChange(draft, mixed);
    const parts = [...spirits.map(({ stock: { account } }) => account.materialLotId), 'water'];
    result.find(mixed.finding, { standing: 'of-record', inputs: { parts }, warnings });
    return {
      batch: { action: 'charges.spirit', ...booksOf(draft), rows: result.rows },
      reads: readsOf(...spirits.map((each) => each.stock)),
      answer: new Answer(201, {
        ...mixtureAnswer(operation, mixed),
        findingId: String(result.findingId),
        water: { value: waterL.toNumber(), unit: 'L' },
      }),
    };
  }
}

/** Litres at 20 °C of what was measured out, and the error of the measure. */
function measuredOut(
  { volume, temperature, standardUncertainty }: SpiritCharge['spirits'][number],
  strengthPercent: number,
  origin: string,
): { litres: Decimal; measure: Measure } {
  if (temperature === undefined) {
    const { litres } = toBookLitres(volume);
    return { litres, measure: drawMeasure(origin, litres, standardUncertainty) };
  }
  const liquid = { kind: 'drink', strengthPercent, extractPlato: 0 } as const;
  const read = { volume, temperature, standardUncertainty };
  const { litres, standardUncertaintyL } = measuredVolume(read, liquid, undefined, { scale: origin, reading: origin });
  return { litres, measure: { origin, standardUncertaintyL } };
}

function draw(
  spirit: SpiritCharge['spirits'][number],
  index: number,
  accounts: readonly StockAccount[],
  operation: string,
): DrawnSpirit {
  const { materialLotId } = spirit;
  const stock = accounts.find(({ account }) => account.materialLotId === materialLotId);
  if (stock === undefined) {
    throw missingReference(`/spirits/${index}/materialLotId`);
  }
  const { balance } = stock;
  const { litres, measure } = measuredOut(spirit, bookStrengthPercent(balance) ?? 0, `${operation}/spirits/${index}`);
  if (litres.greaterThan(balance.litres)) {
    const detail = `${balance.litres.toFixed()} L of that spirit are in stock; ${litres.toFixed()} L were asked for.`;
    throw new ProblemException('insufficient-stock', detail, {
      errors: [{ pointer: `/spirits/${index}/volume`, rule: 'insufficient-stock', detail }],
    });
  }
  return {
    name: stock.id,
    stock,
    amount: drawnFrom(balance, litres),
    components: litres.isZero() ? NO_COMPONENTS : measuredComponents(stock.components, balance, litres, measure),
    extractPlato: 0,
  };
}
