import { uuidv7 } from 'uuidv7';
import type { NominalKind } from '../../../ledger/books/account.js';
import { accountId, nominalAccount } from '../../../ledger/books/account.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import { OperationDraft } from '../../../ledger/books/operation-draft.js';
import { decimalIn } from '../../../ledger/operations/document-facts.js';
import type { PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { componentsByOrigin } from '../../../metrology/uncertainty.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { DifferenceHead, DifferenceRead, Outcome } from './difference-facts.js';
import { changeOf, COMPUTABLE, enteredSoFar, itemOf, notComputable } from './difference-facts.js';
import type { VolumePlan } from './difference-plan.js';
import { postVolume, ROUNDING_L, volumePlan } from './difference-plan.js';
import type { RestatedFinding } from '../../measuring/restatement/restatement.dto.js';
import type { RestatementRead } from '../../measuring/restatement/restatement.reader.js';
import { outflowLines, stockLine } from '../../measuring/restatement/propagation.js';
import { isMeasured, requirePossible, restatedRow } from '../../measuring/restatement/strength-change.js';

/** Litres that the operation brought onto an account. */
export const postedLitres = ({ lines }: PostedOperation, id: string): Decimal =>
  lines
    .filter(({ account }) => accountId(account) === id)
    .reduce((sum, line) => sum.plus(line.amount.litres), new Exact(0));

/** A wrong volume of a charge, a gauge or the liquid of an opening. */
export function volumeOutcome(right: Decimal, facts: DifferenceRead, head: DifferenceHead): Outcome {
  const { original, account } = facts;
  const posted =
    original.kind === 'gauge'
      ? decimalIn(original.document, 'foundLitres')
      : postedLitres(original, accountId(account));
  const wrong = enteredSoFar(facts, 'volume', posted);
  return followed(facts, head, {
    name: 'volume',
    wrong,
    right,
    change: changeOf(right, wrong),
    line: (inProcess) => {
      if (original.kind === 'charge') {
        return 'production-in-process';
      }
      if (original.kind === 'opening') {
        return 'opening';
      }
      return inProcess ? 'fermentation-volume-change' : 're-measurement';
    },
    bookedPercent:
      original.kind === 'opening'
        ? enteredSoFar(facts, 'strength', new Exact(percentOn(original, accountId(account)))).toNumber()
        : 0,
  });
}

/** A wrong loss of a transfer: what was not lost came over, with the alcohol that it had. */
export function lossOutcome(right: Decimal, facts: DifferenceRead, head: DifferenceHead): Outcome {
  const { original, account } = facts;
  const wrong = enteredSoFar(facts, 'loss', decimalIn(original.document, 'lossLitres'));
  const drawn = decimalIn(original.document, 'drawnLitres');
  if (right.greaterThan(drawn)) {
    throw notComputable('more-than-drawn', `${drawn.toFixed()} L were drawn: no more of it was lost.`, '/correct/loss');
  }
  const lost = original.lines.find(({ account: { side } }) => side === 'nominal');
  return followed(facts, head, {
    name: 'loss',
    wrong,
    right,
    change: changeOf(right, wrong).negated(),
    line: () => (lost?.account.kind ?? 'process-loss') as NominalKind,
    bookedPercent: percentOn(original, accountId(account)),
  });
}

const percentOn = ({ lines }: PostedOperation, id: string): number => {
  const on = lines.find(({ account }) => accountId(account) === id);
  return on === undefined ? 0 : (bookStrengthPercent(on.amount) ?? 0);
};

interface Followed {
  readonly name: 'volume' | 'loss';
  readonly wrong: Decimal;
  readonly right: Decimal;
  /** Litres more on the account. */
  readonly change: Decimal;
  /** The line that they come from; whether it was in process decides for a gauge. */
  line(inProcess: boolean): NominalKind;
  readonly bookedPercent: number;
}

function followed(facts: DifferenceRead, head: DifferenceHead, what: Followed): Outcome {
  const { original, account, read } = facts;
  const { compositionId } = account;
  if (compositionId === undefined) {
    throw notComputable('reverse-instead', COMPUTABLE);
  }
  const id = accountId(account);
  const { change, bookedPercent } = what;
  const plan = volumePlan({ original, read, compositionId, accountId: id, change, bookedPercent });
  const category = read.genealogy.places.get(id)?.category ?? '';
  const inProcess = plan.finished || read.ofRecord.get(compositionId) === undefined;
  const restated = restatedByVolume(read, plan, head.id, original.id);
  const answer = { ...volumeAnswer(plan, change), findings: restated.wires };
  const document = {
    corrects: original.id,
    ...itemOf(account),
    [what.name]: { wrong: what.wrong.toFixed(), right: what.right.toFixed() },
    ...answer,
  };
  const draft = new OperationDraft({ ...head, document });
  postVolume(draft, plan, {
    litres: nominalAccount(account, what.line(inProcess), category),
    alcohol: nominalAccount(account, inProcess ? 'fermentation' : 're-measurement', category),
    bookedPercent,
    subject: { category, lotId: original.lotId, compositionId },
    closed: original.closedPeriodId !== undefined,
  });
  return { drafts: [draft], findings: restated.rows, answer };
}

/** Changes of a volume plan, as answers and documents show them. */
export const volumeAnswer = (plan: VolumePlan, change: Decimal) => ({
  volumeChange: { value: change.toNumber(), unit: 'L' },
  inStock: plan.stock.map(({ place, what }) =>
    stockLine(place, what.litres.toNumber(), what.fermented.plus(what.added).toNumber()),
  ),
  outflows: outflowLines(plan.found.outflows, (litres) => (litres * plan.strengthPercent) / 100),
});

/** Mixtures that took more or less of the liquid in than the books had. */
export function restatedByVolume(
  read: RestatementRead,
  plan: VolumePlan,
  operationId: string,
  because: string,
): { rows: RowOf<'finding'>[]; wires: RestatedFinding[] } {
  const rows: RowOf<'finding'>[] = [];
  const wires: RestatedFinding[] = [];
  for (const [compositionId, { share, litres }] of plan.found.derived) {
    const old = read.ofRecord.get(compositionId);
    const more = share * litres;
    if (old === undefined || isMeasured(old)) {
      continue;
    }
    const rest = litres + more;
    if (rest <= ROUNDING_L) {
      continue;
    }
    const alcohol = (old.strengthPercent * litres + plan.strengthPercent * more) / 100;
    // Where none of the liquid is left, rounding may leave a trace on the wrong side of nothing.
    const value = Math.abs(alcohol) <= ROUNDING_L ? 0 : (100 * alcohol) / rest;
    requirePossible(value);
    if (Math.abs(value - old.strengthPercent) > 1e-9) {
      const id = uuidv7();
      const effects = componentsByOrigin(old.budget);
      const restates = read.lastOfRecord.get(compositionId) ?? old.id;
      rows.push(restatedRow(old, { id, restates, value, effects, share, operationId, because }));
      wires.push({ id, restates, compositionId, strength: { value, unit: '%' } });
    }
  }
  return { rows, wires };
}
