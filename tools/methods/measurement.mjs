export const MEASUREMENT = [
  {
    title: 'Propagation of uncertainty',
    ids: ['uncertainty-propagation'],
    formula:
      'u² = Σ c_i c_j u_i u_j r_ij. Inputs of one origin are fully correlated; a stated matrix replaces that. ν by Welch–Satterthwaite over independent groups; k is the t quantile at ν rounded down to a whole number (1.959964 at infinite ν). Where one rectangular input makes half of the variance or more, a strength calculation also answers the k of its convolution with a normal rest, 1.645 to 1.960 (1.65 in EA-4/02 S9, from memory).',
    source: 'JCGM 100:2008, 5.1, 5.2, G.4, H.1.6.',
    range: '1 to 1,000 inputs (100 with a matrix, and over HTTP), u ≥ 0, ν ≥ 1, coverage 0.5 to 0.9999.',
    error:
      'first order; Monte Carlo shows whether that is enough. Sensitivities are exact, by implicit differentiation. The t and normal distributions come from a statistics library; its t factors have the printed digits of Table G.2.',
    notCovered: 'second-order terms; over HTTP models other than linear ones.',
    checks: [
      'GUM H.1 end gauge, first order',
      'GUM H.1 comparison of the gauges',
      'GUM H.2 with correlations',
      'GUM H.2 by single sets of readings',
      'GUM H.2 without correlations',
      'GUM t-factors (Table G.2)',
      'Eurachem A1 cadmium standard',
      'Eurachem A3 titration',
      'NIST TN 1900 E3, first order',
    ],
  },
  {
    title: 'Propagation of distributions (Monte Carlo)',
    ids: ['monte-carlo'],
    formula:
      'seeded draws of normal, rectangular, triangular, U-shaped and Student inputs through the full model; shortest and symmetric intervals; the law of propagation is confirmed where both ends agree within δ, half a unit of the last of one (or two) significant digits of u.',
    source: 'JCGM 101:2008, clauses 6.4, 7 and 8; generator xoroshiro128+.',
    range: '1,000 to 1,000,000 draws (200,000 over HTTP), on request, never within a transaction.',
    error: 'mean ± standard/√draws, each end of a 95 % interval about ± 2.7 standard/√draws.',
    notCovered:
      'stated correlations of distributions other than normal: they are refused, because the standard gives no joint distribution.',
    checks: [
      'JCGM 101 9.2.2 normal',
      'JCGM 101 9.2.3 rectangular',
      'JCGM 101 9.2.4 dominant rectangular',
      'JCGM 101 9.3 mass calibration',
      'JCGM 101 9.5 gauge block',
      'NPL DEM-ES-011 logarithm',
      'NIST TN 1900 E3, Monte Carlo',
    ],
  },
  {
    title: 'Conformity with a tolerance',
    ids: ['conformity-guard-band'],
    formula:
      'probability of lying within the tolerance; `conforms` from 1 − risk upwards, `does-not-conform` up to the risk, otherwise `cannot-tell`. One limit, or a limit on each side of its own.',
    source: 'JCGM 106:2012, clauses 7 and 8.3.',
    range: 'risk 0.0001 to 0.5, ν ≥ 1.',
    error: 'probability 1e-10; ends of the acceptance interval 1e-9 u.',
    notCovered: 'prior knowledge of the process.',
    checks: [],
  },
  {
    title: 'Fill check',
    ids: ['fill-check'],
    formula:
      'average: mean ≥ Qn − s t(0.995; n − 1)/√n; containers below Qn − TNE at most 3, 5, 7 of 50, 80, 125 (else the upper 5 % point of the binomial law at 2.5 %); none below Qn − 2 TNE.',
    source: 'Directive 76/211/EEC, Annexes I and II; OIML R 87 (in part from memory).',
    range: 'nominal 5 mL to 50 L, 2 to 2,000 fills.',
    error: 'exact; the measurement uncertainty of the single fills is not subtracted.',
    notCovered: 'the legal check, which is the officer’s.',
    checks: ['Tolerable negative error of nominal volumes'],
  },
  {
    title: 'Blind tastings: triangle test and paired comparison',
    ids: ['triangle', 'paired'],
    formula:
      'P(X ≥ k) of the binomial law, summed exactly; p = 1/3 (triangle, one-sided) or 1/2 (paired; two-sided is twice the tail of the larger number). Orders in shuffled blocks of all orders, codes drawn without repetition.',
    source: 'ISO 4120, ISO 5495; tables of least numbers from memory.',
    range: '1 to 300 servings in a tasting, significance 0.001 to 0.5.',
    error: '1e-10 relative.',
    notCovered:
      'proof that two drinks are alike; answers of one assessor to several servings are taken as independent.',
    checks: ['ISO 4120 and ISO 5495: least numbers'],
  },
  {
    title: 'Losses against their uncertainty, and their sum over periods',
    ids: ['loss-judgement', 'tabular-cusum'],
    formula:
      'P(true loss > 0) = Φ(|difference| / u), one-sided. Over periods: z = unaccounted litres / u; S_hi = max(0, S_hi + z − k), S_lo = max(0, S_lo − z − k); a sum beyond h is no noise. Average run lengths by Page’s integral equation, both sides by 1/ARL = 1/ARL_hi + 1/ARL_lo.',
    source:
      'JCGM 106:2012, 7.2; E. S. Page, Biometrika 41 (1954) 100–115; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3.',
    range: 'u > 0; k 0 to 3, h 0.5 to 20 standard uncertainties.',
    error: 'probability 2e-15; run lengths 1e-4 relative for k of 0.25 to 1 and h of 3 to 6.',
    notCovered:
      'differences whose uncertainty is not stated: they have no probability and leave the sums as they are; an error that repeats in each period looks like a leak.',
    checks: ['Tabular CUSUM: the twenty groups of the handbook', 'Average run lengths of the tabular CUSUM, k = 0.5'],
  },
];
