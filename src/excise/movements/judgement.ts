import { ApiPropertyOptional } from '@nestjs/swagger';
import { litresOf, Litres, toLitres } from '../../ledger/books/litres.dto.js';
import type { Figures } from '../../ledger/books/litres.dto.js';
import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { probabilityBeyondScatter } from '../../metrology/scatter.js';
import { COVERAGE_95 } from '../../metrology/student.js';
import { Optional } from '../../platform/validation/field.js';
import { IsDecimalNumber, IsOneOf } from '../../platform/validation/fields.js';

/** A loss, a difference or a re-measurement against its own uncertainty. */
export class Judgement {
  @IsOneOf(['litres', 'pure-alcohol'], {
    description: 'What is judged: the litres; the pure alcohol where only that changed.',
  })
  measure: 'litres' | 'pure-alcohol';

  @IsOneOf(['stated', 'not-stated'], {
    description:
      '`not-stated`: nothing that was measured stands behind the figure, such as a count of containers. An uncertainty is then not zero but unknown, and there is no probability.',
  })
  uncertainty: 'stated' | 'not-stated';

  @ApiPropertyOptional({ type: Litres, description: 'U (95 %) of the figure, from the measurements behind it.' })
  expandedUncertainty?: Litres;

  @Optional()
  @IsDecimalNumber(
    { min: 0.5, max: 1, maxDecimals: 6 },
    {
      description:
        'Probability that the true figure is not zero but has the sign of this one: for a loss P(true loss > 0). One-sided, normal distribution, JCGM 106. 0.5: nothing but measuring scatter; 0.975: the figure is as large as its U.',
      example: 0.975,
    },
  )
  probability?: number;
}

type Judged = Pick<Figures, 'litres' | 'litresOfPureAlcohol' | 'expandedUncertainty'>;

/** Judges one measure of a figure. @param expanded its U (95 %) in the same unit; 0 where none is stated */
export function judged(measure: Judgement['measure'], figure: Decimal, expanded: Decimal): Judgement {
  if (!expanded.greaterThan(0)) {
    return { measure, uncertainty: 'not-stated' };
  }
  const probability = probabilityBeyondScatter(figure.toNumber(), expanded.toNumber() / COVERAGE_95);
  return {
    measure,
    uncertainty: 'stated',
    expandedUncertainty: toLitres(expanded),
    probability: Number(probability.toFixed(6)),
  };
}

/** Judges a figure of the report by its litres, or by its pure alcohol where no litres changed. */
export function judgementOf({ litres, litresOfPureAlcohol, expandedUncertainty }: Judged): Judgement {
  return litresOf(litres).isZero()
    ? judged('pure-alcohol', litresOf(litresOfPureAlcohol), litresOf(expandedUncertainty.litresOfPureAlcohol))
    : judged('litres', litresOf(litres), litresOf(expandedUncertainty.litres));
}

/** Judges a sum by the sum of the uncertainties: as if all had one origin, so never too sure. Not stated where one of them is not. */
export function judgementOfSum(total: Decimal, parts: readonly Judgement[]): Judgement {
  const stated = parts.every(({ uncertainty }) => uncertainty === 'stated');
  const expanded = parts.reduce(
    (sum, { expandedUncertainty }) =>
      expandedUncertainty === undefined ? sum : sum.plus(litresOf(expandedUncertainty)),
    new Exact(0),
  );
  return judged('litres', total, stated ? expanded : new Exact(0));
}
