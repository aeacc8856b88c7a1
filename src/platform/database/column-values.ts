import pg from 'pg';
import { Prisma } from '../../generated/prisma/client.js';

const { builtins } = pg.types;
const [TEXT_ARRAY, INT8_ARRAY, NUMERIC_ARRAY] = [1009, 1016, 1231];

type Parser = (text: string) => unknown;

const textArray = pg.types.getTypeParser(TEXT_ARRAY, 'text') as (text: string) => (string | null)[];
const arrayOf =
  (parse: Parser): Parser =>
  (text) =>
    textArray(text).map((item) => (item === null ? null : parse(item)));
const decimal: Parser = (text) => new Prisma.Decimal(text);

/** Columns that the driver would read as text, or, a day, as midnight of the machine's own time zone. */
const PARSERS: Readonly<Record<number, Parser>> = {
  [builtins.INT8]: BigInt,
  [INT8_ARRAY]: arrayOf(BigInt),
  [builtins.NUMERIC]: decimal,
  [NUMERIC_ARRAY]: arrayOf(decimal),
  [builtins.DATE]: (text) => new Date(`${text}T00:00:00.000Z`),
};

/** Reads columns as the Prisma client does: bigint, Decimal, Date. */
export const COLUMN_TYPES = {
  getTypeParser: ((oid: number, format: 'text' | 'binary') =>
    (format === 'text' ? PARSERS[oid] : undefined) ??
    pg.types.getTypeParser(oid, format)) as typeof pg.types.getTypeParser,
};

/** A value as the driver sends it. Of its own it would write an instant in the machine's time zone, and a Decimal as a JSON text. */
export function parameterOf(value: unknown): unknown {
  if (value instanceof Date) {
    return value.toISOString();
  }
  if (Prisma.Decimal.isDecimal(value)) {
    return String(value);
  }
  return Array.isArray(value) ? value.map(parameterOf) : value;
}
