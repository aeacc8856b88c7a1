/** UCUM codes that may be meant by what people write, in lower case and without blanks, full stops and degree signs. */
const MEANT: Readonly<Record<string, readonly string[]>> = {
  gal: ['[gal_us]', '[gal_br]'],
  gallon: ['[gal_us]', '[gal_br]'],
  gallons: ['[gal_us]', '[gal_br]'],
  gals: ['[gal_us]', '[gal_br]'],
  usgal: ['[gal_us]'],
  impgal: ['[gal_br]'],
  pt: ['[pt_us]', '[pt_br]'],
  pint: ['[pt_us]', '[pt_br]'],
  pints: ['[pt_us]', '[pt_br]'],
  oz: ['[oz_av]', '[foz_us]'],
  ounce: ['[oz_av]', '[foz_us]'],
  ounces: ['[oz_av]', '[foz_us]'],
  floz: ['[foz_us]'],
  lb: ['[lb_av]'],
  lbs: ['[lb_av]'],
  pound: ['[lb_av]'],
  pounds: ['[lb_av]'],
  psi: ['[psi]'],
  psig: ['[psi]'],
  f: ['[degF]'],
  degf: ['[degF]'],
  fahrenheit: ['[degF]'],
  c: ['Cel'],
  degc: ['Cel'],
  celsius: ['Cel'],
  cel: ['Cel'],
  l: ['L'],
  litre: ['L'],
  litres: ['L'],
  liter: ['L'],
  liters: ['L'],
  ml: ['mL'],
  hl: ['hL'],
  kgs: ['kg'],
  kg: ['kg'],
  gram: ['g'],
  grams: ['g'],
  gr: ['g'],
  kpa: ['kPa'],
  percent: ['%'],
  '%vol': ['%'],
  '%abv': ['%'],
  abv: ['%'],
  vol: ['%'],
  'kg/m³': ['kg/m3'],
};

/** Words that tell apart the codes which one spelling may mean. */
const WORDS: Readonly<Record<string, string>> = {
  '[gal_us]': 'US ',
  '[gal_br]': 'imperial ',
  '[pt_us]': 'US ',
  '[pt_br]': 'imperial ',
  '[oz_av]': 'by mass ',
  '[foz_us]': 'US fluid ounce ',
};

interface UnitQuestion {
  /** For example: US `[gal_us]` or imperial `[gal_br]`? */
  readonly question: string;
  /** The code, where only one can be meant. */
  readonly suggestion?: string;
}

/** The question for a unit that people write otherwise, among the codes that are allowed; undefined where none of them can be meant. */
export function unitQuestion(written: unknown, allowed: readonly string[]): UnitQuestion | undefined {
  if (typeof written !== 'string' || written.length > 20) {
    return undefined;
  }
  const plain = written.toLowerCase().replaceAll(/[\s.°_[\]]/g, '');
  const meant = (Object.hasOwn(MEANT, plain) ? MEANT[plain] : []).filter((code) => allowed.includes(code));
  if (meant.length === 0) {
    return undefined;
  }
  const [only] = meant;
  return meant.length > 1
    ? { question: `${meant.map((code) => `${WORDS[code] ?? ''}\`${code}\``).join(' or ')}?` }
    : { question: `Is \`${only}\` meant?`, suggestion: only };
}
