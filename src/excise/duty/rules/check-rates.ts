import { MetrologyError } from '../../../metrology/problem.js';
import type { DutyCategory, DutyRate, RuleSet } from './rule-set.js';

function refuse(rule: string, pointer: string, message: string): never {
  throw new MetrologyError(rule, message, { pointer });
}

/**
 * Rates of a category: each band on which duty falls has one for every day from the set's first, without a gap or an overlap; the last may
 * end. A category without any rate is calculated without money.
 *
 * @throws MetrologyError `rate-gap`, `rate-overlap`, `required`, `unknown-band`, `contradictory`
 */
export function checkRates(set: RuleSet, category: DutyCategory, pointer: string): void {
  const { rates = [], bands, relief } = category;
  const taxed = new Set(bands.filter(({ untaxed }) => untaxed !== true).map(({ code }) => code));
  const known = (band: string, place: string): void => {
    if (!bands.some(({ code }) => code === band)) refuse('unknown-band', place, `There is no band "${band}".`);
    if (!taxed.has(band)) refuse('contradictory', place, `No duty falls on the band "${band}".`);
  };
  rates.forEach((rate, i) => {
    known(rate.band, `${pointer}/rates/${i}/band`);
    if (rate.before !== undefined && rate.before <= rate.from) {
      refuse('contradictory', `${pointer}/rates/${i}/before`, 'A rate ends after the day on which it begins.');
    }
  });
  (relief?.bands ?? []).forEach((band, i) => known(band, `${pointer}/relief/bands/${i}`));
  if (relief !== undefined) {
    if (rates.length === 0)
      refuse('contradictory', `${pointer}/relief`, 'A relief is taken off a rate, and there is none.');
    if (relief.kind === 'percentage' && relief.amount > 100) {
      refuse('out-of-range', `${pointer}/relief/amount`, 'A percentage lies above 0 and up to 100.');
    }
  }
  if (rates.length === 0) return;
  if (set.currency === undefined) refuse('required', 'currency', 'Rates need a currency (ISO 4217).');
  for (const band of taxed) checkDates(set.validFrom, band, rates, `${pointer}/rates`);
}

function checkDates(validFrom: string, band: string, rates: readonly DutyRate[], pointer: string): void {
  const own = rates
    .map((rate, i) => ({ rate, place: `${pointer}/${i}` }))
    .filter(({ rate }) => rate.band === band)
    .sort((a, b) => (a.rate.from < b.rate.from ? -1 : a.rate.from > b.rate.from ? 1 : 0));
  const first = own.at(0);
  if (first === undefined) {
    return refuse('rate-gap', pointer, `The band "${band}" has no rate; give one, or take its duty off.`);
  }
  if (first.rate.from > validFrom) {
    const detail = `The band "${band}" has no rate from ${validFrom}, when the set begins, to ${first.rate.from}.`;
    refuse('rate-gap', `${first.place}/from`, detail);
  }
  own.slice(1).forEach(({ rate, place }, i) => {
    const { before } = own[i].rate;
    if (before === undefined || before > rate.from) {
      refuse('rate-overlap', `${place}/from`, `Another rate of the band "${band}" holds on ${rate.from} already.`);
    }
    if (before < rate.from) {
      refuse('rate-gap', `${place}/from`, `The band "${band}" has no rate from ${before} to ${rate.from}.`);
    }
  });
  const { rate, place } = own[own.length - 1];
  if (rate.before !== undefined && rate.before <= validFrom) {
    refuse('rate-gap', `${place}/before`, `The band "${band}" has no rate from ${validFrom}, when the set begins.`);
  }
}
