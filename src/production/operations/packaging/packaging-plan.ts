import { uuidv7 } from 'uuidv7';
import { nominalAccount, packagedAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { NOTHING, plus } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { combined, NO_COMPONENTS } from '../../../ledger/books/components.js';
import type { EventHead } from '../../../ledger/books/event.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { Explained } from '../../../ledger/corrections/explanations.js';
import { explanationOf } from '../../../ledger/corrections/explanations.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { BooksRows, Facts, Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { SettingsInForce } from '../../../tenancy/producers/producers.dto.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import type { LotPosition } from '../../measuring/position/lot-position.js';
import { liquidAt, requireOfRecord } from '../../measuring/position/vessel-liquid.js';
import { eventAnswer } from '../../shared/event.js';
import { checkLabel } from '../../shared/labels/label-check.js';
import { localDay } from '../../shared/local-day.js';
import { containerRows, requireSerialEach } from '../containers/container-events.js';
import { conditionInPackage } from './conditioning.js';
import type { MaterialUsed } from '../material-stock/material-use.js';
import type { Dosed, DoseRead, DosesRead } from './doses.js';
import { dosed, dosesUsed, dosedFacts, filledWithOf, moveDoses } from './doses.js';
import { shownDoses } from './shown-doses.js';
import type { FillCheck } from './fills.js';
import type { FilledWith, PackedStrength } from '../../measuring/packed/packed-strength.js';
import { packedStrength } from '../../measuring/packed/packed-strength.js';
import { checkedFills, fillComponents } from './fills.js';
import type { NewPackaging, PackagingAnswer } from './packaging.dto.js';
import type { Flag } from '../../shared/flag.dto.js';
import { FILLS_SHORT, labelFlags, restOf, runFlags } from './run-flags.js';
import type { Run, RunSheet, Share } from './run-sheet.js';
import { fillOf, runSheet } from './run-sheet.js';

export interface PackRead {
  readonly position: LotPosition;
  readonly timeZone: string;
  readonly settings: SettingsInForce;
  readonly explained: Explained | undefined;
  readonly dosing: DosesRead;
}

/** Figures of one run: what leaves the vessel, what stands in the containers, and the checks. */
interface Filled {
  readonly packagedLotId: string;
  readonly lotMark: string;
  readonly run: Run;
  readonly sheet: RunSheet;
  readonly fillCheck: FillCheck | undefined;
  readonly conditioned: ReturnType<typeof conditionInPackage> | undefined;
  readonly doses: Dosed | undefined;
  /** Of the run with its doses: the containers' contents, of which so much came from the vessel, and what they hold beyond their nominal volume. */
  readonly fromVessel: Share;
  readonly fillDifference: Share;
  readonly packed: { readonly amount: Amount; readonly components: Components };
  readonly filledWith: FilledWith | null;
  readonly strength: PackedStrength;
  readonly labelCheck: ReturnType<typeof checkLabel>;
  readonly restLitres: Decimal;
  readonly flags: readonly Flag[];
}

/** Plans the filling of containers. @throws ProblemException `insufficient-stock`, `finding-needed`, `reason-needed`, `validation-failed` */
export function packagingPlan(body: NewPackaging, read: PackRead, head: EventHead): Plan<PackagingAnswer> {
  const { position, timeZone, settings, explained } = read;
  const { target, account } = liquidAt(position, body.vesselId, explained);
  const finding = requireOfRecord(target);
  requireSerialEach(body.serials, body.count);
  const { lot } = position;
  const used = dosesUsed(head.id, read.dosing, body.count);
  const filled = fill(
    body,
    lot.code,
    { account, finding, doses: read.dosing.doses, used },
    settings,
    `operation/${head.id}`,
  );
  const subject = { category: lot.category, lotId: lot.id, compositionId: target.composition.id };
  const operation = {
    ...head,
    kind: 'packaging',
    timing: 'draw' as const,
    premisesId: account.account.premisesId,
    lotId: lot.id,
    compositionId: subject.compositionId,
    reasonCode: body.reasonCode,
    explains: body.explains,
    document: {
      ...documentOf(body, filled),
      ...(account.account.dutyStatus === 'paid' ? { dutyStatus: 'paid' } : {}),
    },
  };
  const draft = draftOf(operation, filled, account, subject);
  const counter = explained === undefined ? [] : [explanationOf(draft, explained, subject)];
  return {
    batch: {
      action: 'packaging.pack',
      ...booksOf(draft, ...counter),
      rows: { ...rowsOf(body, filled, operation, { category: lot.category, timeZone }), materialEntry: used.rows },
    },
    reads: readsOf(account, ...read.dosing.doses.flatMap(({ stock }) => (stock === undefined ? [] : [stock]))),
    answer: new Answer(201, answerOf(body, filled, operation), {
      location: `/v1/packaged-lots/${filled.packagedLotId}`,
    }),
  };
}

function fill(
  body: NewPackaging,
  lotCode: string,
  from: {
    readonly account: StockAccount;
    readonly finding: FindingRow;
    readonly doses: readonly DoseRead[];
    readonly used: MaterialUsed;
  },
  settings: SettingsInForce,
  operation: string,
): Filled {
  const { account, finding } = from;
  const { run, fillCheck } = runOf(body);
  const fills =
    fillCheck === undefined ? NO_COMPONENTS : fillComponents(fillCheck, run.count, account.balance, operation);
  const sheet = runSheet(run, account.balance, account.components, fills);
  const doubts = runFlags(sheet, account, settings.usualPackagingLoss.value, body);
  const conditioned =
    body.conditioning === undefined
      ? undefined
      : conditionInPackage(body.conditioning, sheet.packed.amount.litres, `${operation}/conditioning`);
  const doses = from.doses.length === 0 ? undefined : dosed(from.doses, run.count, run.nominalLitres, account.account);
  const fromVessel = together(sheet.packed, sheet.fillDifference);
  const filled = doses === undefined ? sheet : fillOf(together(fromVessel, doses), sheet.packed.amount.litres);
  const packed = {
    amount: plus(filled.packed.amount, conditioned?.amount ?? NOTHING),
    components: combined(filled.packed.components, conditioned?.components ?? NO_COMPONENTS),
  };
  const filledWith = filledWithOf(conditioned, doses, fromVessel.amount.litres);
  const strength = packedStrength(finding, filledWith);
  const labelCheck = checkLabel(strength, body.declaredStrength.value, settings);
  return {
    packagedLotId: uuidv7(),
    lotMark: body.lotMark ?? lotCode,
    run,
    sheet,
    fillCheck,
    conditioned,
    doses,
    fromVessel,
    fillDifference: filled.fillDifference,
    packed,
    filledWith,
    strength,
    labelCheck,
    restLitres: restOf(sheet, account),
    flags: [
      ...doubts,
      ...labelFlags(strength, body.declaredStrength.value, settings),
      ...(fillCheck?.verdict === 'fails' ? [FILLS_SHORT] : []),
      ...from.used.flags,
    ],
  };
}

const documentOf = (body: NewPackaging, filled: Filled): Facts => ({
  vesselId: body.vesselId,
  packagedLotId: filled.packagedLotId,
  container: body.container,
  nominalLitres: filled.run.nominalLitres.toFixed(),
  count: body.count,
  meanFillLitres: body.meanFill === undefined && body.fills === undefined ? null : filled.run.meanFillLitres.toFixed(),
  ...(body.fills === undefined ? {} : { fills: { ...body.fills }, fillCheck: { ...filled.fillCheck } }),
  emptied: filled.run.emptied,
  ...(body.serials === undefined ? {} : { serials: body.serials }),
  flags: filled.flags.map(({ code }) => code),
  labelCheck: { ...filled.labelCheck },
  ...(filled.doses === undefined ? {} : { doses: dosedFacts(filled.doses, body.count) }),
  ...(filled.filledWith === null ? {} : { filledWith: { ...filled.filledWith } }),
  conditioning: filled.conditioned === undefined ? null : { ...body.conditioning, ...filled.conditioned.answer },
});

/** Two shares of liquid as one. */
const together = (one: Share, other: Share): Share => ({
  amount: plus(one.amount, other.amount),
  components: combined(one.components, other.components),
});

function draftOf(
  operation: OperationHead,
  { packagedLotId, sheet, conditioned, doses, fromVessel, ...filled }: Filled,
  { account }: StockAccount,
  subject: { readonly category: string; readonly lotId: string; readonly compositionId: string },
): OperationDraft {
  const { gain, packed, fillDifference, loss } = sheet;
  const into = packagedAccount(account, packagedLotId);
  const inContainers = { ...subject, packagedLotId };
  const nominal = (kind: 're-measurement' | 'fill-difference' | 'packaging-loss' | 'fermentation') =>
    nominalAccount(account, kind, subject.category);
  const draft = new OperationDraft(operation).move(
    nominal('re-measurement'),
    account,
    gain.amount,
    subject,
    gain.components,
  );
  if (doses === undefined) {
    draft
      .move(account, into, packed.amount, inContainers, packed.components)
      .move(account, nominal('fill-difference'), fillDifference.amount, subject, fillDifference.components);
  } else {
    draft.move(account, into, fromVessel.amount, inContainers, fromVessel.components);
    moveDoses(draft, doses, into, inContainers);
    const { amount: beyond, components } = filled.fillDifference;
    draft.move(into, nominal('fill-difference'), beyond, inContainers, components, subject);
  }
  return draft
    .move(account, nominal('packaging-loss'), loss.amount, subject, loss.components)
    .move(nominal('fermentation'), into, conditioned?.amount ?? NOTHING, inContainers, conditioned?.components);
}

const rowsOf = (
  body: NewPackaging,
  { packagedLotId, run, lotMark }: Filled,
  operation: OperationHead & { readonly lotId: string; readonly compositionId: string },
  { category, timeZone }: { readonly category: string; readonly timeZone: string },
): BooksRows => ({
  packagedLot: [
    {
      id: packagedLotId,
      lotId: operation.lotId,
      compositionId: operation.compositionId,
      premisesId: operation.premisesId,
      container: body.container,
      nominalLitres: run.nominalLitres.toFixed(),
      count: body.count,
      lotMark,
      declaredStrengthPercent: String(body.declaredStrength.value),
      dispense: body.dispense ?? null,
      category,
      packagedOn: body.packagedOn ?? localDay(operation.occurredAt, timeZone),
      operationId: operation.id,
    },
  ],
  containerEvent: containerRows(body.serials, {
    operationId: operation.id,
    event: 'filled',
    packagedLotId,
    litres: run.nominalLitres,
  }),
});

function answerOf(body: NewPackaging, filled: Filled, operation: OperationHead): PackagingAnswer {
  const { sheet, fillCheck, conditioned } = filled;
  return {
    ...eventAnswer(operation, filled.packed.amount, [
      ...(conditioned?.warnings ?? []),
      ...(filled.doses?.warnings ?? []),
    ]),
    packagedLotId: filled.packagedLotId,
    lotMark: filled.lotMark,
    count: body.count,
    loss: { value: sheet.loss.amount.litres.toNumber(), unit: 'L' },
    fillDifference: { value: filled.fillDifference.amount.litres.toNumber(), unit: 'L' },
    gain: { value: sheet.gain.amount.litres.toNumber(), unit: 'L' },
    rest: { value: filled.restLitres.toNumber(), unit: 'L' },
    flags: [...filled.flags],
    strength: { value: filled.strength.strengthPercent, unit: '%' },
    expandedUncertainty: { value: filled.strength.expandedUncertainty, unit: '%' },
    labelCheck: filled.labelCheck,
    ...(fillCheck === undefined ? {} : { fillCheck }),
    ...(conditioned === undefined ? {} : { conditioning: conditioned.answer }),
    ...(filled.doses === undefined ? {} : { doses: shownDoses(dosedFacts(filled.doses, body.count)) }),
  };
}

function runOf(body: NewPackaging): { run: Run; fillCheck: FillCheck | undefined } {
  const nominalLitres = toBookLitres(body.nominalVolume).litres;
  const checked = body.fills === undefined ? undefined : checkedFills(body.fills, nominalLitres);
  if (checked !== undefined && body.meanFill !== undefined) {
    const detail = 'The mean fill is computed from the fills: give meanFill or fills, not both.';
    throw new ProblemException('validation-failed', detail, {
      errors: [{ pointer: '/meanFill', rule: 'contradictory', detail }],
    });
  }
  const stated = body.meanFill === undefined ? nominalLitres : toBookLitres(body.meanFill).litres;
  const run: Run = {
    nominalLitres,
    count: body.count,
    meanFillLitres: checked?.meanFillLitres ?? stated,
    lossLitres: body.loss === undefined ? undefined : toBookLitres(body.loss).litres,
    emptied: body.emptied ?? false,
    reasonCode: body.reasonCode,
  };
  return { run, fillCheck: checked?.check };
}
