import fc from 'fast-check';
import {
  add,
  chain,
  divide,
  exp,
  gradientOf,
  log,
  multiply,
  pow,
  sqrt,
  subtract,
  variable,
  type Dual,
} from '../support/dual.js';
import { refusalOf } from '../support/refusal.js';

const positive = fc.double({ min: 0.1, max: 10, noNaN: true });

function close(computed: number, expected: number): void {
  expect(Math.abs(computed - expected)).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(expected)));
}

test.each<[string, (d: Dual[]) => Dual, (x: number, y: number) => [number, number, number]]>([
  ['sum', ([a, b]) => add(a, b), (x, y) => [x + y, 1, 1]],
  ['difference', ([a, b]) => subtract(a, b), (x, y) => [x - y, 1, -1]],
  ['product', ([a, b]) => multiply(a, b), (x, y) => [x * y, y, x]],
  ['quotient', ([a, b]) => divide(a, b), (x, y) => [x / y, 1 / y, -x / (y * y)]],
  ['power', ([a, b]) => pow(a, b), (x, y) => [x ** y, y * x ** (y - 1), x ** y * Math.log(x)]],
  ['constant power', ([a]) => pow(a, 3), (x) => [x ** 3, 3 * x * x, 0]],
  [
    'exponential',
    ([a, b]) => exp(divide(a, b)),
    (x, y) => [Math.exp(x / y), Math.exp(x / y) / y, (-Math.exp(x / y) * x) / (y * y)],
  ],
  ['logarithm', ([a, b]) => log(multiply(a, b)), (x, y) => [Math.log(x * y), 1 / x, 1 / y]],
  ['root', ([a, b]) => sqrt(add(a, b)), (x, y) => [Math.sqrt(x + y), 0.5 / Math.sqrt(x + y), 0.5 / Math.sqrt(x + y)]],
  ['constants on either side', ([a]) => subtract(2, divide(3, a)), (x) => [2 - 3 / x, 3 / (x * x), 0]],
  [
    'chain',
    ([a, b]) => chain(a.value ** 2 * b.value, [2 * a.value * b.value, a.value ** 2], [a, b]),
    (x, y) => [x * x * y, 2 * x * y, x * x],
  ],
])('%s: value and both slopes', (_, f, expected) => {
  fc.assert(
    fc.property(positive, positive, (x, y) => {
      const { value, gradient } = gradientOf(f, [x, y]);
      const [v, dx, dy] = expected(x, y);
      // The power reaches 10^10, so the comparison is relative.
      close(value / Math.max(1, Math.abs(v)), v / Math.max(1, Math.abs(v)));
      close(gradient[0] / Math.max(1, Math.abs(dx)), dx / Math.max(1, Math.abs(dx)));
      close(gradient[1] / Math.max(1, Math.abs(dy)), dy / Math.max(1, Math.abs(dy)));
    }),
  );
});

test('a composition agrees with a central difference', () => {
  const f = ([a, b]: Dual[]): Dual => divide(exp(multiply(-0.3, a)), add(1, pow(b, 2)));
  const plain = (x: number, y: number): number => Math.exp(-0.3 * x) / (1 + y * y);
  fc.assert(
    fc.property(positive, positive, (x, y) => {
      const { gradient } = gradientOf(f, [x, y]);
      const h = 1e-5;
      expect(gradient[0]).toBeCloseTo((plain(x + h, y) - plain(x - h, y)) / (2 * h), 7);
      expect(gradient[1]).toBeCloseTo((plain(x, y + h) - plain(x, y - h)) / (2 * h), 7);
    }),
  );
});

test('x − x has no slope, a constant none either', () => {
  expect(gradientOf(([a]) => subtract(a, a), [7])).toEqual({ value: 0, gradient: [0] });
  expect(gradientOf(() => 5, [1, 2])).toEqual({ value: 5, gradient: [0, 0] });
  expect(gradientOf(([a]) => pow(a, 0), [0])).toEqual({ value: 1, gradient: [0] });
});

test('refusals', () => {
  const x = variable(0, 0, 1);
  expect(refusalOf(() => log(x)).rule).toBe('out-of-range');
  expect(refusalOf(() => sqrt(x)).rule).toBe('out-of-range');
  expect(refusalOf(() => divide(1, x)).rule).toBe('out-of-range');
  expect(refusalOf(() => pow(x, x)).rule).toBe('out-of-range');
  expect(refusalOf(() => exp(1e4)).rule).toBe('not-finite');
  expect(refusalOf(() => variable(NaN, 0, 1)).rule).toBe('not-finite');
  expect(refusalOf(() => chain(1, [1], [])).rule).toBe('contradictory');
  expect(refusalOf(() => chain(1, [Infinity], [x])).rule).toBe('not-finite');
  expect(refusalOf(() => gradientOf(([a]) => pow(a, 0.5), [0])).rule).toBe('not-finite');
});
