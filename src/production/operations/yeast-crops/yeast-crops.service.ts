import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { materialAccount, nominalAccount } from '../../../ledger/books/account.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { eventAnswer } from '../../shared/event.js';
import { liquidIn } from '../../measuring/position/vessel-liquid.js';
import { MaterialReader } from '../../registers/materials/material.reader.js';
import type { Material } from '../../registers/materials/materials.dto.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { drawFrom, findingNow } from '../../measuring/position/vessel-draw.js';
import { ownerOf } from '../../shared/owner.js';
import { missingReference, referenced } from '../../shared/references.js';
import type { NewYeastCrop, YeastCropAnswer } from './yeast-crops.dto.js';

interface CropRead {
  readonly position: LotPosition;
  readonly material: Material;
}

/** Yeast is cropped: slurry out of the vessel into a material lot that keeps its alcohol. */
@Injectable()
export class YeastCropsService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly materials: MaterialReader,
  ) {}

  crop(ctx: RequestContext, lotId: string, body: NewYeastCrop): Promise<Answer<YeastCropAnswer>> {
    return this.events.write(ctx, body, {
      read: async (tx) => {
        const position = await this.positions.ofLot(tx, ctx.producerId, lotId);
        await referenced(tx, ctx.producerId, 'vessel', body.vesselId, '/vesselId');
        const material = await this.materials.row(tx, ctx.producerId, body.materialId);
        if (material === undefined) {
          throw missingReference('/materialId');
        }
        return { position, material };
      },
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private plan(body: NewYeastCrop, { position, material }: CropRead, head: EventHead): Plan<YeastCropAnswer> {
    requireYeast(material);
    const { target, account } = liquidIn(position, body.vesselId);
    const finding = requireFinding(target);
    const drawn = drawFrom(target, account, toBookLitres(body.volume).litres, '/volume');
    const strength = bookStrengthPercent(drawn.amount) ?? 0;
    const place = account.account;
    const materialLotId = uuidv7();
    const crop = {
      ...head,
      kind: 'yeast-crop',
      timing: 'draw' as const,
      premisesId: place.premisesId,
      lotId: position.lot.id,
      compositionId: target.composition.id,
      document: { vesselId: body.vesselId, materialLotId, litres: drawn.amount.litres.toFixed(), finding: finding.id },
    };
    const { amount, subject, components } = drawn;
    const into = { category: 'materials', materialLotId };
    const draft = new OperationDraft(crop)
      .move(place, nominalAccount(place, 'category-moves', subject.category), amount, subject, components)
      .move(
        nominalAccount(place, 'category-moves', 'materials'),
        materialAccount(place, materialLotId),
        amount,
        into,
        components,
      );
    return {
      batch: {
        action: 'yeast-crops.crop',
        ...booksOf(draft),
        rows: {
          materialLot: [
            {
              id: materialLotId,
              materialId: body.materialId,
              premisesId: place.premisesId,
              code: body.materialLotCode,
              supplier: null,
              supplierLot: null,
              documentNumber: null,
              documentDate: null,
              receivedAt: head.occurredAt.toISOString(),
              quantity: drawn.amount.litres.toFixed(),
              unit: 'L',
              strengthPercent: strength.toFixed(6),
              dutyStatus: place.dutyStatus,
              owner: ownerOf(place.owner),
              operationId: head.id,
            },
          ],
        },
      },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...eventAnswer(crop, drawn.amount, []),
        materialLotId,
        strength: { value: strength, unit: '%' },
      }),
    };
  }
}

function requireFinding(target: CompositionPosition): FindingRow {
  const finding = findingNow(target);
  if (finding === undefined) {
    const { id, lotCode } = target.composition;
    throw new ProblemException('finding-needed', `The strength of lot ${lotCode} is not known yet.`, {
      errors: [
        {
          pointer: '/vesselId',
          rule: 'finding-needed',
          detail: 'The slurry takes alcohol with it: enter a finding first; a provisional one is enough.',
          composition: id,
        },
      ],
    });
  }
  return finding;
}

function requireYeast({ kind }: Material): void {
  if (kind !== 'yeast') {
    const detail = `The material is of the kind ${kind}.`;
    throw new ProblemException('conflict', detail, {
      errors: [{ pointer: '/materialId', rule: 'yeast-needed', detail: 'Give a material of the kind yeast.' }],
    });
  }
}
