import type { Amount } from '../../../ledger/books/amount.js';
import { amount, atStrengthOf, drawnFrom, minus, plus } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import {
  combined,
  countedComponents,
  drawnComponents,
  NO_COMPONENTS,
  rootSumSquare,
  withoutComponents,
} from '../../../ledger/books/components.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';

/** A packaging run as counted, litres at 20 °C. */
export interface Run {
  readonly nominalLitres: Decimal;
  readonly count: number;
  readonly meanFillLitres: Decimal;
  /** Undefined when it was not measured. */
  readonly lossLitres: Decimal | undefined;
  readonly emptied: boolean;
  readonly reasonCode: string | undefined;
}

export interface Share {
  readonly amount: Amount;
  readonly components: Components;
}

/** Liquid of a run by destination. */
export interface RunSheet {
  /** More full containers than the books had: posted to re-measurement with the run. */
  readonly gain: Share;
  readonly packed: Share;
  /** Mean fill minus nominal over the run, signed. */
  readonly fillDifference: Share;
  readonly loss: Share;
}

/** Beyond this share of the books a reason does not do either: gauge again. Common practice, no source. */
const MOST_WITH_REASON = 0.05;

/**
 * Shares a vessel's liquid out to a run. What was drawn is all of it when the run emptied the vessel, else what the containers and the measured
 * loss come to.
 *
 * @param fills uncertainty of the mean fill over the run, where fills were measured
 * @throws ProblemException `insufficient-stock`, `packing-exceeds-gauge`
 */
export function runSheet(run: Run, balance: Amount, components: Components, fills = NO_COMPONENTS): RunSheet {
  const filled = run.meanFillLitres.times(run.count);
  const needed = filled.plus(run.lossLitres ?? 0);
  const gainLitres = needed.greaterThan(balance.litres) ? needed.minus(balance.litres) : needed.minus(needed);
  if (gainLitres.greaterThan(0)) {
    requireAllowed(gainLitres, run, balance, components);
  }
  const gain = { amount: atStrengthOf(balance, gainLitres), components: new Map() as Components };
  const there = plus(balance, gain.amount);
  const drawnLitres = run.emptied ? there.litres : needed;
  const packedLitres = run.nominalLitres.times(run.count);
  // One draw out of the other: the last of each takes the rest, so no line has alcohol without litres, or less than none.
  const fromVessel = drawFrom({ amount: there, components }, drawnLitres);
  // What the mean fill is unsure by is missing from what stays: from the loss of an emptied vessel, else from the liquid in it.
  const drawn = run.emptied ? fromVessel : { ...fromVessel, components: combined(fromVessel.components, fills) };
  // The containers were counted: the uncertainty of the gauge stays with the loss.
  const contents = {
    amount: drawnFrom(drawn.amount, filled),
    components: countedComponents(fromVessel.components, drawn.amount, filled),
  };
  const { packed, fillDifference } = fillOf(contents, packedLitres);
  return {
    gain,
    packed,
    // The containers are counted at their nominal volume: how far their mean is from it, is what is unsure.
    fillDifference: { ...fillDifference, components: combined(fillDifference.components, fills) },
    loss: restOf(drawn, { ...contents, components: combined(contents.components, fills) }),
  };
}

const drawFrom = (from: Share, litres: Decimal): Share => ({
  amount: drawnFrom(from.amount, litres),
  components: drawnComponents(from.components, from.amount, litres),
});

const restOf = (whole: Share, part: Share): Share => ({
  amount: minus(whole.amount, part.amount),
  components: withoutComponents(whole.components, part.components),
});

/** Contents of the containers: their nominal volume, and the signed difference to it. Underfilled containers still count as full. */
export function fillOf(contents: Share, packedLitres: Decimal): Pick<RunSheet, 'packed' | 'fillDifference'> {
  const short = packedLitres.minus(contents.amount.litres);
  if (!short.greaterThan(0)) {
    const packed = drawFrom(contents, packedLitres);
    return { packed, fillDifference: restOf(contents, packed) };
  }
  const fillDifference = {
    amount: negate(atStrengthOf(contents.amount, short)),
    components: countedComponents(contents.components, contents.amount, short.negated()),
  };
  return { packed: restOf(contents, fillDifference), fillDifference };
}

const negate = (what: Amount): Amount => minus(amount(0), what);

function requireAllowed(gain: Decimal, run: Run, balance: Amount, components: Components): void {
  const expanded = COVERAGE_95 * rootSumSquare(components, 'litres');
  if (gain.lessThanOrEqualTo(expanded)) {
    return;
  }
  const members = {
    bookLitres: balance.litres.toNumber(),
    gainLitres: gain.toNumber(),
    expandedUncertaintyL: expanded,
  };
  if (gain.greaterThan(balance.litres.times(MOST_WITH_REASON))) {
    throw new ProblemException(
      'insufficient-stock',
      `The vessel holds ${balance.litres.toFixed()} L by the books; ${run.count} containers of ${run.nominalLitres.toFixed()} L hold far more.`,
      {
        errors: [
          {
            pointer: '/count',
            rule: 'insufficient-stock',
            detail: 'Check the count and the nominal volume, or gauge the vessel first.',
          },
        ],
        members,
      },
    );
  }
  if (run.reasonCode === undefined) {
    throw new ProblemException(
      'packing-exceeds-gauge',
      `${run.count} containers hold ${gain.toFixed()} L more than the vessel held by the books, which is beyond the uncertainty of its gauge.`,
      {
        errors: [
          {
            pointer: '/reasonCode',
            rule: 'reason-needed',
            detail: 'Count again; if the count is right, give a reasonCode.',
          },
        ],
        members,
      },
    );
  }
}
