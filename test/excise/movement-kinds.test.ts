import type { MovementKind } from '../../src/excise/movements/movement-kinds.js';
import {
  containerEventOf,
  DUTY_POINT_KINDS,
  MATERIAL_KINDS,
  missingNeeds,
  MOVEMENT_KINDS,
  MOVEMENT_RULES,
} from '../../src/excise/movements/movement-kinds.js';
import { pureAlcoholForDuty } from '../../src/excise/movements/strength-for-duty.js';
import { NOMINAL_KINDS } from '../../src/ledger/books/account.js';
import { readReferenceCsv } from '../support/reference-files.js';

const rows = new Map(readReferenceCsv('excise/movement-kinds.csv').map((row) => [row.kind, row]));

test('every kind follows its row of the comparison: whether duty falls due, and that it goes out of stock or comes back', () => {
  const said = { YES: 'point', no: 'none', 'no if ordinary': 'none', 'no if satisfied': 'none', 'usually no': 'none' };
  for (const kind of MOVEMENT_KINDS) {
    const { duty, reference } = MOVEMENT_RULES[kind];
    const row = rows.get(reference);
    const effect = kind === 'return' ? '+' : '-';
    expect([kind, row?.stock_effect, row?.lpa_effect]).toEqual([kind, effect, effect]);
    expect([kind, duty]).toEqual([kind, said[row?.duty_point as keyof typeof said] ?? 'depends']);
  }
});

test('where the comparison asks for a document, a reason or a method, the kind does', () => {
  const words: [string, string][] = [
    ['document', 'evidence/document'],
    ['reason', 'reasonCode'],
    ['date+time', 'occurredAt'],
    ['consignee', 'counterparty'],
    ['method', 'evidence/method'],
    ['where from', 'counterparty'],
  ];
  for (const kind of MOVEMENT_KINDS) {
    const { needs, reference } = MOVEMENT_RULES[kind];
    const asked = rows.get(reference)?.reason_or_evidence ?? '';
    for (const [word, need] of words) {
      expect([kind, word, !asked.includes(word) || needs.some((each) => each === need)]).toEqual([kind, word, true]);
    }
  }
});

test('each kind has a line of the report of its own, packaging and process losses apart; filtering is a process', () => {
  expect(MOVEMENT_RULES['filtering-loss'].nominal).toBe(MOVEMENT_RULES['process-loss'].nominal);
  const own = MOVEMENT_KINDS.filter((kind) => kind !== 'filtering-loss');
  const lines = own.map((kind) => MOVEMENT_RULES[kind].nominal);
  expect(new Set(lines).size).toBe(own.length);
  lines.forEach((line) => expect(NOMINAL_KINDS).toContain(line));
});

test('where duty falls due only what is packed can go, or a serving tank with a declared strength: nothing else has one', () => {
  expect(DUTY_POINT_KINDS).toEqual(['release', 'own-use']);
  expect(DUTY_POINT_KINDS.map((kind) => MOVEMENT_RULES[kind].takes)).toEqual([
    'packed-or-serving',
    'packed-or-serving',
  ]);
});

test('what is missing is named with its place', () => {
  expect(missingNeeds('destruction', () => false).map(({ pointer }) => pointer)).toEqual([
    '/occurredAt',
    '/reasonCode',
    '/evidence/method',
    '/witness',
  ]);
  expect(missingNeeds('destruction', () => true)).toEqual([]);
  expect(missingNeeds('release', () => false)).toEqual([]);
});

test('pure alcohol for duty is exact', () => {
  expect(pureAlcoholForDuty('0.33', '4.5').toFixed()).toBe('0.01485');
  expect(pureAlcoholForDuty('999999999.999999', '99.999999').toFixed()).toBe('999999989.99999900000001');
});

// The program's own choice from the comparison: what most of its countries ask for.
test.each<[MovementKind, string[], ReturnType<typeof containerEventOf>, boolean]>([
  ['release', [], 'out', true],
  ['dispatch-suspended', ['/counterparty', '/evidence/document'], 'out', true],
  ['export', ['/evidence/document'], 'out', true],
  ['sample', [], 'emptied', true],
  ['own-use', [], 'emptied', false],
  ['process-loss', [], 'emptied', true],
  ['packaging-loss', [], 'emptied', false],
  ['accidental-loss', ['/occurredAt', '/reasonCode'], 'emptied', true],
  ['theft', ['/occurredAt', '/reasonCode', '/evidence/report'], 'out', true],
  ['transit-loss', ['/reasonCode', '/evidence/document'], 'out', true],
  ['destruction', ['/occurredAt', '/reasonCode', '/evidence/method', '/witness'], 'emptied', true],
  ['yeast-and-trub', [], 'emptied', false],
  ['evaporation', [], 'emptied', true],
  ['filtering-loss', [], 'emptied', false],
  ['return', ['/counterparty'], 'back', false],
])(
  '%s: what it asks for, what becomes of a container, whether a material can go so',
  (kind, needs, event, isOfMaterials) => {
    const missing = missingNeeds(kind, () => false);
    expect(missing.map(({ pointer }) => pointer)).toEqual(needs);
    missing.forEach(({ detail }) => expect(detail).toMatch(/^[A-Z].{10,}\.$/));
    expect(containerEventOf(kind)).toBe(event);
    expect(MATERIAL_KINDS.includes(kind)).toBe(isOfMaterials);
  },
);

test('the table above has every kind', () => {
  expect(MOVEMENT_KINDS).toHaveLength(15);
});
