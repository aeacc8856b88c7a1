import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { Litres, toLitres } from '../../ledger/books/litres.dto.js';
import { Exact } from '../../metrology/decimals.js';

/** Difference of what arrived, by the proof, from what was sent. Sent = arrived + refused + short − over. */
export class ProofDiscrepancy {
  @ApiProperty({ type: Litres })
  sent: Litres;

  @ApiProperty({ type: Litres, description: 'Accepted.' })
  arrived: Litres;

  @ApiPropertyOptional({ type: Litres, description: 'Enter it as a `return` with `returnOf` when it is back.' })
  refused?: Litres;

  @ApiPropertyOptional({ type: Litres, description: 'Enter it as a `transit-loss` with `lostFrom`, with its cause.' })
  short?: Litres;

  @ApiPropertyOptional({ type: Litres, description: 'More arrived than was sent: correct the entry of what was sent.' })
  over?: Litres;
}

/** Difference of what arrived from what was sent; nothing where the proof states no quantity, or the one that was sent. Decimals as texts. */
export function toProofDiscrepancy(
  sent: string,
  arrived: string | null,
  refused: string | null,
): { discrepancy?: ProofDiscrepancy } {
  if (arrived === null) return {};
  const back = new Exact(refused ?? 0);
  const short = new Exact(sent).minus(arrived).minus(back);
  if (short.isZero() && back.isZero()) return {};
  return {
    discrepancy: {
      sent: toLitres(sent),
      arrived: toLitres(arrived),
      ...(back.isZero() ? {} : { refused: toLitres(back) }),
      ...(short.greaterThan(0) ? { short: toLitres(short) } : {}),
      ...(short.lessThan(0) ? { over: toLitres(short.negated()) } : {}),
    },
  };
}
