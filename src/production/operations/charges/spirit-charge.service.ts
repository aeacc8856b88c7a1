import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { dilute } from '../../../alcoholometry/mixing/dilution.js';
import { mix } from '../../../alcoholometry/mixing/mix.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, bookStrengthPercent, drawnFrom } from '../../../ledger/books/amount.js';
import { NO_COMPONENTS, drawnComponents, volumeComponents } from '../../../ledger/books/components.js';
import type { Components } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf, StockReader } from '../../../ledger/books/stock.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Vessel } from '../../../generated/prisma/client.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import { eventAnswer, eventParts } from '../../shared/event.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import type { Part } from '../composition/mixtures.js';
import { mixParts } from '../composition/mixtures.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireSameOwner } from '../../shared/owner.js';
import { malformed, missingReference, referenced } from '../../shared/references.js';
import type { SpiritCharge, SpiritChargeAnswer } from './charges.dto.js';
import { requireEmpty } from './wash-charge.service.js';

interface SpiritRead {
  readonly position: LotPosition;
  readonly standing: CompositionPosition | undefined;
  readonly vessel: Vessel;
  readonly stock: readonly StockAccount[];
}

interface Drawn {
  readonly stock: StockAccount;
  readonly amount: Amount;
  readonly components: Components;
}

/** Spirit out of its material lots, with water, to a mixture whose strength follows from its parts. */
@Injectable()
export class SpiritChargeService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly positions: PositionReader,
    private readonly stock: StockReader,
  ) {}

  charge(ctx: RequestContext, lotId: string, body: SpiritCharge): Promise<Answer<SpiritChargeAnswer>> {
    if ((body.water === undefined) === (body.targetStrength === undefined)) {
      throw malformed({ pointer: '/water', rule: 'one-of-two', detail: 'Give either water or targetStrength.' });
    }
    const ids = body.spirits.map(({ materialLotId }) => materialLotId);
    if (new Set(ids).size < ids.length) {
      throw malformed({ pointer: '/spirits', rule: 'not-unique', detail: 'A material lot is named twice.' });
    }
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body, ids),
      plan: (read) => this.plan(body, read),
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

  private plan(body: SpiritCharge, { position, standing, vessel, stock }: SpiritRead): Plan<SpiritChargeAnswer> {
    requireEmpty(standing, '/vesselId');
    const { lot } = position;
    const { head, personalText } = eventParts(body, this.clock.now());
    const drawn = body.spirits.map((spirit, index) => draw(spirit, index, stock));
    for (const [index, each] of drawn.entries()) {
      requireSameOwner(lot.owner, each.stock.account.owner, `/spirits/${index}/materialLotId`);
    }
    const water = waterOf(body, drawn);
    const waterComponents = volumeComponents([
      [
        `operation/${head.id}/water`,
        body.waterStandardUncertainty ?? DEFAULTS.flowMeter.standardUncertainty * water.toNumber(),
      ],
    ]);
    const parts: Part[] = drawn.map((each) => ({
      name: each.stock.id,
      amount: each.amount,
      components: each.components,
      extractPlato: 0,
    }));
    const mixed = mixParts([
      ...parts,
      { name: 'water', amount: amount(water), components: waterComponents, extractPlato: 0 },
    ]);

    const compositionId = uuidv7();
    const findingId = uuidv7();
    const place = { premisesId: vessel.premisesId, owner: lot.owner };
    const subject = { category: lot.category, lotId: lot.id, compositionId };
    const into = liquidAccount(place, compositionId, vessel.id);
    const usedFor = nominalAccount(place, 'used-as-material', lot.category);
    const charge = {
      ...head,
      kind: 'spirit-charge',
      timing: 'change' as const,
      premisesId: place.premisesId,
      lotId: lot.id,
      compositionId,
      document: {
        vesselId: vessel.id,
        spirits: body.spirits.map((spirit) => ({ ...spirit })),
        waterL: water.toFixed(),
        targetStrength: body.targetStrength ?? null,
        volumeChangeL: mixed.volumeChange.toFixed(),
        warnings: mixed.warnings,
      },
    };
    const draft = new OperationDraft(charge);
    for (const each of drawn) {
      const material = { category: 'materials', materialLotId: each.stock.account.materialLotId };
      draft
        .move(
          each.stock.account,
          nominalAccount(each.stock.account, 'used-as-material', 'materials'),
          each.amount,
          material,
          each.components,
        )
        .move(usedFor, into, each.amount, subject, each.components);
    }
    draft
      .move(nominalAccount(place, 'liquid-added', lot.category), into, amount(water), subject, waterComponents)
      .move(
        nominalAccount(place, 'mixing-volume-change', lot.category),
        into,
        amount(mixed.volumeChange),
        subject,
        mixed.changeComponents,
      );
    return {
      batch: {
        action: 'charges.spirit',
        ...booksOf(draft),
        rows: {
          composition: [
            compositionRow({
              id: compositionId,
              lotId: lot.id,
              premisesId: place.premisesId,
              kind: 'mixture',
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
                inputs: { parts: [...drawn.map((each) => each.stock.account.materialLotId), 'water'] },
                warnings: mixed.warnings,
              },
              mixed.finding,
            ),
          ],
        },
        personalText,
      },
      reads: readsOf(...drawn.map((each) => each.stock)),
      answer: new Answer(201, {
        ...eventAnswer(charge, mixed.amount, mixed.warnings),
        findingId,
        strength: { value: mixed.finding.strengthPercent.value, unit: '%' },
        water: { value: water.toNumber(), unit: 'L' },
        volumeChange: { value: mixed.volumeChange.toNumber(), unit: 'L' },
      }),
    };
  }
}

function draw(spirit: SpiritCharge['spirits'][number], index: number, stock: readonly StockAccount[]): Drawn {
  const account = stock.find((each) => each.account.materialLotId === spirit.materialLotId);
  if (account === undefined) {
    throw missingReference(`/spirits/${index}/materialLotId`);
  }
  const { litres } = toBookLitres(spirit.volume);
  if (litres.greaterThan(account.balance.litres)) {
    throw new ProblemException('insufficient-stock', 'There is less of the spirit than that.', {
      errors: [
        {
          pointer: `/spirits/${index}/volume`,
          rule: 'insufficient-stock',
          detail: `The books hold ${account.balance.litres.toFixed()} L.`,
        },
      ],
    });
  }
  return {
    stock: account,
    amount: drawnFrom(account.balance, litres),
    components: litres.isZero() ? NO_COMPONENTS : drawnComponents(account.components, account.balance, litres),
  };
}

function waterOf(body: SpiritCharge, drawn: readonly Drawn[]): Decimal {
  if (body.water !== undefined) {
    return toBookLitres(body.water).litres;
  }
  const strong = mix(
    drawn.map((each) => ({
      volumeL: each.amount.litres.toNumber(),
      strengthPercent: bookStrengthPercent(each.amount) ?? 0,
    })),
  );
  const { waterVolumeL } = dilute({
    strengthPercent: strong.strengthPercent,
    targetStrengthPercent: body.targetStrength?.value ?? 0,
    volumeL: strong.volumeL,
  });
  return toPlaces6HalfEven(new Exact(waterVolumeL));
}
