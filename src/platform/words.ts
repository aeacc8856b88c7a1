/** Words of problem texts: numbers, containers and moments as a person writes them. Pure. */

/** A decimal text with its thousands grouped: `2400.5` becomes `2,400.5`. */
export const groupedNumber = (decimal: string | number): string =>
  String(decimal).replace(/^-?\d+/, (whole) => whole.replace(/\B(?=(\d{3})+$)/g, ','));

const CONTAINER_WORDS: Readonly<Record<string, readonly [one: string, many: string]>> = {
  bottle: ['bottle', 'bottles'],
  can: ['can', 'cans'],
  keg: ['keg', 'kegs'],
  cask: ['cask', 'casks'],
  'bag-in-box': ['bag-in-box', 'bags-in-box'],
};

/** A count with the word for its containers: `1 keg`, `342 bottles`; an unknown kind is a container. */
export function countedContainers(count: number, container: string): string {
  const [one, many] = CONTAINER_WORDS[container] ?? ['container', 'containers'];
  return `${groupedNumber(count)} ${count === 1 ? one : many}`;
}

/** A day as in `20 October 2026`. RangeError for no IANA zone. */
export const dayText = (at: Date, timeZone: string): string =>
  new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone }).format(at);

/** A moment in the time of a place, as in `20 October 2026 at 14:30`. RangeError for no IANA zone. */
export const momentText = (at: Date, timeZone: string): string =>
  `${dayText(at, timeZone)} at ${new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit', timeZone }).format(at)}`;

const OPERATION_WORDS: Readonly<Record<string, string>> = {
  count: 'stock-take',
  finding: 'strength finding',
  finish: 'strength of record',
  'transit-arrival': 'arrival',
  'dispatch-suspended': 'dispatch under suspension',
  'yeast-and-trub': 'loss of yeast and trub',
};

/** The noun for a kind of operation or movement: `gauge`, `spirit charge`, `stock-take`. */
export const operationNoun = (kind: string): string => OPERATION_WORDS[kind] ?? kind.replaceAll('-', ' ');
