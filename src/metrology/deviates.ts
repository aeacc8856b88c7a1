import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { normalQuantileUnchecked } from './normal.js';
import { studentCdf } from './student.js';
import type { Distribution, InputQuantity } from './uncertainty.js';

// Local constants: a look-up of a global is slow in an inner loop inside a VM context.
const { PI, SQRT2, expm1, log, max, min, sin, sqrt } = Math;

type Uniform = () => number;

/** Uniform deviates strictly inside (0, 1), 53 bits. The seed fills only part of the state, so the first outputs are dropped. */
function uniformSource(seed: number): Uniform {
  const generator = xoroshiro128plus(seed | 0);
  for (let i = 0; i < 128; i += 1) generator.next();
  return () => {
    let u = uniformFloat64(generator);
    while (u === 0) u = uniformFloat64(generator);
    return u;
  };
}

/**
 * Standardized quantile function of a distribution: mean 0, standard uncertainty 1 (JCGM 100 4.3.7 to 4.3.9, half-widths √3, √6, √2).
 *
 * @param p strictly inside (0, 1). For `student` see `studentDeviate`.
 */
function standardQuantile(distribution: Exclude<Distribution, 'student'>, p: number): number {
  switch (distribution) {
    case 'normal':
      return normalQuantileUnchecked(p);
    case 'rectangular':
      return sqrt(3) * (2 * p - 1);
    case 'triangular':
      return sqrt(6) * (p < 0.5 ? sqrt(2 * p) - 1 : 1 - sqrt(2 * (1 - p)));
    case 'u-shaped':
      return SQRT2 * sin(PI * (p - 0.5));
  }
}

/** A deviate of Student's t by Bailey's polar method (Mathematics of Computation 62, 1994; from memory). ν = Infinity is normal. */
function studentDeviate(uniform: Uniform, degreesOfFreedom: number): number {
  if (degreesOfFreedom === Infinity) return normalQuantileUnchecked(uniform());
  for (;;) {
    const u = 2 * uniform() - 1;
    const v = 2 * uniform() - 1;
    const w = u * u + v * v;
    if (w > 0 && w < 1) return u * sqrt((degreesOfFreedom * expm1((-2 / degreesOfFreedom) * log(w))) / w);
  }
}

/**
 * Makes the function that fills a vector with one draw of the inputs. Inputs of one origin share one deviate; with a factor of a
 * correlation matrix (see `factorCorrelation`) the correlated normal inputs share its latent deviates instead.
 */
export function drawBlocks(
  inputs: readonly InputQuantity[],
  seed: number,
  factor?: readonly (readonly number[])[],
): (x: Float64Array) => void {
  const uniform = uniformSource(seed);
  const blocks = factor === undefined ? originBlocks(inputs, uniform) : matrixBlocks(inputs, factor, uniform);
  return (x) => {
    for (const block of blocks) block(x);
  };
}

type Block = (x: Float64Array) => void;

function originBlocks(inputs: readonly InputQuantity[], uniform: Uniform): Block[] {
  const members = new Map<string, number[]>();
  inputs.forEach((input, i) => {
    const group = members.get(input.origin);
    if (group === undefined) members.set(input.origin, [i]);
    else group.push(i);
  });
  return [...members.values()].map((group) => groupBlock(inputs, group, uniform));
}

function groupBlock(inputs: readonly InputQuantity[], group: readonly number[], uniform: Uniform): Block {
  const students = group.filter((i) => inputs[i].distribution === 'student');
  const others = group.flatMap((i) => {
    const { distribution = 'normal', value, standardUncertainty } = inputs[i];
    return distribution === 'student' ? [] : [{ i, distribution, value, standardUncertainty }];
  });
  // Inputs of one origin have one t distribution, with the smallest ν, as in the Welch–Satterthwaite group.
  const nu = min(...students.map((i) => inputs[i].degreesOfFreedom ?? Infinity));
  return (x) => {
    let p: number;
    if (students.length === 0) p = uniform();
    else {
      const t = studentDeviate(uniform, nu);
      for (const i of students) x[i] = inputs[i].value + inputs[i].standardUncertainty * t;
      if (others.length === 0) return;
      p = min(max(studentCdf(t, nu), Number.MIN_VALUE), 1 - Number.EPSILON / 2);
    }
    for (const { i, distribution, value, standardUncertainty } of others) {
      x[i] = value + standardUncertainty * standardQuantile(distribution, p);
    }
  };
}

function matrixBlocks(
  inputs: readonly InputQuantity[],
  factor: readonly (readonly number[])[],
  uniform: Uniform,
): Block[] {
  const normals = inputs.flatMap((input, i) => ((input.distribution ?? 'normal') === 'normal' ? [i] : []));
  const others = inputs.flatMap((input, i) => ((input.distribution ?? 'normal') === 'normal' ? [] : [i]));
  const latent = new Float64Array(inputs.length);
  const joint: Block = (x) => {
    for (let k = 0; k < latent.length; k += 1) latent[k] = normalQuantileUnchecked(uniform());
    for (const i of normals) {
      let z = 0;
      for (let k = 0; k < latent.length; k += 1) z += factor[i][k] * latent[k];
      x[i] = inputs[i].value + inputs[i].standardUncertainty * z;
    }
  };
  return [joint, ...others.map((i) => groupBlock(inputs, [i], uniform))];
}
