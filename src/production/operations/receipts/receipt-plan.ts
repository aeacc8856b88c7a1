import { uuidv7 } from 'uuidv7';
import { certificate } from '../../../alcoholometry/strength/certificate.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { rectangular } from '../../../alcoholometry/strength/finding.js';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { Lot } from '../../../generated/prisma/client.js';
import type { AccountKey, DutyStatus } from '../../../ledger/books/account.js';
import { liquidAccount, nominalAccount, packagedAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { NO_COMPONENTS, strengthComponents, volumeComponents } from '../../../ledger/books/components.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { canonicalText, Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';
import type { Facts, Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import { containerRows } from '../containers/container-events.js';
import type { ReceiptFacts } from './receipt.mapper.js';
import { toReceipt } from './receipt.mapper.js';
import { DRINK_RECEIPT } from './receipt.reader.js';
import type { Arrived, ReceivedGoods } from './receipt.rules.js';
import { documentStrength, enteringStatus } from './receipt.rules.js';
import type { NewReceipt, Receipt, ReceivedPackaged } from './receipts.dto.js';

/** Half-width of a strength whose document states no uncertainty, % vol. Common practice, no source. */
const STATED_HALF_WIDTH_PERCENT = 0.3;

/** Drink that was taken in: where it stands, how much, with which strength. */
interface TakenIn {
  readonly lot: Lot;
  readonly compositionId: string;
  readonly packagedLotId: string | undefined;
  readonly account: AccountKey;
}

/** The strength of the document as a finding. */
function statedFinding(body: NewReceipt, operationId: string): StrengthFinding {
  const { strengthPercent, stated } = documentStrength(body);
  const found = certificate({
    strengthPercent,
    ...(stated ?? {
      expandedUncertainty: COVERAGE_95 * rectangular(STATED_HALF_WIDTH_PERCENT),
      coverageFactor: COVERAGE_95,
    }),
    origin: `receipt/${operationId}`,
  });
  return {
    ...found,
    method: {
      id: 'document-statement',
      version: '1.0.0',
      source: 'stated by the document that came with the drink',
    },
    realExtractPlato: body.bulk?.realExtract,
  };
}

function takenIn(body: NewReceipt, lot: Lot, dutyStatus: DutyStatus): TakenIn {
  const place = { premisesId: body.premisesId, owner: lot.owner, dutyStatus };
  const compositionId = uuidv7();
  if (body.bulk !== undefined) {
    const account = liquidAccount(place, compositionId, body.bulk.vesselId);
    return { lot, compositionId, packagedLotId: undefined, account };
  }
  const packagedLotId = uuidv7();
  return { lot, compositionId, packagedLotId, account: packagedAccount(place, packagedLotId) };
}

function amountOf({ litres }: Arrived, { strength, added }: { strength: number; added: number | undefined }): Amount {
  const alcohol = toPlaces6HalfEven(litres.times(new Exact(strength)).dividedBy(100));
  const addedAlcohol = toPlaces6HalfEven(alcohol.times(new Exact(added ?? 0)).dividedBy(100));
  return amount(litres, alcohol.minus(addedAlcohol), addedAlcohol);
}

/** Uncertainty of what was taken in: that of the strength, and of the volume of bulk. Containers are counted. */
function componentsOf({ bulk, arrived: { litres } }: ReceivedGoods, found: StrengthFinding): Components {
  const volume =
    bulk === undefined
      ? NO_COMPONENTS
      : volumeComponents([
          [
            `vessel/${bulk.vesselId}`,
            bulk.standardUncertainty === undefined
              ? DEFAULTS.dipOrSightGlass.standardUncertainty * litres.toNumber()
              : toBase('volume', bulk.standardUncertainty),
          ],
        ]);
  const { value, budget } = found.strengthPercent;
  return strengthComponents(volume, litres, value, componentsByOrigin(budget));
}

const factsOf = (
  body: NewReceipt,
  { litres, refused, documented, documentedCount }: Arrived,
  held: Amount,
  { strengthPercent }: StrengthFinding,
): ReceiptFacts => ({
  kind: body.kind,
  supplier: body.supplier,
  document: { number: body.document.number, date: body.document.date },
  dutyStatus: enteringStatus(body),
  ...(documentedCount === undefined ? {} : { documentedCount }),
  litres: canonicalText(litres),
  documentedLitres: canonicalText(documented),
  refusedLitres: canonicalText(refused),
  litresOfPureAlcohol: canonicalText(pureAlcohol(held)),
  strength: strengthPercent.value,
  expandedUncertainty: strengthPercent.expanded,
  coverageFactor: strengthPercent.coverageFactor,
});

/** Facts of the receipt, as the document of its operation keeps them. */
const documentOf = (
  { packaged, bulk }: ReceivedGoods,
  facts: ReceiptFacts,
  packagedLotId: string | undefined,
): Facts => ({
  receipt: { ...facts, document: { ...facts.document } },
  dutyStatus: facts.dutyStatus,
  ...(packagedLotId === undefined ? {} : { packagedLotId }),
  ...(packaged === undefined ? {} : { count: packaged.count }),
  ...(packaged?.serials === undefined ? {} : { serials: packaged.serials }),
  ...(bulk === undefined ? {} : { vesselId: bulk.vesselId }),
});

const answerOf = (
  { premisesId }: NewReceipt,
  head: EventHead,
  into: TakenIn | undefined,
  { goods: { packaged, bulk }, facts }: { readonly goods: ReceivedGoods; readonly facts: ReceiptFacts },
): Receipt =>
  toReceipt({
    id: head.id,
    premisesId,
    occurredAt: head.occurredAt,
    recordedAt: null,
    lotId: into?.lot.id ?? null,
    compositionId: into?.compositionId ?? null,
    packagedLotId: into?.packagedLotId ?? null,
    vesselId: bulk?.vesselId ?? null,
    count: packaged?.count ?? null,
    serials: packaged?.serials ?? null,
    facts,
    note: null,
    personId: head.personId ?? null,
    reversed: false,
  });

/** From the nominal account of the kind into stock, with a composition of its own and the strength of the document as its finding of record. */
export function receiptPlan(
  ctx: RequestContext,
  body: NewReceipt,
  head: EventHead,
  { goods, lot }: { readonly goods: ReceivedGoods; readonly lot: Lot | undefined },
): Plan<Receipt> {
  const { arrived } = goods;
  const found = statedFinding(body, head.id);
  const held = amountOf(arrived, { strength: found.strengthPercent.value, added: body.addedShare });
  const facts = factsOf(body, arrived, held, found);
  const into = lot === undefined ? undefined : takenIn(body, lot, enteringStatus(body));
  const draft = new OperationDraft({
    ...head,
    lotId: into?.lot.id,
    compositionId: into?.compositionId,
    kind: DRINK_RECEIPT,
    timing: 'change',
    premisesId: body.premisesId,
    keyId: ctx.principalId,
    document: documentOf(goods, facts, into?.packagedLotId),
  });
  if (into !== undefined) {
    const { account, compositionId, packagedLotId, lot: own } = into;
    const subject = { category: own.category, lotId: own.id, compositionId, packagedLotId };
    draft.move(nominalAccount(account, body.kind, own.category), account, held, subject, componentsOf(goods, found));
  }
  return {
    batch: {
      action: 'receipts.create',
      ...booksOf(draft),
      rows: into === undefined ? {} : rowsOf(body, head, into, { goods, found, facts }),
    },
    answer: new Answer(201, answerOf(body, head, into, { goods, facts }), { location: `/v1/receipts/${head.id}` }),
  };
}

function rowsOf(
  body: NewReceipt,
  head: EventHead,
  into: TakenIn,
  { goods, found, facts }: { goods: ReceivedGoods; found: StrengthFinding; facts: ReceiptFacts },
) {
  const { lot, compositionId, packagedLotId } = into;
  const { premisesId } = body;
  const { strength, expandedUncertainty, coverageFactor, supplier, document } = facts;
  const own = { lotId: lot.id, compositionId, operationId: head.id };
  return {
    composition: [
      compositionRow({
        id: compositionId,
        lotId: lot.id,
        premisesId,
        kind: 'receipt',
        operationId: head.id,
        openedAt: head.occurredAt,
      }),
    ],
    finding: [
      findingRow(
        {
          id: uuidv7(),
          ...own,
          standing: 'of-record',
          sampledAt: head.occurredAt,
          inputs: { supplier, document: { ...document }, strength, expandedUncertainty, coverageFactor },
          warnings: [],
        },
        found,
      ),
    ],
    ...(goods.packaged === undefined || packagedLotId === undefined
      ? {}
      : {
          packagedLot: [packagedRow(goods.packaged, into, { premisesId, packagedLotId, body, operationId: head.id })],
          containerEvent: containerRows(goods.packaged.serials, {
            operationId: head.id,
            event: 'filled',
            packagedLotId,
            litres: toBookLitres(goods.packaged.nominalVolume).litres,
          }),
        }),
  };
}

const packagedRow = (
  packaged: ReceivedPackaged,
  { lot, compositionId }: TakenIn,
  facts: { premisesId: string; packagedLotId: string; body: NewReceipt; operationId: string },
): RowOf<'packagedLot'> => ({
  id: facts.packagedLotId,
  lotId: lot.id,
  compositionId,
  premisesId: facts.premisesId,
  container: packaged.container,
  nominalLitres: toBookLitres(packaged.nominalVolume).litres.toFixed(),
  count: packaged.count,
  lotMark: packaged.lotMark,
  declaredStrengthPercent: String(packaged.declaredStrength.value),
  dispense: packaged.dispense ?? null,
  category: lot.category,
  packagedOn: packaged.packagedOn ?? facts.body.document.date,
  operationId: facts.operationId,
});
