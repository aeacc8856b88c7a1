import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { Prisma } from '../../../generated/prisma/client.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { rectangular } from '../../../alcoholometry/strength/finding.js';
import { materialAccount, nominalAccount } from '../../../ledger/books/account.js';
import { amount } from '../../../ledger/books/amount.js';
import { strengthComponents, volumeComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import { inDays, isNamed } from '../../../platform/database/day-filter.js';
import type { Page } from '../../../platform/pagination.js';
import { filteredList, idCursor, pageOf } from '../../../platform/pagination.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { MaterialReader } from '../../registers/materials/material.reader.js';
import type { Material } from '../../registers/materials/materials.dto.js';
import { dateOf } from '../../shared/local-day.js';
import { ownerOf } from '../../shared/owner.js';
import { malformed, missingReference, referenced } from '../../shared/references.js';
import { requireOneUncertainty, sourcesOf } from '../../shared/sources.js';
import { ON_HAND } from '../material-stock/material-stock.reader.js';
import type { Flag } from '../../shared/flag.dto.js';
import type {
  MaterialLotFacts,
  MaterialLot,
  MaterialLotQuery,
  NewMaterialLot,
  ReceivedMaterialLot,
} from './material-lots.dto.js';
import { toMaterialLot } from './material-lots.dto.js';
import { receivedStrength } from './received-strength.js';

/** Half-width of a label's strength, % vol. Common practice, no source. */
const LABEL_HALF_WIDTH_PERCENT = 0.3;

interface ReceiptRead {
  readonly material: Material;
  /** A material lot of the premises that has the code already. */
  readonly namesakeId: string | undefined;
}

const codeInUse = (code: string, id: string): Flag => ({
  code: 'name-in-use',
  detail: `A material lot of these premises has the code ${code} already (/v1/material-lots/${id}). If this is the same delivery, it is entered twice: reverse the receipt, or count the lot down to zero. If not, give each delivery a code of its own.`,
});

/** Materials as they come in; what bears alcohol goes into the books. */
@Injectable()
export class MaterialLotsService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly events: EventWriter,
    private readonly materials: MaterialReader,
  ) {}

  receive(ctx: RequestContext, body: NewMaterialLot): Promise<Answer<ReceivedMaterialLot>> {
    if ((body.mass === undefined) === (body.volume === undefined)) {
      throw malformed({ pointer: '/volume', rule: 'one-of-two', detail: 'Give either mass or volume.' });
    }
    requireOneUncertainty(body);
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, body),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  async list(ctx: RequestContext, query: MaterialLotQuery): Promise<Page<MaterialLot>> {
    const list = filteredList('material-lot', query);
    const rows = await this.rows(ctx, { ...query, after: idCursor(list, query.cursor) }, query.limit + 1);
    return pageOf(list, rows, query.limit, (row) => [row.id], toMaterialLot);
  }

  async get(ctx: RequestContext, id: string): Promise<MaterialLot> {
    const [row] = await this.rows(ctx, { id }, 1);
    return row === undefined ? notFound() : toMaterialLot(row);
  }

  private async read(tx: Tx, producerId: string, body: NewMaterialLot): Promise<ReceiptRead> {
    await referenced(tx, producerId, 'premises', body.premisesId, '/premisesId');
    const material = await this.materials.row(tx, producerId, body.materialId);
    if (material === undefined) {
      throw missingReference('/materialId');
    }
    const sameCode = await tx.$queryRaw<{ id: string }[]>`
      SELECT l.id FROM material_lot l
       WHERE l.producer_id = ${producerId}::uuid AND l.premises_id = ${body.premisesId}::uuid AND ${isNamed(Prisma.sql`l.code`, body.code)}
       ORDER BY l.id LIMIT 1`;
    return { material, namesakeId: sameCode.at(0)?.id };
  }

  private plan(
    body: NewMaterialLot,
    { material, namesakeId }: ReceiptRead,
    head: EventHead,
  ): Plan<ReceivedMaterialLot> {
    const id = uuidv7();
    const strength = receivedStrength(body, material);
    const draft = strength !== null && strength > 0 ? receipt(body, head, id, strength) : undefined;
    const received = quantityOf(body);
    const facts: MaterialLotFacts = {
      id,
      materialId: body.materialId,
      premisesId: body.premisesId,
      code: body.code,
      supplier: body.supplier ?? null,
      supplierLot: body.supplierLot ?? null,
      documentNumber: body.document?.number ?? null,
      documentDate: body.document === undefined ? null : dateOf(body.document.date),
      ...received,
      onHand: received.quantity,
      strengthPercent: strength,
      dutyStatus: dutyStatusOf(body, draft !== undefined),
      owner: ownerOf(body.owner),
      receivedAt: head.occurredAt,
      operationId: draft === undefined ? null : head.id,
    };
    return {
      batch: {
        action: 'material-lots.receive',
        ...(draft === undefined ? {} : booksOf(draft)),
        rows: {
          materialLot: [
            {
              id,
              materialId: facts.materialId,
              premisesId: facts.premisesId,
              code: facts.code,
              supplier: facts.supplier,
              supplierLot: facts.supplierLot,
              documentNumber: facts.documentNumber,
              documentDate: body.document?.date ?? null,
              receivedAt: facts.receivedAt.toISOString(),
              quantity: new Exact(facts.quantity).toDecimalPlaces(6).toFixed(),
              unit: facts.unit,
              strengthPercent: facts.strengthPercent?.toString() ?? null,
              dutyStatus: facts.dutyStatus,
              owner: facts.owner,
              operationId: facts.operationId,
            },
          ],
        },
      },
      answer: new Answer(
        201,
        {
          ...toMaterialLot(facts),
          ...(namesakeId === undefined ? {} : { flags: [codeInUse(body.code, namesakeId)] }),
        },
        { location: `/v1/material-lots/${id}` },
      ),
    };
  }

  private rows(
    ctx: RequestContext,
    filter: Partial<MaterialLotQuery> & { readonly after?: string | null; readonly id?: string },
    take: number,
  ): Promise<MaterialLotFacts[]> {
    const { after = null, id = null, premisesId = null, materialId = null, code, supplierLot, belowZero } = filter;
    const { documentNumber = null } = filter;
    return this.database.read(
      ctx,
      (tx) => tx.$queryRaw<MaterialLotFacts[]>`
        SELECT l.id, l.material_id AS "materialId", l.premises_id AS "premisesId", l.code, l.supplier, l.supplier_lot AS "supplierLot", l.document_number AS "documentNumber", l.document_date AS "documentDate",
               l.quantity::float8 AS quantity, l.unit, l.strength_percent::float8 AS "strengthPercent", l.duty_status AS "dutyStatus", l.owner,
               l.received_at AS "receivedAt", l.operation_id AS "operationId", (${ON_HAND})::float8 AS "onHand"
          FROM material_lot l JOIN premises s ON s.producer_id = l.producer_id AND s.id = l.premises_id
         WHERE l.producer_id = ${ctx.producerId}::uuid
           AND (${after}::uuid IS NULL OR l.id > ${after}::uuid) AND (${id}::uuid IS NULL OR l.id = ${id}::uuid)
           AND (${premisesId}::uuid IS NULL OR l.premises_id = ${premisesId}::uuid)
           AND (${materialId}::uuid IS NULL OR l.material_id = ${materialId}::uuid)
           AND ${isNamed(Prisma.sql`l.code`, code)} AND ${isNamed(Prisma.sql`l.supplier_lot`, supplierLot)}
           AND (${documentNumber}::text IS NULL OR l.document_number = ${documentNumber})
           AND ${inDays(Prisma.sql`l.received_at`, Prisma.sql`s.time_zone`, filter)}
           AND (${belowZero !== true} OR (${ON_HAND}) < 0)
         ORDER BY l.id LIMIT ${take}`,
    );
  }
}

/** @throws ProblemException `validation-failed` for a duty status of what contains no alcohol */
function dutyStatusOf({ dutyStatus }: NewMaterialLot, bearsAlcohol: boolean): string | null {
  if (!bearsAlcohol && dutyStatus !== undefined) {
    const detail = 'The material contains no alcohol, so that no duty is due on it: leave dutyStatus out.';
    throw malformed({ pointer: '/dutyStatus', rule: 'no-alcohol', detail });
  }
  return bearsAlcohol ? (dutyStatus ?? 'suspended') : null;
}

const quantityOf = ({ volume, mass }: NewMaterialLot): Pick<MaterialLotFacts, 'quantity' | 'unit'> =>
  volume === undefined
    ? { quantity: toBase('mass', mass ?? { value: NaN, unit: 'kg' }), unit: 'kg' }
    : { quantity: toBookLitres(volume).litres.toNumber(), unit: 'L' };

/** Standard uncertainty of the strength, % vol: of the certificate, as stated, or the default. */
function strengthUncertaintyOf({ certificate, strengthStandardUncertainty }: NewMaterialLot): number {
  return certificate === undefined
    ? (strengthStandardUncertainty?.value ?? rectangular(LABEL_HALF_WIDTH_PERCENT))
    : certificate.expandedUncertainty.value / certificate.coverageFactor;
}

function receipt(body: NewMaterialLot, head: EventHead, id: string, strength: number): OperationDraft {
  if (body.volume === undefined) {
    throw malformed({
      pointer: '/volume',
      rule: 'volume-needed',
      detail: 'A material that contains alcohol is received by volume: give volume at 20 °C in place of mass.',
    });
  }
  const { litres } = toBookLitres(body.volume);
  const { premisesId, dutyStatus = 'suspended' as const } = body;
  const place = { premisesId, dutyStatus, owner: ownerOf(body.owner) };
  const standardUncertainty = strengthUncertaintyOf(body);
  const volumeU =
    body.volumeStandardUncertainty === undefined
      ? DEFAULTS.flowMeter.standardUncertainty * litres.toNumber()
      : toBase('volume', body.volumeStandardUncertainty);
  const components = strengthComponents(volumeComponents([[`material-lot/${id}/volume`, volumeU]]), litres, strength, [
    [`material-lot/${id}/strength`, standardUncertainty],
  ]);
  const alcohol = toPlaces6HalfEven(litres.times(new Exact(strength)).dividedBy(100));
  const sources = sourcesOf(body);
  return new OperationDraft({
    ...head,
    kind: 'receipt',
    timing: 'change',
    premisesId: body.premisesId,
    document: {
      materialLotId: id,
      ...(body.supplier === undefined ? {} : { supplier: body.supplier }),
      ...(body.document === undefined ? {} : { document: { number: body.document.number, date: body.document.date } }),
      ...(sources.length === 0 ? {} : { sources: sources.map((each) => ({ ...each })) }),
      strength,
      strengthStandardUncertainty: { value: standardUncertainty, unit: '%' },
      litres: litres.toFixed(),
      standardUncertaintyL: volumeU,
    },
  }).move(
    nominalAccount(place, 'receipts', 'materials'),
    materialAccount(place, id),
    amount(litres, 0, alcohol),
    { category: 'materials', materialLotId: id },
    components,
  );
}
