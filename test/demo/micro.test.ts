import { expect, test } from '@jest/globals';
import { alcoholIn, micro, shareOf, shown } from '../../src/demo/client/micro.js';

test('decimals become whole millionths, and what does not fit is refused', () => {
  expect(micro(0.000001)).toBe(1n);
  expect(micro('12.5')).toBe(12_500_000n);
  expect(micro(1e-6)).toBe(1n);
  expect(micro('-1.8')).toBe(-1_800_000n);
  expect(shown(micro('-0.05'))).toBe('-0.050000');
  expect(() => micro(1e-7)).toThrow(RangeError);
  expect(() => micro(Number.NaN)).toThrow(RangeError);
});

test('halves go to the even neighbour, on both sides of zero', () => {
  expect(shareOf(1n, 1n, 2n)).toBe(0n);
  expect(shareOf(3n, 1n, 2n)).toBe(2n);
  expect(shareOf(-3n, 1n, 2n)).toBe(-2n);
  expect(shareOf(5n, 2n, 2n)).toBe(5n);
  expect(alcoholIn(1n, 50)).toBe(0n);
  expect(alcoholIn(3n, 50)).toBe(2n);
  expect(alcoholIn(micro(98.2), 12.74)).toBe(micro('12.510680'));
});
