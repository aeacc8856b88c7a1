import { combined, rootSumSquare } from '../../../ledger/books/components.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { COVERAGE_95 } from '../../../metrology/student.js';
import { groupedNumber } from '../../../platform/words.js';
import { labelDoubt } from '../../measuring/packed/label-doubt.js';
import type { Flag } from '../../shared/flag.dto.js';
import { requireReason } from '../../shared/reason.js';
import type { NewPackaging } from './packaging.dto.js';
import type { RunSheet } from './run-sheet.js';

/** The doubt about the label by the one rule for labels: that it does not hold, or that one cannot tell. */
export function labelFlags(...facts: Parameters<typeof labelDoubt>): Flag[] {
  const doubt = labelDoubt(...facts);
  return doubt === undefined ? [] : [{ code: doubt.code, detail: doubt.detail }];
}

export const FILLS_SHORT: Flag = {
  code: 'fills-short',
  detail: 'The fills of the sample fail the check against the nominal volume; `fillCheck` says which rule.',
};
const MORE_THAN_GAUGED: Flag = {
  code: 'more-than-gauged',
  detail: 'The full containers hold more than the books had in the vessel; the difference is posted as re-measurement.',
};

/** Litres of the vessel after a run. */
export const restOf = ({ gain, packed, fillDifference, loss }: RunSheet, { balance }: StockAccount): Decimal =>
  balance.litres
    .plus(gain.amount.litres)
    .minus(packed.amount.litres)
    .minus(fillDifference.amount.litres)
    .minus(loss.amount.litres);

const shown = (litres: number): string => `${groupedNumber(Number(litres.toFixed(2)))} L`;

/**
 * Doubts about the volumes of a run. A loss is unusual beyond both the uncertainty and the producer's usual share of what was drawn for the run.
 *
 * @throws ProblemException `reason-needed` for an unusual loss without a reason
 */
export function runFlags(
  sheet: RunSheet,
  stock: StockAccount,
  usualPercent: number,
  { reasonCode, vesselId }: Pick<NewPackaging, 'reasonCode' | 'vesselId'>,
): Flag[] {
  const expandedL = COVERAGE_95 * rootSumSquare(stock.components, 'litres');
  const rest = restOf(sheet, stock);
  return [
    ...(sheet.gain.amount.litres.greaterThan(0) ? [MORE_THAN_GAUGED] : []),
    ...lossFlags(sheet, usualPercent, reasonCode),
    ...(rest.greaterThan(0) && rest.lessThanOrEqualTo(expandedL)
      ? [
          {
            code: 'rest-below-uncertainty',
            detail: `By the books ${rest.toFixed()} L remain in the vessel, less than the uncertainty of its gauge (${shown(expandedL)}). If it is empty, clear it: POST /v1/movements with kind packaging-loss, this lotId, vesselId ${vesselId} and volume ${rest.toFixed()} L.`,
          },
        ]
      : []),
  ];
}

function lossFlags(
  { packed, fillDifference, loss }: RunSheet,
  usualPercent: number,
  reasonCode: string | undefined,
): Flag[] {
  const ofRun = combined(packed.components, fillDifference.components, loss.components);
  const lost = loss.amount.litres;
  const drawn = packed.amount.litres.plus(fillDifference.amount.litres).plus(lost);
  const limit = Math.max(COVERAGE_95 * rootSumSquare(ofRun, 'litres'), (drawn.toNumber() * usualPercent) / 100);
  if (lost.toNumber() <= limit) {
    return [];
  }
  const detail = `${shown(lost.toNumber())} of ${shown(drawn.toNumber())} would be the loss of this run; up to ${shown(limit)} needs no reason.`;
  requireReason(reasonCode, detail, {
    advice:
      'If liquid remains in the vessel, leave out `emptied`. Check the count and the nominal volume. If the loss is right, say why in reasonCode.',
    members: {
      loss: { value: lost.toNumber(), unit: 'L' },
      limit: { value: limit, unit: 'L' },
    },
  });
  return [{ code: 'unusual-loss', detail }];
}
