import type { Amount } from '../../../ledger/books/amount.js';
import { pureAlcohol } from '../../../ledger/books/amount.js';
import type { BlendMix } from './blend-mix.js';
import type { BlendedLiquid } from './blends.dto.js';

const quantities = (what: Amount): Pick<BlendedLiquid, 'volume' | 'pureAlcohol'> => ({
  volume: { value: what.litres.toNumber(), unit: 'L' },
  pureAlcohol: { value: pureAlcohol(what).toNumber(), unit: 'L' },
});

/** The liquids of a blend, as answers, documents and plans show them. */
export const blendedParts = ({ draws, wash, water }: BlendMix): BlendedLiquid[] => [
  ...draws.map(({ subject, stock, amount: taken }) => ({
    kind: 'lot' as const,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    vesselId: stock.account.vesselId,
    ...quantities(taken),
  })),
  ...(wash === undefined ? [] : [{ kind: 'wash' as const, ...quantities(wash.amount) }]),
  ...(water === undefined ? [] : [{ kind: 'water' as const, ...quantities(water.amount) }]),
];
