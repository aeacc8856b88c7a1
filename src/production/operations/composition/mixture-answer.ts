import { eventAnswer } from '../../shared/event.js';
import type { EventAnswer, WireQuantity } from '../../shared/event.dto.js';
import type { Mixed } from './mixtures.js';

/** Figures of a mixture as the answer to its operation shows them. */
export interface MixtureAnswer extends EventAnswer {
  strength: WireQuantity;
  expandedUncertainty: WireQuantity;
  volumeChange: WireQuantity;
}

/** The answer of an operation that mixes; the strength is that of its finding, % vol. @param warnings of the operation; those of the mixture if left out */
export const mixtureAnswer = (
  operation: Parameters<typeof eventAnswer>[0],
  mixed: Pick<Mixed, 'amount' | 'finding' | 'volumeChange' | 'warnings'>,
  warnings: readonly string[] = mixed.warnings,
): MixtureAnswer => ({
  ...eventAnswer(operation, mixed.amount, warnings),
  strength: { value: mixed.finding.strengthPercent.value, unit: '%' },
  expandedUncertainty: { value: mixed.finding.strengthPercent.expanded, unit: '%' },
  volumeChange: { value: mixed.volumeChange.toNumber(), unit: 'L' },
});
