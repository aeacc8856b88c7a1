import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Exact, canonicalText } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';

/** A volume or an amount of pure alcohol of the books, in litres at 20 °C. */
export class Litres {
  @ApiProperty({ type: 'number', format: 'double', example: 12.5 })
  value: number;

  @ApiProperty({ type: 'string', enum: ['L'] })
  unit: 'L';

  @ApiPropertyOptional({
    type: 'string',
    maxLength: 60,
    pattern: String.raw`^-?\d+(\.\d+)?$`,
    description: 'The exact decimal, where a double would lose digits of it.',
  })
  exact?: string;
}

/** Writes a decimal as a JSON number, with the exact decimal beside it where a double would lose digits. */
export function toLitres(amount: Decimal.Value): Litres {
  const decimal = new Exact(amount);
  const value = decimal.isZero() ? 0 : decimal.toNumber();
  return new Exact(value).equals(decimal) ? { value, unit: 'L' } : { value, unit: 'L', exact: canonicalText(decimal) };
}

/** The exact decimal that a wire value stands for. */
export const litresOf = ({ value, exact }: Litres): Decimal => new Exact(exact ?? value);

/** Expanded uncertainty of a figure (95 %). */
export class LitresUncertainty {
  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres })
  litresOfPureAlcohol: Litres;
}

/** One figure of the books in all its measures. */
export class Figures {
  @ApiProperty({ type: Litres })
  litres: Litres;

  @ApiProperty({ type: Litres, description: 'Fermented and added together.' })
  litresOfPureAlcohol: Litres;

  @ApiProperty({ type: Litres, description: 'Litres of pure alcohol that fermentation made.' })
  fermented: Litres;

  @ApiProperty({ type: Litres, description: 'Litres of pure alcohol that were added.' })
  added: Litres;

  @ApiProperty({
    type: LitresUncertainty,
    description: 'Expanded uncertainty, k = 1.959964 (normal distribution, 95 %).',
  })
  expandedUncertainty: LitresUncertainty;
}
