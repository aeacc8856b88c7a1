import { fermentationState } from '../../src/alcoholometry/fermentation/fermentation-state.js';

const RULE = { changePlato: 0.25, hours: 48 };
const daily = (...platos: number[]) => platos.map((plato, day) => ({ hours: 24 * day, plato }));

test.each<[string, number[], string]>([
  ['one reading', [10], 'lag'],
  ['no fall beyond the change', [10, 9.9, 9.75], 'lag'],
  ['fallen by more than the change', [10, 9.7], 'active'],
  ['half of the fastest fall', [10, 8, 7], 'active'],
  ['less than half of it', [10, 8, 7.1], 'slowing'],
  ['still for one day only', [10, 4, 2, 2], 'slowing'],
  ['still for two days, by exactly the change', [10, 4, 2.25, 2, 2], 'terminal'],
  ['a little beyond the change', [10, 4, 2.26, 2, 2], 'slowing'],
  ['falling again after a stand', [10, 4, 4, 4, 3], 'slowing'],
])('%s: %j is %s', (_, platos, state) => {
  expect(fermentationState(daily(...platos), RULE).state).toBe(state);
});

test('the time since when it stands still, and the fall of the last day', () => {
  expect(fermentationState(daily(10, 4, 2.25, 2, 2), RULE)).toEqual({
    state: 'terminal',
    stillSinceHours: 48,
    platoPerDay: 0,
  });
  expect(fermentationState(daily(10, 8, 7.1), RULE).platoPerDay).toBeCloseTo(0.9, 12);
});

test('a stand far above the plan is a stall, and a lag of three days is long', () => {
  const planned = (plato: number, standardUncertainty = 0.3) => ({ plato, standardUncertainty });
  const stand = daily(10, 6, 4, 4, 4);
  expect(fermentationState(stand, RULE, planned(2.9)).stalled).toBe('above-expected');
  expect(fermentationState(stand, RULE, planned(3)).stalled).toBeUndefined();
  expect(fermentationState(stand, RULE, planned(2.5, 0.8)).stalled).toBeUndefined();
  expect(fermentationState(stand, RULE).stalled).toBeUndefined();
  expect(fermentationState(daily(10, 10, 10, 9.9), RULE).stalled).toBe('not-started');
  expect(fermentationState(daily(10, 10, 10), RULE).stalled).toBeUndefined();
});
