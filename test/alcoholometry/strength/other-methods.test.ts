import fc from 'fast-check';
import { additionsCases } from './additions-cases.js';
import { asOriginalGravity, effectiveOriginalExtract } from '../../../src/alcoholometry/strength/additions.js';
import { certificate } from '../../../src/alcoholometry/strength/certificate.js';
import { compareFindings } from '../../../src/alcoholometry/strength/compare.js';
import { massBalance } from '../../../src/alcoholometry/strength/mass-balance.js';
import { mixture } from '../../../src/alcoholometry/strength/mixture.js';
import { modelBias } from '../../../src/alcoholometry/strength/model-bias.js';
import { refusalOf } from '../../support/refusal.js';

describe('certificate', () => {
  const stated = { strengthPercent: 5.02, expandedUncertainty: 0.1, coverageFactor: 2 };

  it('keeps value, U and k as stated', () => {
    const { strengthPercent } = certificate(stated);
    expect(strengthPercent).toMatchObject({ value: 5.02, standard: 0.05, expanded: 0.1, coverageFactor: 2 });
    expect(strengthPercent.budget).toHaveLength(1);
  });

  it('has half of its variance from a named laboratory, all of it for itself without one', () => {
    const effects = (laboratory: string | undefined, origin: string) =>
      new Map(
        certificate({ ...stated, laboratory, origin }).strengthPercent.budget.map((line) => [
          line.origin,
          line.sensitivity * line.standardUncertainty,
        ]),
      );
    const uOfDifference = (one: Map<string, number>, other: Map<string, number>): number =>
      Math.hypot(
        ...[...new Set([...one.keys(), ...other.keys()])].map((each) => (one.get(each) ?? 0) - (other.get(each) ?? 0)),
      );
    // By hand: u = 0.05; of one laboratory √(2 · ½) u, of two or of unnamed ones √2 u, of one certificate twice nothing.
    expect(uOfDifference(effects('L', 'a'), effects('L', 'b'))).toBeCloseTo(0.05, 12);
    expect(uOfDifference(effects('L', 'a'), effects('M', 'b'))).toBeCloseTo(0.05 * Math.SQRT2, 12);
    expect(uOfDifference(effects(undefined, 'a'), effects(undefined, 'b'))).toBeCloseTo(0.05 * Math.SQRT2, 12);
    expect(uOfDifference(effects('L', 'a'), effects('L', 'a'))).toBe(0);
    const named = certificate({ ...stated, laboratory: 'L', degreesOfFreedom: 9 }).strengthPercent;
    expect(named).toMatchObject({ standard: 0.05, expanded: 0.1, coverageFactor: 2, degreesOfFreedom: 9 });
  });

  it('warns of a certificate without uncertainty', () => {
    expect(certificate({ ...stated, expandedUncertainty: 0 }).warnings).toHaveLength(1);
    expect(certificate(stated).warnings).toEqual([]);
  });

  it.each([
    ['k zero', { coverageFactor: 0 }],
    ['negative k', { coverageFactor: -2 }],
    ['negative U', { expandedUncertainty: -0.1 }],
    ['more than 100 % vol', { strengthPercent: 100.1 }],
  ])('refuses %s', (_, change) => {
    expect(refusalOf(() => certificate({ ...stated, ...change })).rule).toBe('out-of-range');
  });
});

describe('effective original extract', () => {
  const exact = (value: number) => ({ value, components: [] });

  it.each(additionsCases)('$name', ({ original, additions, expected }) => {
    const found = effectiveOriginalExtract({ value: original }, additions);
    expect(found.value).toBeCloseTo(expected, 10);
  });

  it('lies between its parts', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 30, noNaN: true }),
        fc.double({ min: 0.01, max: 500, noNaN: true }),
        (oe, kg) => {
          const addition = { vesselMassKg: exact(1000), addedMassKg: exact(kg), addedExtractPercent: exact(60) };
          const found = effectiveOriginalExtract(exact(oe), [addition]).value;
          expect(found).toBeGreaterThan(Math.min(oe, 60));
          expect(found).toBeLessThan(Math.max(oe, 60));
        },
      ),
    );
  });

  it('carries the uncertainty of vessel and addition, by hand', () => {
    const u = (name: string, standardUncertainty: number) => [{ name, standardUncertainty, origin: name }];
    const found = effectiveOriginalExtract({ value: 10, components: u('original', 0.1) }, [
      {
        vesselMassKg: { value: 900, components: u('vessel', 9) },
        addedMassKg: { value: 100, components: u('scale', 0.1) },
        addedExtractPercent: { value: 100, components: u('sugar', 0.5) },
      },
    ]);
    // (900·10 + 100·100)/1000 = 19; per °P 0.9, per kg of vessel −100·90/10⁶, per kg added 900·90/10⁶, per % 0.1.
    expect(found.value).toBeCloseTo(19, 12);
    expect(found.standard).toBeCloseTo(Math.hypot(0.09, 9 * 0.009, 0.1 * 0.081, 0.05), 12);
  });

  it('becomes the original gravity of a mass balance with its origins', () => {
    const extract = effectiveOriginalExtract({ value: 12 }, [
      { vesselMassKg: { value: 1000 }, addedMassKg: exact(20), addedExtractPercent: exact(100) },
    ]);
    const original = asOriginalGravity(extract);
    const finding = massBalance({ original, final: { value: 1.005, scale: 'sg-20-20' } });
    expect(finding.originalExtractPlato).toBeCloseTo(extract.value, 9);
    const vessel = finding.strengthPercent.budget.find((line) => line.origin.startsWith('default/vessel-mass'));
    const perPlato = massBalance({
      original: { value: extract.value + 0.01, scale: 'plato' },
      final: { value: 1.005, scale: 'sg-20-20' },
    }).strengthPercent.value;
    const slope = (perPlato - finding.strengthPercent.value) / 0.01;
    const line = extract.budget.find(({ origin }) => origin.startsWith('default/vessel-mass'));
    expect(vessel?.contribution).toBeCloseTo(slope * (line?.contribution ?? NaN), 4);
  });

  it('refuses nonsense', () => {
    const addition = { vesselMassKg: exact(0), addedMassKg: exact(1), addedExtractPercent: exact(100) };
    expect(refusalOf(() => effectiveOriginalExtract(exact(12), [addition])).rule).toBe('out-of-range');
    const many = Array.from({ length: 101 }, () => ({ ...addition, vesselMassKg: exact(1) }));
    expect(refusalOf(() => effectiveOriginalExtract(exact(12), many)).rule).toBe('too-many');
    const above = { ...addition, vesselMassKg: exact(1), addedExtractPercent: exact(101) };
    expect(refusalOf(() => effectiveOriginalExtract(exact(12), [above])).rule).toBe('out-of-range');
  });
});

describe('mixture', () => {
  it('is pure alcohol over volume, its origins kept', () => {
    const finding = mixture({
      pureAlcoholL: 50,
      volumeL: 1000,
      pureAlcoholComponents: new Map([
        ['strength', 0.5],
        ['gauge', 0.25],
      ]),
      volumeComponents: new Map([
        ['gauge', 5],
        ['water', 2],
      ]),
    });
    expect(finding.strengthPercent.value).toBe(5);
    // The gauge moves alcohol and volume alike (0.25 of 50, 5 of 1000: both 0.5 %): it cancels.
    const effect = new Map(finding.strengthPercent.budget.map((line) => [line.origin, line.contribution]));
    expect(effect.get('strength')).toBeCloseTo(0.05, 12);
    expect(effect.get('gauge')).toBeCloseTo(0, 12);
    expect(effect.get('water')).toBeCloseTo(-0.01, 12);
    expect(finding.strengthPercent.standard).toBeCloseTo(Math.hypot(0.05, 0.01), 12);
  });

  it('says when nothing is known of its parts', () => {
    const empty = new Map<string, number>();
    const finding = mixture({ pureAlcoholL: 1, volumeL: 20, pureAlcoholComponents: empty, volumeComponents: empty });
    expect(finding.warnings).toHaveLength(1);
    expect(finding.strengthPercent.standard).toBe(0);
  });

  it('refuses more alcohol than liquid, and no liquid', () => {
    const empty = new Map<string, number>();
    const of = (pureAlcoholL: number, volumeL: number) => () =>
      mixture({ pureAlcoholL, volumeL, pureAlcoholComponents: empty, volumeComponents: empty });
    expect(refusalOf(of(2, 1)).rule).toBe('out-of-range');
    expect(refusalOf(of(0, 0)).rule).toBe('out-of-range');
    expect(refusalOf(of(-1, 1)).rule).toBe('out-of-range');
  });
});

describe('comparison of two findings', () => {
  const certified = (strengthPercent: number, expandedUncertainty: number, origin: string) =>
    certificate({ strengthPercent, expandedUncertainty, coverageFactor: 2, origin });

  it('has the normalised error of independent results', () => {
    const { normalisedError, agree, differencePercent } = compareFindings(
      certified(5.2, 0.1, 'a'),
      certified(5, 0.1, 'b'),
    );
    expect(differencePercent).toBeCloseTo(0.2, 12);
    expect(normalisedError).toBeCloseTo(0.2 / Math.hypot(0.1, 0.1), 12);
    expect(agree).toBe(false);
  });

  it('does not count a shared origin twice', () => {
    const shared = compareFindings(certified(5.1, 0.2, 'a'), certified(5, 0.1, 'a'));
    expect(shared.expandedUncertainty).toBeCloseTo(0.1, 12);
    expect(shared.normalisedError).toBeCloseTo(1, 9);
  });

  it('says agreement and disagreement in words', () => {
    expect(compareFindings(certified(5, 0.1, 'a'), certified(5.01, 0.1, 'b')).statement).toContain('agree within');
    expect(compareFindings(certified(5, 0.1, 'a'), certified(6, 0.1, 'b')).statement).toContain('disagree');
    expect(compareFindings(certified(5, 0.1, 'a'), certified(5, 0.1, 'a')).normalisedError).toBe(0);
  });

  it('refuses to compare different results without any uncertainty', () => {
    expect(refusalOf(() => compareFindings(certified(5, 0, 'a'), certified(6, 0, 'b'))).rule).toBe('contradictory');
  });
});

describe('model bias from certificate pairs', () => {
  const pair = (massBalancePercent: number, certificatePercent: number) => ({
    massBalancePercent,
    certificatePercent,
    certificateStandardUncertainty: 0.05,
  });
  const pairs = [pair(5, 5.1), pair(5, 5.2), pair(5, 5.15), pair(5, 5.05), pair(5, 5.25)];

  it('has bias, u of a further lot and degrees of freedom worked by hand', () => {
    const model = modelBias(pairs, 'recipe/1');
    // Ratios 0.02, 0.04, 0.03, 0.01, 0.05: mean 0.03, s² = 2.5e-4; a further lot 6/5 of it; certificates 0.05/5.15 on the mean.
    const shared = (0.05 / 5.1 + 0.05 / 5.2 + 0.05 / 5.15 + 0.05 / 5.05 + 0.05 / 5.25) / 5;
    expect(model.relativeBias).toBeCloseTo(0.03, 12);
    expect(model.relativeStandardUncertainty).toBeCloseTo(Math.sqrt(3e-4 + shared ** 2), 12);
    expect(model.degreesOfFreedom).toBeCloseTo(4 * ((3e-4 + shared ** 2) / 3e-4) ** 2, 9);
  });

  it('moves a finding by its bias and replaces the default u', () => {
    const input = {
      original: { value: 1.05, scale: 'sg-20-20' },
      final: { value: 1.01, scale: 'sg-20-20' },
    } as const;
    const bare = massBalance(input).strengthPercent;
    const model = modelBias(pairs, 'recipe/1');
    const biased = massBalance({ ...input, model }).strengthPercent;
    expect(biased.value / bare.value).toBeCloseTo(1.03, 12);
    const line = biased.budget.find(({ origin }) => origin === 'recipe/1');
    expect(line?.contribution).toBeCloseTo(model.relativeStandardUncertainty * bare.value, 9);
    expect(biased.degreesOfFreedom).not.toBeNull();
  });

  it('refuses fewer than five, and pairs that are worlds apart', () => {
    expect(refusalOf(() => modelBias(pairs.slice(1), 'r')).rule).toBe('too-few');
    expect(
      refusalOf(() =>
        modelBias(
          pairs.map(() => pair(5, 10)),
          'r',
        ),
      ).rule,
    ).toBe('readings-disagree');
    expect(refusalOf(() => modelBias([...pairs, pair(0, 5)], 'r')).rule).toBe('out-of-range');
  });
});
