import type { AccountKey } from '../../src/ledger/books/account.js';
import {
  accountId,
  accountLine,
  accountRow,
  bulkTransitAccount,
  liquidAccount,
  materialAccount,
  nominalAccount,
  packagedAccount,
  transitAccount,
} from '../../src/ledger/books/account.js';
import { amount, NOTHING } from '../../src/ledger/books/amount.js';
import type { Components } from '../../src/ledger/books/components.js';
import type { OperationHead } from '../../src/ledger/books/operation-draft.js';
import { booksOf, OperationDraft } from '../../src/ledger/books/operation-draft.js';
import { Exact } from '../../src/metrology/decimals.js';

const PREMISES = '018f0000-0000-7000-8000-000000000001';
const OWN = { premisesId: PREMISES };
const OTHERS = { premisesId: PREMISES, owner: 'Hill & Sons', dutyStatus: 'paid' as const };

describe('keys of accounts', () => {
  test.each<[string, AccountKey, string]>([
    ['liquid', liquidAccount(OWN, 'c', 'v'), `stock/liquid/${PREMISES}/own/suspended/cellar/c/v`],
    ['liquid at a stage', liquidAccount(OWN, 'c', 'v', 'keg'), `stock/liquid/${PREMISES}/own/suspended/keg/c/v`],
    ['of others', liquidAccount(OTHERS, 'c', 'v'), `stock/liquid/${PREMISES}/Hill%20%26%20Sons/paid/cellar/c/v`],
    ['owner null', packagedAccount({ ...OWN, owner: null }, 'p'), `stock/packaged/${PREMISES}/own/suspended/packed/p`],
    ['packaged', packagedAccount(OTHERS, 'p'), `stock/packaged/${PREMISES}/Hill%20%26%20Sons/paid/packed/p`],
    ['on the way', transitAccount(OWN, 'p', 't'), `stock/in-transit/${PREMISES}/own/suspended/packed/p/t`],
    ['bulk on the way', bulkTransitAccount(OWN, 'c', 't'), `stock/in-transit/${PREMISES}/own/suspended/cellar/c/t`],
    ['material', materialAccount(OWN, 'm'), `stock/material/${PREMISES}/own/suspended/materials/m`],
    ['nominal', nominalAccount(OWN, 'released', 'a/b'), `nominal/released/${PREMISES}/own/suspended/a%2Fb`],
  ])('%s', (_, key, line) => {
    expect(accountLine(key)).toBe(line);
    expect(accountRow(key)).toMatchObject({ id: accountId(key), key: line, side: key.side, kind: key.kind });
  });

  test('the id is the SHA-256 of the line as a version 8 UUID', () => {
    // The first sixteen bytes by sha256sum, with the bits of version and variant of RFC 9562 section 5.8 set by hand.
    expect(accountId(nominalAccount(OWN, 'released', 'cider'))).toBe('47b9ea02-db74-859f-8eee-09aeebb914ca');
    expect(accountId(liquidAccount(OTHERS, 'c', 'v'))).toBe('aad099d8-e6f5-8876-a3b9-414041646a71');
  });

  test('a row names what the key has, and null for what it has not', () => {
    expect(accountRow(transitAccount(OTHERS, 'p', 't'))).toMatchObject({
      premisesId: PREMISES,
      owner: 'Hill & Sons',
      dutyStatus: 'paid',
      stage: 'packed',
      category: null,
      compositionId: null,
      vesselId: null,
      materialLotId: null,
      packagedLotId: 'p',
      transitId: 't',
    });
    expect(accountRow(liquidAccount(OWN, 'c', 'v'))).toMatchObject({
      compositionId: 'c',
      vesselId: 'v',
      packagedLotId: null,
      transitId: null,
    });
    expect(accountRow(materialAccount(OWN, 'm'))).toMatchObject({ materialLotId: 'm', stage: 'materials' });
    expect(accountRow(nominalAccount(OWN, 'released', 'a/b'))).toMatchObject({ category: 'a/b', stage: null });
  });
});

const HEAD: OperationHead = {
  id: 'o',
  kind: 'test',
  timing: 'draw',
  premisesId: PREMISES,
  occurredAt: new Date('2026-03-10T12:00:00Z'),
  document: { note: 1 },
};
const [tank, released, lost] = [
  liquidAccount(OWN, 'c', 'v'),
  nominalAccount(OWN, 'released', 'cider'),
  nominalAccount(OWN, 'process-loss', 'cider'),
];
const CIDER = { category: 'cider' };
const unsure = (litres: number, lpa: number): Components =>
  new Map([['dip', { litres: new Exact(litres), lpa: new Exact(lpa) }]]);

describe('operations in the making', () => {
  test('what leaves one account enters the other, with its components', () => {
    const { accounts, operations } = booksOf(
      new OperationDraft(HEAD)
        .move(tank, released, amount(3, '0.1', '0.05'), CIDER, unsure(1, 0.5))
        .move(tank, lost, amount(1, '0.03'), CIDER),
    );
    expect(accounts.map(({ key }) => key)).toEqual([tank, released, lost].map(accountLine));
    expect(operations).toHaveLength(1);
    expect(operations[0].postings).toMatchObject([
      { line: 1, accountId: accountId(tank), litres: '-4', lpaFermented: '-0.13', lpaAdded: '-0.05' },
      { line: 2, accountId: accountId(released), litres: '3', lpaFermented: '0.1', lpaAdded: '0.05' },
      { line: 3, accountId: accountId(lost), litres: '1', lpaFermented: '0.03', lpaAdded: '0', components: [] },
    ]);
    expect(operations[0].postings.map(({ components }) => components)).toEqual([
      [['dip', '-1', '-0.5']],
      [['dip', '1', '0.5']],
      [],
    ]);
  });

  test('each subject of an account has a line of its own; the receiver’s may be another', () => {
    const whole = { category: 'cider', lotId: 'l', compositionId: 'c', packagedLotId: 'p', materialLotId: 'm' };
    const { postings } = new OperationDraft(HEAD)
      .move(tank, released, amount(1), whole, undefined, { category: 'perry' })
      .move(tank, released, amount(2), CIDER).row;
    expect(postings).toMatchObject([
      { ...whole, litres: '-1' },
      { category: 'perry', litres: '1', lotId: null, compositionId: null, packagedLotId: null, materialLotId: null },
      { category: 'cider', litres: '-2' },
      { category: 'cider', litres: '2' },
    ]);
  });

  test('a line of nothing is left out, unless it has components or asserts what stands there', () => {
    const of = (draft: OperationDraft) => draft.row.postings.map(({ accountId: id, litres }) => [id, litres]);
    const both = [accountId(tank), accountId(released)].map((id) => [id, '0']);
    expect(of(new OperationDraft(HEAD).move(tank, released, NOTHING, CIDER))).toEqual([]);
    expect(of(new OperationDraft(HEAD).move(tank, released, NOTHING, CIDER, unsure(0, 0.1)))).toEqual(both);
    expect(of(new OperationDraft(HEAD).assert(tank, CIDER))).toEqual([[accountId(tank), '0']]);
    const cancelled = new OperationDraft(HEAD)
      .move(tank, released, amount(1), CIDER)
      .move(tank, lost, amount(-1), CIDER);
    expect(of(cancelled)).toEqual([
      [accountId(released), '1'],
      [accountId(lost), '-1'],
    ]);
    expect(cancelled.accounts).toHaveLength(2);
  });

  test('what it does to an account is summed over its subjects', () => {
    const draft = new OperationDraft(HEAD)
      .move(tank, released, amount(1, '0.1'), CIDER, unsure(1, 0))
      .move(tank, released, amount(2, '0.2'), { category: 'perry' }, unsure(0, 0.5));
    const { amount: onTank, components } = draft.on(tank);
    expect(onTank).toEqual(amount(-3, '-0.3'));
    expect([...components]).toEqual([['dip', { litres: new Exact(-1), lpa: new Exact('-0.5') }]]);
    expect(draft.on(lost).amount).toEqual(NOTHING);
  });

  test('an account that two operations touch is listed once', () => {
    const draft = () => new OperationDraft(HEAD).move(tank, released, amount(1), CIDER);
    const { accounts, operations } = booksOf(draft(), draft());
    expect([accounts.length, operations.length]).toEqual([2, 2]);
  });

  test('the head is kept as it is, what is not given as null', () => {
    const texts = {
      lotId: 'a',
      compositionId: 'b',
      personId: 'c',
      keyId: 'd',
      reverses: 'e',
      corrects: 'f',
      explains: 'g',
      earlierPeriodId: 'h',
      reasonCode: 'i',
      noteTextId: 'j',
    };
    const given = { id: 'o', kind: 'test', timing: 'draw', premisesId: PREMISES, document: { note: 1 } };
    const occurredAt = '2026-03-10T12:00:00.000Z';
    expect(new OperationDraft({ ...HEAD, ...texts }).row).toEqual({ ...given, ...texts, occurredAt, postings: [] });
    const empty = Object.fromEntries(Object.keys(texts).map((name) => [name, null]));
    expect(new OperationDraft(HEAD).row).toEqual({ ...given, ...empty, occurredAt, postings: [] });
  });
});
