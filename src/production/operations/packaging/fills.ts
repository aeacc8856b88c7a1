import type { Amount } from '../../../ledger/books/amount.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { componentOf } from '../../../ledger/books/components.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { checkFills } from '../../../metrology/fill-check.js';
import { MetrologyError } from '../../../metrology/problem.js';
import { IsFlag, IsOneOf, IsQuantityOf, IsWholeNumber } from '../../../platform/validation/fields.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase, toBookLitres } from '../../../metrology/units.js';

/** Fills of a sample of the run, volumes at 20 °C in one unit. */
export interface Fills {
  readonly values: readonly number[];
  readonly unit: string;
}

/** Result of a run's fills against the nominal volume; kept with the run. */
export class FillCheck {
  @IsOneOf(['passes', 'fails'], {
    description: 'By the average rule and the tolerable negative error; the legal check is the officer’s.',
  })
  verdict: 'passes' | 'fails';

  @IsWholeNumber({ min: 2, max: 2000 })
  count: number;

  @IsQuantityOf('volume', { units: ['mL'] }, { description: 'Mean of the sample.' })
  mean: Quantity;

  @IsQuantityOf('volume', { units: ['mL'] }, { description: 'Standard deviation of the fills.' })
  standardDeviation: Quantity;

  @IsQuantityOf('volume', { units: ['mL'] }, { description: 'Tolerable negative error of the nominal volume.' })
  tolerableNegativeError: Quantity;

  @IsWholeNumber({ min: 0, max: 2000 })
  belowTolerableNegativeError: number;

  @IsWholeNumber({ min: 0, max: 2000 })
  belowTwiceTolerableNegativeError: number;

  @IsFlag({ description: 'What a packer aims at; stricter than the test of a sample.' })
  meanReachesNominal: boolean;
}

const ML_PER_L = 1000;
const inMillilitres = (value: number): Quantity => ({ value, unit: 'mL' });

/**
 * Mean in book litres, half-even to six places, and the check of a sample of a run's fills.
 * @throws MetrologyError out of the range of the check, with the pointer of what is off
 */
export function checkedFills(fills: Fills, nominalLitres: Decimal): { meanFillLitres: Decimal; check: FillCheck } {
  const litres = fills.values.map(
    (value, at) => toBookLitres({ value, unit: fills.unit }, `/fills/values/${at}`).litres,
  );
  const sum = litres.reduce((total, each) => total.plus(each));
  const inML = (each: Decimal): number => each.times(ML_PER_L).toNumber();
  return {
    meanFillLitres: toPlaces6HalfEven(sum.dividedBy(litres.length)),
    check: check(inML(nominalLitres), litres.map(inML)),
  };
}

/** Uncertainty of the mean fill over the run: s/√n of the sample, a container. */
export function fillComponents(
  { standardDeviation, count: sampled }: FillCheck,
  count: number,
  balance: Amount,
  operation: string,
): Components {
  const litres = componentOf((count * toBase('volume', standardDeviation)) / Math.sqrt(sampled));
  const strength = new Exact(bookStrengthPercent(balance) ?? 0).dividedBy(100);
  return new Map([[`${operation}/fills`, { litres, lpa: componentOf(litres.times(strength).toNumber()) }]]);
}

function check(nominalML: number, fillsML: readonly number[]): FillCheck {
  try {
    const found = checkFills(nominalML, fillsML);
    return {
      verdict: found.verdict,
      count: found.count,
      mean: inMillilitres(found.meanML),
      standardDeviation: inMillilitres(found.standardDeviationML),
      tolerableNegativeError: inMillilitres(found.tolerableNegativeErrorML),
      belowTolerableNegativeError: found.belowTolerableNegativeError,
      belowTwiceTolerableNegativeError: found.belowTwiceTolerableNegativeError,
      meanReachesNominal: found.meanReachesNominal,
    };
  } catch (error) {
    if (!(error instanceof MetrologyError)) throw error;
    const { pointer = '' } = error.details;
    const place = pointer === 'nominal' ? '/nominalVolume' : pointer.replace(/^fills/, '/fills/values');
    throw new MetrologyError(error.rule, error.message, { ...error.details, pointer: place });
  }
}
