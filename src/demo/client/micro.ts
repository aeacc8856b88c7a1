/** Millionths of a litre. The demo calculates in whole numbers, so that it shares no arithmetic with the service that it checks. */
export type Micro = bigint;

const PLACES = 6;
const ONE = 10n ** BigInt(PLACES);

interface Exact {
  /** The number is `digits` / 10^`places`. */
  readonly digits: bigint;
  readonly places: number;
}

/** The decimal that a JSON number or a decimal text stands for. */
function exact(value: number | string): Exact {
  const match = /^(-?)(\d+)(?:\.(\d+))?(?:e([+-]?\d+))?$/i.exec(String(value));
  if (match === null) {
    throw new RangeError(`${value} is no decimal number.`);
  }
  const [, sign, whole, fraction = '', exponent = '0'] = match;
  const digits = BigInt(`${sign}${whole}${fraction}`);
  const places = fraction.length - Number(exponent);
  return places < 0 ? { digits: digits * 10n ** BigInt(-places), places: 0 } : { digits, places };
}

/** Quotient rounded half-even; the divisor is above zero. */
function divided(dividend: bigint, divisor: bigint): bigint {
  const sign = dividend < 0n ? -1n : 1n;
  const size = dividend * sign;
  const floor = size / divisor;
  const twice = (size - floor * divisor) * 2n;
  const up = twice > divisor || (twice === divisor && floor % 2n === 1n);
  return sign * (up ? floor + 1n : floor);
}

/** @throws RangeError for what has more than six places */
export function micro(value: number | string): Micro {
  const { digits, places } = exact(value);
  const scaled = digits * ONE;
  const divisor = 10n ** BigInt(places);
  if (scaled % divisor !== 0n) {
    throw new RangeError(`${value} has more than ${PLACES} places.`);
  }
  return scaled / divisor;
}

/** Litres times strength, half-even to six places. */
export function alcoholIn(litres: Micro, strengthPercent: number): Micro {
  const { digits, places } = exact(strengthPercent);
  return divided(litres * digits, 100n * 10n ** BigInt(places));
}

/** The part of an amount that belongs to `litres` out of `ofLitres`: pro rata, half-even to six places. */
export const shareOf = (alcohol: Micro, litres: Micro, ofLitres: Micro): Micro =>
  litres === ofLitres ? alcohol : divided(alcohol * litres, ofLitres);

export function shown(value: Micro): string {
  const sign = value < 0n ? '-' : '';
  const size = value < 0n ? -value : value;
  return `${sign}${size / ONE}.${String(size % ONE).padStart(PLACES, '0')}`;
}

export const toNumber = (value: Micro): number => Number(value) / Number(ONE);
