import { litresOf } from '../../../ledger/books/litres.dto.js';
import { canonicalText } from '../../../metrology/decimals.js';
import type { Judgement } from '../../movements/judgement.js';
import { decimal, expanded, number } from '../render/report-table.js';

/** Columns of how a loss or a difference stands against its uncertainty; a U that is not stated is no number. */
export const JUDGEMENT = { judged_uncertainty: expanded(decimal('U, L')), probability: number('P', 3) };

export const judgementCells = (judgement: Judgement | undefined) => ({
  judged_uncertainty:
    judgement &&
    (judgement.expandedUncertainty === undefined
      ? 'not stated'
      : canonicalText(litresOf(judgement.expandedUncertainty))),
  probability: judgement?.probability,
});

/** Sentence above a table with these columns. */
export const JUDGED =
  'U: k = 1.96, about 95 %. P: probability that the true figure is not zero but has the sign of the one here (one-sided, normal distribution); 0.5 is measuring scatter alone.';
