import { covarianceOf } from '../support/covariance.js';
import { add, chain, divide, gradientOf, multiply, pow, subtract, type Dual } from '../support/dual.js';
import { coverageFactorOf } from '../../src/metrology/student.js';
import { propagate, welchSatterthwaite, type InputQuantity, type Uncertain } from '../../src/metrology/uncertainty.js';
import { readReferenceJson } from '../support/reference-files.js';
import { Comparison, recordReference } from '../support/reference-log.js';

interface Examples {
  H1_end_gauge: {
    inputs: {
      lS_nm: { x: number; u: number; nu: number };
      d_nm: { x: number; u: number; nu_eff: number; components: Record<string, { u: number; nu: number }> };
      alphaS_per_C: { x: number; rect_halfwidth: number };
      theta_C: { x: number; u: number };
      dalpha_per_C: { x: number; rect_halfwidth: number; nu: number };
      dtheta_C: { x: number; rect_halfwidth: number; nu: number };
    };
    contributions_nm: number[];
    uc2_nm2: number;
    uc_nm: number;
    l_mm: number;
    nu_eff: number;
    nu_eff_truncated: number;
    k99: number;
    U99_nm: number;
  };
  H2_impedance: {
    data: Record<'V' | 'I_mA' | 'phi_rad', number[]>;
    means: Record<'V' | 'I_mA' | 'phi', number>;
    s_mean: Record<'V' | 'I_mA' | 'phi', number>;
    r: Record<'VI' | 'Vphi' | 'Iphi', number>;
    results: Record<'R' | 'X' | 'Z', [number, number]>;
    r_out: Record<'RX' | 'RZ' | 'XZ', number>;
    uncorrelated_variant: Record<'uR' | 'uX' | 'uZ' | 'rRX' | 'rRZ' | 'rXZ', number>;
  };
  QUAM_A1_cadmium_standard: { c_mg_L: number; u_unrounded: number; budget: Record<'V' | 'm' | 'P', number> };
  QUAM_A3_titration: {
    c: number;
    u: number;
    repeatability_over_sqrt3: { u: number };
    with_end_point_bias: { excess_mL: [number, number]; c: number; u: number };
    inputs: {
      m_g: number;
      R: [number, number];
      P: [number, number, string];
      VT1: [number, string];
      VT2: [number, string];
    };
  };
  NIST_TN1900_E3: {
    inputs: Record<'mu_c' | 't_m' | 'rho_m' | 'rho_c' | 't_c' | 'rho_b', [number, number]>;
    GUF: [number, number];
  };
}

const examples = readReferenceJson<Examples>('physics/gum-worked-examples.json');

/** Compares in units of the last printed digit; half a digit is agreement with the print. */
class PrintedDigits extends Comparison {
  readonly beyond: string[] = [];

  /** @param named figures of the source that are known not to be reproduced: kept, counted and named, and they must stay so. */
  constructor(private readonly named: ReadonlyMap<string, string> = new Map()) {
    super();
  }

  digit(what: string, computed: number, printed: number, lastDigit: number): void {
    if (Math.abs(computed - printed) / lastDigit > 0.5 + 1e-9) this.beyond.push(what);
    if (this.named.has(what)) this.rows += 1;
    else this.add(computed / lastDigit, printed / lastDigit);
  }

  finish(table: string, source: string): void {
    const { rows, largestDeviation } = this;
    const note = this.named.size === 0 ? undefined : [...this.named.values()].join('; ');
    recordReference({ table, rows, largestDeviation, tolerance: 0.5, unit: 'last printed digits', source, note });
    expect(this.beyond).toEqual([...this.named.keys()]);
  }
}

function firstOrder(
  f: (x: Dual[]) => Dual,
  inputs: readonly InputQuantity[],
  options?: Parameters<typeof propagate>[3],
): Uncertain {
  const { value, gradient } = gradientOf(
    f,
    inputs.map((input) => input.value),
  );
  return propagate(value, inputs, gradient, options);
}

function input(name: string, value: number, standardUncertainty: number, degreesOfFreedom = Infinity): InputQuantity {
  return { name, value, standardUncertainty, degreesOfFreedom, origin: name };
}

function rectangle(name: string, halfWidth: number): InputQuantity {
  return { ...input(name, 0, halfWidth / Math.sqrt(3)), distribution: 'rectangular' };
}

test('JCGM 100 H.1, end gauge, first order: u = 32 nm, nu = 16, U99 = 93 nm', () => {
  const { inputs: given, ...printed } = examples.H1_end_gauge;
  const { lS_nm: lS, d_nm: d, alphaS_per_C: alphaS, theta_C: theta, dalpha_per_C: dalpha, dtheta_C: dtheta } = given;
  const result = firstOrder(
    ([l, delta, a, t, da, dt]) => subtract(add(l, delta), multiply(l, add(multiply(da, t), multiply(a, dt)))),
    [
      input('lS', lS.x, lS.u, lS.nu),
      input('d', d.x, d.u, d.nu_eff),
      input('alphaS', alphaS.x, alphaS.rect_halfwidth / Math.sqrt(3)),
      input('theta', theta.x, theta.u),
      input('dalpha', dalpha.x, dalpha.rect_halfwidth / Math.sqrt(3), dalpha.nu),
      input('dtheta', dtheta.x, dtheta.rect_halfwidth / Math.sqrt(3), dtheta.nu),
    ],
    { coverageProbability: 0.99 },
  );
  const digits = new PrintedDigits();
  const contribution = (name: string): number =>
    Math.abs(result.budget.find((line) => line.name === name)?.contribution ?? NaN);
  ['lS', 'd', 'dalpha', 'dtheta'].forEach((name, i) =>
    digits.digit(
      name,
      contribution(name),
      printed.contributions_nm[i],
      Number.isInteger(printed.contributions_nm[i]) ? 1 : 0.1,
    ),
  );
  expect([contribution('alphaS'), contribution('theta')]).toEqual([0, 0]);
  digits.digit('l', result.value / 1e6, printed.l_mm, 1e-6);
  digits.digit('uc', result.standard, printed.uc_nm, 1);
  digits.digit('nu_eff cut', Math.floor(result.degreesOfFreedom ?? NaN), printed.nu_eff_truncated, 1);
  digits.digit('k99', result.coverageFactor, printed.k99, 0.01);
  // The source goes on with its rounded figures (the printed contributions, u² = 1002, u = 32); so are these two recomputed here.
  const degrees = [lS.nu, d.nu_eff, dalpha.nu, dtheta.nu];
  const rounded = printed.contributions_nm.map((c, i) => ({ variance: c * c, degreesOfFreedom: degrees[i] }));
  digits.digit('nu_eff', welchSatterthwaite(Math.sqrt(printed.uc2_nm2), rounded), printed.nu_eff, 0.1);
  digits.digit('U99', result.coverageFactor * Math.round(result.standard), printed.U99_nm, 1);
  expect(result.degreesOfFreedom).toBeCloseTo(16.76, 2);
  expect(result.expanded).toBeCloseTo(92.5, 1);
  digits.finish('GUM H.1 end gauge, first order', 'JCGM 100:2008 H.1, Table H.1');
});

test('JCGM 100 H.1.3.2: the comparison of the two gauges has 25.6 degrees of freedom', () => {
  const { d_nm: d } = examples.H1_end_gauge.inputs;
  const components = Object.entries(d.components).map(([name, { u, nu }]) => input(name, 0, u, nu));
  const result = propagate(
    d.x,
    components,
    components.map(() => 1),
  );
  const digits = new PrintedDigits();
  digits.digit('u(d)', result.standard, d.u, 0.1);
  // As in the source, from u(d) = 9.7 as printed; unrounded it is 25.4.
  const groups = Object.values(d.components).map(({ u, nu }) => ({ variance: u * u, degreesOfFreedom: nu }));
  digits.digit('nu_eff', welchSatterthwaite(d.u, groups), d.nu_eff, 0.1);
  expect(result.degreesOfFreedom).toBeCloseTo(25.45, 2);
  digits.finish('GUM H.1 comparison of the gauges', 'JCGM 100:2008 H.1.3.2');
});

describe('JCGM 100 H.2, resistance and reactance measured together', () => {
  const { data, ...printed } = examples.H2_impedance;
  const series = [data.V, data.I_mA.map((i) => i / 1000), data.phi_rad];
  const n = data.V.length;
  const mean = (x: readonly number[]): number => x.reduce((sum, value) => sum + value, 0) / x.length;
  const scatter = (x: readonly number[], y: readonly number[]): number =>
    x.reduce((sum, value, k) => sum + (value - mean(x)) * (y[k] - mean(y)), 0) / (n - 1);
  const inputs = series.map((x, i) => input(['V', 'I', 'phi'][i], mean(x), Math.sqrt(scatter(x, x) / n), n - 1));
  const correlation = series.map((x, i) =>
    series.map((y, j) => (i === j ? 1 : scatter(x, y) / Math.sqrt(scatter(x, x) * scatter(y, y)))),
  );
  const cosine = (a: Dual): Dual => chain(Math.cos(a.value), [-Math.sin(a.value)], [a]);
  const sine = (a: Dual): Dual => chain(Math.sin(a.value), [Math.cos(a.value)], [a]);
  const models: ((x: Dual[]) => Dual)[] = [
    ([v, i, phi]) => multiply(divide(v, i), cosine(phi)),
    ([v, i, phi]) => multiply(divide(v, i), sine(phi)),
    ([v, i]) => divide(v, i),
  ];
  const gradients = models.map(
    (f) =>
      gradientOf(
        f,
        inputs.map(({ value }) => value),
      ).gradient,
  );

  test('all printed digits with the correlations, outputs included', () => {
    const digits = new PrintedDigits(
      new Map([
        [
          'u(X)',
          'u(X) by the first order is 0.29558, printed 0.295; the second way of the source, H.2.4, gives 0.29549',
        ],
      ]),
    );
    digits.digit('V', inputs[0].value, printed.means.V, 1e-4);
    digits.digit('I', inputs[1].value * 1000, printed.means.I_mA, 1e-4);
    digits.digit('phi', inputs[2].value, printed.means.phi, 1e-5);
    digits.digit('s(V)', inputs[0].standardUncertainty, printed.s_mean.V, 1e-4);
    digits.digit('s(I)', inputs[1].standardUncertainty * 1000, printed.s_mean.I_mA, 1e-4);
    digits.digit('s(phi)', inputs[2].standardUncertainty, printed.s_mean.phi, 1e-5);
    digits.digit('r(V, I)', correlation[0][1], printed.r.VI, 0.01);
    digits.digit('r(V, phi)', correlation[0][2], printed.r.Vphi, 0.01);
    digits.digit('r(I, phi)', correlation[1][2], printed.r.Iphi, 0.01);
    const lastDigits = { R: 1e-3, X: 1e-3, Z: 1e-3 };
    (['R', 'X', 'Z'] as const).forEach((name, i) => {
      const result = firstOrder(models[i], inputs, { correlation });
      digits.digit(name, result.value, printed.results[name][0], lastDigits[name]);
      digits.digit(`u(${name})`, result.standard, printed.results[name][1], 1e-3);
      // Five simultaneous readings: four degrees of freedom, whatever the correlations.
      expect(result.degreesOfFreedom).toBeCloseTo(n - 1, 9);
    });
    const { correlation: outputs } = covarianceOf(inputs, gradients, { correlation });
    digits.digit('r(R, X)', outputs[0][1], printed.r_out.RX, 1e-3);
    digits.digit('r(R, Z)', outputs[0][2], printed.r_out.RZ, 1e-3);
    digits.digit('r(X, Z)', outputs[1][2], printed.r_out.XZ, 1e-3);
    digits.finish('GUM H.2 with correlations', 'JCGM 100:2008 H.2, Tables H.2 to H.4');
  });

  test('the second way of the source: each set of readings by itself', () => {
    const digits = new PrintedDigits();
    const columns = models.map((f) =>
      data.V.map(
        (_, k) =>
          gradientOf(
            f,
            series.map((x) => x[k]),
          ).value,
      ),
    );
    (['R', 'X', 'Z'] as const).forEach((name, i) => {
      digits.digit(name, mean(columns[i]), printed.results[name][0], 1e-3);
      digits.digit(`u(${name})`, Math.sqrt(scatter(columns[i], columns[i]) / n), printed.results[name][1], 1e-3);
    });
    const r = (i: number, j: number): number =>
      scatter(columns[i], columns[j]) / Math.sqrt(scatter(columns[i], columns[i]) * scatter(columns[j], columns[j]));
    digits.digit('r(R, X)', r(0, 1), printed.r_out.RX, 1e-3);
    digits.digit('r(R, Z)', r(0, 2), printed.r_out.RZ, 1e-3);
    digits.digit('r(X, Z)', r(1, 2), printed.r_out.XZ, 1e-3);
    digits.finish('GUM H.2 by single sets of readings', 'JCGM 100:2008 H.2.4, Table H.5');
  });

  test('the variant that neglects the correlations', () => {
    const { uncorrelated_variant: variant } = printed;
    const digits = new PrintedDigits();
    const { covariance, correlation: outputs } = covarianceOf(inputs, gradients);
    (['uR', 'uX', 'uZ'] as const).forEach((name, i) => {
      digits.digit(name, Math.sqrt(covariance[i][i]), variant[name], 1e-3);
      expect(propagate(0, inputs, gradients[i]).standard).toBeCloseTo(Math.sqrt(covariance[i][i]), 12);
    });
    digits.digit('r(R, X)', outputs[0][1], variant.rRX, 1e-3);
    digits.digit('r(R, Z)', outputs[0][2], variant.rRZ, 1e-3);
    digits.digit('r(X, Z)', outputs[1][2], variant.rXZ, 1e-3);
    digits.finish('GUM H.2 without correlations', 'JCGM 100:2008 H.2, last part of Table H.4');
  });
});

test('Eurachem A1, cadmium calibration standard', () => {
  const printed = examples.QUAM_A1_cadmium_standard;
  const volume = propagate(
    100,
    [
      input('calibration', 0, 0.1 / Math.sqrt(6)),
      input('repeatability', 0, 0.02),
      input('temperature', 0, 0.084 / Math.sqrt(3)),
    ],
    [1, 1, 1],
  );
  const result = firstOrder(
    ([m, p, v]) => divide(multiply(multiply(1000, m), p), v),
    [input('m', 100.28, 0.05), input('P', 0.9999, 0.0001 / Math.sqrt(3)), input('V', 100, volume.standard)],
  );
  const digits = new PrintedDigits();
  digits.digit('c', result.value, printed.c_mg_L, 0.1);
  digits.digit('u', result.standard, printed.u_unrounded, 1e-6);
  digits.digit('m', Math.abs(result.budget[0].contribution), printed.budget.m, 1e-5);
  digits.digit('P', Math.abs(result.budget[1].contribution), printed.budget.P, 1e-7);
  digits.digit('V', Math.abs(result.budget[2].contribution), printed.budget.V, 1e-6);
  digits.finish('Eurachem A1 cadmium standard', 'Eurachem/CITAC QUAM 3rd edition, Appendix A1');
});

describe('Eurachem A3, titration', () => {
  const printed = examples.QUAM_A3_titration;
  const { inputs: given } = printed;
  const temperature = (volume: number): number => (volume * 2.1e-4 * 4) / Math.sqrt(3);
  const volume = (calibration: number, fill: number): number =>
    Math.hypot(calibration / Math.sqrt(6), temperature(fill));
  // Balance linearity 0.15 mg, once for each of two weighings, and the atomic weights: CITAC_A3.rst, as named in the reference file.
  const mass = propagate(given.m_g, [rectangle('gross', 0.15e-3), rectangle('tare', 0.15e-3)], [1, -1]);
  const molar = propagate(
    8 * 12.0107 + 5 * 1.00794 + 4 * 15.9994 + 39.0983,
    [rectangle('C', 0.0008), rectangle('H', 0.00007), rectangle('O', 0.0003), rectangle('K', 0.0001)],
    [8, 5, 4, 1],
  );
  const titration = (repeatability: number, [excess, uExcess]: [number, number]): Uncertain =>
    firstOrder(
      ([r, m, p, vt2, vt1, molarMass, acid, e1, e2]) =>
        divide(
          multiply(multiply(multiply(1000, r), multiply(m, p)), subtract(vt2, e2)),
          multiply(multiply(subtract(vt1, e1), molarMass), acid),
        ),
      [
        input('R', given.R[0], repeatability),
        input('m', mass.value, mass.standard),
        input('P', given.P[0], given.P[1] / Math.sqrt(3)),
        input('VT2', given.VT2[0], volume(0.03, 15)),
        input('VT1', given.VT1[0], volume(0.03, 19)),
        input('M', molar.value, molar.standard),
        input('VHCl', 15, volume(0.02, 15)),
        input('end point 1', excess, uExcess),
        input('end point 2', excess, uExcess),
      ],
    );

  test('concentration and its uncertainty, three variants', () => {
    const digits = new PrintedDigits();
    const plain = titration(given.R[1], [0, 0]);
    digits.digit('c', plain.value, printed.c, 1e-5);
    digits.digit('u', plain.standard, printed.u, 1e-7);
    const ofThree = given.R[1] / Math.sqrt(3);
    digits.digit('u of three', titration(ofThree, [0, 0]).standard, printed.repeatability_over_sqrt3.u, 1e-5);
    const biased = titration(ofThree, printed.with_end_point_bias.excess_mL);
    digits.digit('c with bias', biased.value, printed.with_end_point_bias.c, 1e-5);
    digits.digit('u with bias', biased.standard, printed.with_end_point_bias.u, 1e-7);
    digits.finish('Eurachem A3 titration', 'Eurachem/CITAC QUAM 3rd edition, Appendix A3');
  });
});

test('NIST TN 1900 E3, viscometer, first order', () => {
  const { inputs: given, GUF: printed } = examples.NIST_TN1900_E3;
  const names = ['mu_c', 't_m', 'rho_m', 'rho_c', 't_c', 'rho_b'] as const;
  const result = firstOrder(
    ([muC, tM, rhoM, rhoC, tC, rhoB]) =>
      divide(multiply(multiply(muC, tM), subtract(rhoB, rhoM)), multiply(tC, pow(subtract(rhoB, rhoC), 1))),
    names.map((name) => input(name, ...given[name])),
  );
  const digits = new PrintedDigits();
  digits.digit('mu', result.value, printed[0], 0.01);
  digits.digit('u(mu)', result.standard, printed[1], 0.01);
  digits.finish('NIST TN 1900 E3, first order', 'NIST TN 1900 example E3');
  expect(result.coverageFactor).toBe(coverageFactorOf(Infinity));
});
