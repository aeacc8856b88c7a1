import { legsOf, sideOf, filled, stagesPart, tieAmount, tieOf } from '../../src/excise/reporting/parts/ties-part.js';
import { amount, NOTHING } from '../../src/ledger/books/amount.js';
import { Exact } from '../../src/metrology/decimals.js';

// All figures were worked by hand.

const L = (value: number) => ({ value, unit: 'L' });

test('the sides of a tie are summed in each measure; the difference is what was taken less what was given', () => {
  const given = [sideOf('cellar', amount(10, '0.5', '0.1')), sideOf('keg', amount(2, '0.1'))];
  const taken = [sideOf('packed', amount('11.5', '0.6', '0.1')), sideOf('line packaging-loss', amount('0.25'))];
  expect(tieOf('pack', given, taken)).toMatchObject({
    name: 'pack',
    inputs: [{ name: 'cellar' }, { name: 'keg' }],
    outputs: [{ name: 'packed' }, { name: 'line packaging-loss' }],
    totalInputs: { litres: L(12), litresOfPureAlcohol: L(0.7), fermented: L(0.6), added: L(0.1) },
    totalOutputs: { litres: L(11.75), litresOfPureAlcohol: L(0.7), fermented: L(0.6), added: L(0.1) },
    difference: { litres: L(-0.25), litresOfPureAlcohol: L(0), fermented: L(0), added: L(0) },
    balances: false,
  });
});

test.each([
  ['in all measures', amount(10, '0.5', '0.1'), true],
  ['not in litres', amount('10.000001', '0.5', '0.1'), false],
  ['not in fermented alcohol', amount(10, '0.500001', '0.1'), false],
  ['not in added alcohol', amount(10, '0.5', '0.099999'), false],
  ['not where one alcohol makes up for the other', amount(10, '0.4', '0.2'), false],
])('a tie balances %s', (_, taken, balances) => {
  expect(tieOf('x', [sideOf('a', amount(10, '0.5', '0.1'))], [sideOf('b', taken)]).balances).toBe(balances);
});

test('nothing against nothing balances, and a side of nothing is left out', () => {
  expect(tieOf('x', [], [])).toMatchObject({ totalInputs: { litres: L(0) }, balances: true });
  const sides = [
    sideOf('a', NOTHING),
    sideOf('b', amount(0, '0.1')),
    sideOf('c', amount(1)),
    sideOf('d', amount(0, 0, -1)),
  ];
  expect(filled(sides).map(({ item }) => item.name)).toEqual(['b', 'c', 'd']);
});

test('an amount of a tie has its pure alcohol of both kinds', () => {
  expect(tieAmount(amount(10, '0.5', '0.25'))).toEqual({
    litres: L(10),
    litresOfPureAlcohol: L(0.75),
    fermented: L(0.5),
    added: L(0.25),
  });
});

test('consignments are summed by what happened to them', () => {
  const row = { fromPremisesId: 'a', toPremisesId: 'b', fermented: '0.1', added: '0' };
  const legs = legsOf([
    { ...row, part: 'sent', litres: '5' },
    { ...row, part: 'sent', litres: '2' },
    { ...row, part: 'lost', litres: '1' },
  ]);
  expect(legs('sent')).toEqual(amount(7, '0.2'));
  expect(legs('lost')).toEqual(amount(1, '0.1'));
  expect(legs('received')).toEqual(NOTHING);
});

describe('stages', () => {
  type Input = Parameters<typeof stagesPart>[0];
  const u = { expandedLitres: '0', expandedLpa: '0' };
  const figure = (litres: number) => ({
    amount: amount(litres),
    expandedLitres: new Exact(0),
    expandedLpa: new Exact(0),
  });
  const flow = (stage: string, direction: 'in' | 'out', litres: string) => ({
    stage,
    dutyStatus: 'suspended',
    direction,
    litres,
    fermented: '0',
    added: '0',
    ...u,
  });
  const sum = (level: string, stage: string, litres: string) => ({
    level,
    stage,
    dutyStatus: 'suspended',
    litres,
    fermented: '0',
    added: '0',
    ...u,
  });
  const input = (closing: string) =>
    ({
      opening: { byStage: new Map([['suspended/cellar', figure(100)]]) },
      stageFlows: [flow('cellar', 'in', '50'), flow('cellar', 'out', '-30'), flow('keg', 'in', '30')],
      stockSums: [sum('stage', 'cellar', closing), sum('category', 'keg', '999'), sum('stage', 'keg', '30')],
    }) as unknown as Input;

  test('each from opening over what came in and went out to closing; those that had nothing too', () => {
    const stages = stagesPart(input('120'));
    expect(stages.map(({ stage, balances }) => [stage, balances])).toEqual(
      ['materials', 'cellar', 'racking', 'keg', 'bottling', 'packed'].map((stage) => [stage, true]),
    );
    const rows = stages.map((each) =>
      [each.opening, each.in, each.out, each.closing].map(({ litres }) => litres.value),
    );
    expect(rows).toEqual([
      [0, 0, 0, 0],
      [100, 50, -30, 120],
      [0, 0, 0, 0],
      [0, 30, 0, 30],
      [0, 0, 0, 0],
      [0, 0, 0, 0],
    ]);
  });

  test('one that does not come out is said to', () => {
    const wrong = stagesPart(input('120.000001')).filter(({ balances }) => !balances);
    expect(wrong.map(({ stage }) => stage)).toEqual(['cellar']);
  });
});
