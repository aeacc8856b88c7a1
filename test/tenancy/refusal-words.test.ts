import { countedContainers, dayText, groupedNumber, momentText, operationNoun } from '../../src/platform/words.js';
import { refusalWords } from '../../src/tenancy/producer-database/refusal-words.js';

// The expected sentences are written by hand: a day and an hour as a person at the premises reads them off a calendar and a clock.

test.each([
  ['2400', '2,400'],
  ['999', '999'],
  ['1234567.123456', '1,234,567.123456'],
  ['-1200.5', '-1,200.5'],
  ['0.001234', '0.001234'],
])('%s is written %s', (decimal, words) => {
  expect(groupedNumber(decimal)).toBe(words);
});

test.each([
  [1, 'keg', '1 keg'],
  [0, 'bottle', '0 bottles'],
  [2400, 'bottle', '2,400 bottles'],
  [2, 'bag-in-box', '2 bags-in-box'],
  [3, 'other', '3 containers'],
])('%d of %s are %s', (count, container, words) => {
  expect(countedContainers(count, container)).toBe(words);
});

// Berlin was at UTC+2 until 01:00 UTC on 25 October 2026, and Auckland at UTC+13 on that day.
test.each([
  ['2026-10-24T21:59:59Z', 'Europe/Berlin', '24 October 2026 at 23:59'],
  ['2026-10-24T22:00:00Z', 'Europe/Berlin', '25 October 2026 at 00:00'],
  ['2026-10-25T00:59:00Z', 'Europe/Berlin', '25 October 2026 at 02:59'],
  ['2026-10-25T01:00:00Z', 'Europe/Berlin', '25 October 2026 at 02:00'],
  ['2026-10-24T12:30:00Z', 'Pacific/Auckland', '25 October 2026 at 01:30'],
])('%s in %s is %s', (at, zone, words) => {
  expect(momentText(new Date(at), zone)).toBe(words);
  expect(words.startsWith(dayText(new Date(at), zone))).toBe(true);
});

test.each([
  ['gauge', 'gauge'],
  ['spirit-charge', 'spirit charge'],
  ['count', 'stock-take'],
  ['dispatch-suspended', 'dispatch under suspension'],
])('an operation of the kind %s is the %s', (kind, noun) => {
  expect(operationNoun(kind)).toBe(noun);
});

const WHEN = { at: '2026-10-20T12:30:00Z', timeZone: 'Europe/Berlin' };
const GAUGE = { ...WHEN, operationKind: 'gauge' };

test.each<[code: string, facts: Record<string, unknown>, words: string]>([
  [
    'insufficient-stock',
    { ...WHEN, balanceThen: { value: -4, unit: 'L' }, container: 'bottle', nominalLitres: 0.5 },
    'On 20 October 2026 at 14:30 the stock would be short by 8 bottles. Enter less, or reverse what was taken out later.',
  ],
  // 252 × 0.33 L; the quotient of the two binary numbers is not whole.
  [
    'insufficient-stock',
    { ...WHEN, balanceThen: { value: -83.16, unit: 'L' }, container: 'bottle', nominalLitres: 0.33 },
    'On 20 October 2026 at 14:30 the stock would be short by 252 bottles. Enter less, or reverse what was taken out later.',
  ],
  [
    'insufficient-stock',
    { ...WHEN, balanceThen: { value: -1200.5, unit: 'L' } },
    'On 20 October 2026 at 14:30 the stock would be short by 1,200.5 L. Enter less, or reverse what was taken out later.',
  ],
  [
    'insufficient-stock',
    { ...WHEN, balanceThen: { value: -0.2, unit: 'L' }, container: 'keg', nominalLitres: 19 },
    'On 20 October 2026 at 14:30 the stock would be short by 0.2 L. Enter less, or reverse what was taken out later.',
  ],
  [
    'later-posting-in-the-way',
    { ...WHEN, operationKind: 'movement', movementKind: 'release' },
    'The release of 20 October 2026 at 14:30 is later, and this changes what it was entered on. Give a time after it, or reverse it first.',
  ],
  [
    'assertion-in-the-way',
    GAUGE,
    'The gauge of 20 October 2026 at 14:30 says what was there then, so an entry before it would contradict it. Give a time after it; if this entry explains it, name it in `explains`.',
  ],
  [
    'vessel-in-use',
    { ...GAUGE, vesselName: 'T1', lotCode: 'B-1' },
    'T1 holds lot B-1 on 20 October 2026 at 14:30. Empty it first, or use another vessel.',
  ],
  [
    'over-capacity',
    { ...WHEN, vesselName: 'T1', capacity: { value: 200, unit: 'L' }, contents: { value: 1679.5, unit: 'L' } },
    'T1 can hold 200 L. With this entry it would hold 1,679.5 L on 20 October 2026 at 14:30. Check the volume and its unit; if they are right, put the capacity of the vessel right first.',
  ],
  [
    'returned-since',
    { ...WHEN, lotMark: 'B-1', outstandingThen: { value: -57, unit: 'L' }, container: 'keg', nominalLitres: 19 },
    'By 20 October 2026 at 14:30, 3 kegs of lot B-1 more would have come back than had gone out. Reverse the later returns first, or enter fewer back.',
  ],
  [
    'container-elsewhere',
    { ...WHEN, serial: 'K-7', operationKind: 'packaging' },
    'This entry of container K-7 does not fit with the packaging of 20 October 2026 at 14:30. Check the serial, or enter first what happened in between.',
  ],
  [
    'container-elsewhere',
    { serial: 'K-7' },
    'Nothing is on record of container K-7 that this entry could follow. Check the serial.',
  ],
  [
    'container-holds-less',
    { ...WHEN, serial: 'K-7', operationKind: 'movement', movementKind: 'return', contents: { value: 6.5, unit: 'L' } },
    'Container K-7 holds 6.5 L by the return of 20 October 2026 at 14:30; more cannot come out of it. Give the measured volume.',
  ],
  [
    'period-closed',
    { startsOn: '2026-09-01', endsBefore: '2026-10-01' },
    'The period from 1 September 2026 to 30 September 2026 is closed. Enter it in the open period; a mistake in a closed period is put right with `corrects`.',
  ],
  [
    'period-not-open',
    { ...WHEN, premisesName: 'Mill Lane' },
    'Mill Lane has no open period on 20 October 2026 at 14:30. Open the period first, or give another time. What was in stock before the first period is entered as an opening stock (POST /v1/openings) in it.',
  ],
])('a refusal for %s tells what happened and what to do', (code, facts, words) => {
  expect(refusalWords(code, facts)).toBe(words);
});

test.each([
  'insufficient-stock',
  'later-posting-in-the-way',
  'vessel-in-use',
  'over-capacity',
  'returned-since',
  'period-closed',
  'stale',
])('without its facts %s has no words of its own', (code) => {
  expect(refusalWords(code, {})).toBeUndefined();
});
