import { Temporal } from 'temporal-polyfill';
import type { Figures, Litres } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact } from '../../../metrology/decimals.js';

const MINUS = '\u2212';
const HALF_EVEN = 6;

/** A decimal with so many places, half-even, thousands apart, with a true minus. */
export function fixed(value: Decimal.Value, places: number): string {
  const rounded = new Exact(value).toDecimalPlaces(places, HALF_EVEN);
  const [whole, fraction] = rounded.abs().toFixed(places).split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, '\u00a0');
  const sign = rounded.isNegative() && !rounded.isZero() ? MINUS : '';
  return `${sign}${grouped}${fraction === undefined ? '' : `.${fraction}`}`;
}

export const to3 = (value: Litres): string => fixed(litresOf(value), 3);

/** A number with as many digits as tell something. */
export const plain = (value: number, places = 6): string => {
  const text = new Exact(value).toDecimalPlaces(places, HALF_EVEN).toFixed();
  return text.startsWith('-') ? `${MINUS}${text.slice(1)}` : text;
};

/** A decimal that is a text already, with all its places. */
export function decimalText(text: string): string {
  const places = text.split('.').at(1)?.length ?? 0;
  return fixed(text, places);
}

/** Decimal places of a currency (ISO 4217, as the Unicode locale data have them): 2 of the euro, 0 of the yen, 3 of the Bahraini dinar. */
export const currencyPlaces = (currency: string): number =>
  new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2;

interface Amount {
  readonly currency: string;
  readonly amount: string;
}

/** An amount with the decimals of its currency. The rules round the value; what they left finer is half-even here. */
export const moneyText = ({ currency, amount }: Amount): string => fixed(amount, currencyPlaces(currency));

/** An amount with at least the decimals of its currency, and every digit that it has. */
export function exactMoney({ currency, amount }: Amount): string {
  const value = new Exact(amount);
  return value.toFixed(Math.max(value.decimalPlaces(), currencyPlaces(currency)));
}

export const isNothing = ({ litres, litresOfPureAlcohol }: Figures): boolean =>
  litresOf(litres).isZero() && litresOf(litresOfPureAlcohol).isZero();

/** A moment in local time, to the minute. */
export function localTime(instant: string, timeZone: string): string {
  const local = Temporal.Instant.from(instant).toZonedDateTimeISO(timeZone);
  return `${local.toPlainDate().toString()} ${local.toPlainTime().toString({ smallestUnit: 'minute' })}`;
}

/** A code word as words; a prefix keeps its hyphen. */
export const words = (code: string): string => code.replace(/(?<!\bre)-/g, ' ');

const UNIT_WORDS: Readonly<Record<string, string>> = {
  Cel: '°C',
  '[degF]': '°F',
  'sg-20-20': 'SG 20/20 °C',
  'sg-15-15': 'SG 15/15 °C',
  'sg-60f-60f': 'SG 60/60 °F',
  plato: '°P',
  'density-kg-m3': 'kg/m³',
  m3: 'm³',
  'kg/m3': 'kg/m³',
  '[gal_us]': 'US gal',
  '[foz_us]': 'US fl oz',
  '[pt_us]': 'US pt',
  '[gal_br]': 'imp. gal',
  '[pt_br]': 'imp. pt',
  '[lb_av]': 'lb',
  '[oz_av]': 'oz',
  '[psi]': 'psi',
};

/** A unit or a gravity scale as a person writes it; another one as it is. */
export const unitWords = (unit: string): string => UNIT_WORDS[unit] ?? unit;

/** Kind of a reading, in words. */
export const readingKind = (kind: string): string => (kind === 'ph' ? 'pH' : words(kind));

/** Whole numbers as runs: 3–5, 9. */
export function runs(numbers: readonly number[]): string {
  const sorted = [...new Set(numbers)].sort((a, b) => a - b);
  const parts: [number, number][] = [];
  for (const number of sorted) {
    const last = parts.at(-1);
    if (last !== undefined && number === last[1] + 1) {
      last[1] = number;
    } else {
      parts.push([number, number]);
    }
  }
  return parts
    .map(([from, to]) => (from === to ? `${from}` : `${from}${to === from + 1 ? ', ' : '–'}${to}`))
    .join(', ');
}

/** A fact of the basis as a word: a text, a number, or a quantity with its unit. */
export const basisWord = (value: unknown): string => {
  const { value: number, unit } = Object(value) as { value?: number; unit?: string };
  return number === undefined ? String(value) : `${number} ${unitWords(unit ?? '')}`.trim();
};
