import type { Amount } from '../../../ledger/books/amount.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { ReconciledFigures } from '../../../ledger/figures/figure.js';
import type { Reconciliation, ReconciliationMeasures } from '../documents/reconciliation.dto.js';

export const measures = (a: Amount): ReconciliationMeasures => ({
  litres: toLitres(a.litres),
  fermented: toLitres(a.fermented),
  added: toLitres(a.added),
});

export const reconciliationOf = ({
  opening,
  flows,
  closing,
  difference,
  balances,
}: ReconciledFigures): Reconciliation => ({
  opening: measures(opening),
  flows: measures(flows),
  closing: measures(closing),
  difference: measures(difference),
  balances,
});
