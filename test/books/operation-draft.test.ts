import fc from 'fast-check';
import {
  accountId,
  accountLine,
  liquidAccount,
  NOMINAL_KINDS,
  nominalAccount,
  packagedAccount,
} from '../../src/ledger/books/account.js';
import { OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { Exact } from '../../src/metrology/decimals.js';
import { balances, vectors } from './generators.js';

const place = { premisesId: '018f0000-0000-7000-8000-000000000001' };
const uuid = (n: number): string => `018f0000-0000-7000-8000-${String(n).padStart(12, '0')}`;

const accounts = fc.oneof(
  fc
    .tuple(fc.integer({ min: 1, max: 3 }), fc.integer({ min: 4, max: 5 }))
    .map(([c, v]) => liquidAccount(place, uuid(c), uuid(v))),
  fc.integer({ min: 1, max: 3 }).map((p) => packagedAccount(place, uuid(p))),
  fc.constantFrom(...NOMINAL_KINDS).map((kind) => nominalAccount(place, kind, 'cider')),
);

const sumOf = (texts: readonly string[]): string => texts.reduce((sum, text) => sum.plus(text), new Exact(0)).toFixed();

test('whatever is moved, the operation adds to zero in each measure and in each origin of uncertainty', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(accounts, accounts, balances, vectors), { minLength: 1, maxLength: 8 }), (moves) => {
      const draft = new OperationDraft({
        id: uuid(9),
        kind: 'test',
        timing: 'draw',
        ...place,
        occurredAt: new Date(0),
        document: {},
      });
      for (const [from, to, what, components] of moves) {
        draft.move(from, to, what, { category: 'cider' }, components);
      }
      const postings = draft.row.postings;
      for (const measure of ['litres', 'lpaFermented', 'lpaAdded'] as const) {
        expect(sumOf(postings.map((posting) => posting[measure]))).toBe('0');
      }
      const origins = new Set(postings.flatMap(({ components }) => components.map(([origin]) => origin)));
      for (const origin of origins) {
        const own = postings.flatMap(({ components }) => components.filter(([each]) => each === origin));
        expect(sumOf(own.map(([, litres]) => litres))).toBe('0');
        expect(sumOf(own.map(([, , lpa]) => lpa))).toBe('0');
      }
      expect(postings.map(({ line }) => line)).toEqual(postings.map((_, index) => index + 1));
      const named = new Set(draft.accounts.map(({ id }) => id));
      expect(postings.every((posting) => named.has(posting.accountId))).toBe(true);
    }),
  );
});

test('what goes back to where it came from leaves no line', () => {
  fc.assert(
    fc.property(accounts, accounts, balances, vectors, (from, to, what, components) => {
      const draft = new OperationDraft({
        id: uuid(9),
        kind: 'test',
        timing: 'draw',
        ...place,
        occurredAt: new Date(0),
        document: {},
      })
        .move(from, to, what, { category: 'cider' }, components)
        .move(to, from, what, { category: 'cider' }, components);
      expect(draft.row.postings).toEqual([]);
    }),
  );
});

test('an account is its key: two keys are never one account, and no category can pass for another', () => {
  const keys = NOMINAL_KINDS.flatMap((kind) =>
    ['cider', 'cider/x', 'cider%2Fx', 'ci', 'der'].map((category) => nominalAccount(place, kind, category)),
  );
  expect(new Set(keys.map(accountId)).size).toBe(keys.length);
  expect(new Set(keys.map(accountLine)).size).toBe(keys.length);
  const [composition, vessel] = [uuid(1), uuid(2)];
  const liquids = [liquidAccount(place, composition, vessel), liquidAccount(place, vessel, composition)];
  expect(new Set(liquids.map(accountId)).size).toBe(2);
  expect(accountId(liquids[0])).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});
