export const STRENGTH = [
  {
    title: 'Strength by mass balance',
    ids: ['mass-balance'],
    formula:
      'Balling OE = 100 (2.0665 A + ER) / (100 + 1.0665 A) and Tabarié (made up to mass) solved together for alcohol A and real extract ER; strength = A ρ / ρ(ethanol, 20 °C). For 2.0665 a dextrose wash has 2.036 (its solutions read low on the sucrose scale) and a sucrose wash 1.9632 (sucrose takes up water when it ferments), by the share of each in the recipe. Sensitivities by implicit differentiation.',
    source:
      'Balling: Nielsen et al., Brauwelt Int. 2007; Tabarié; model term: Cutaia, Reid, Speers, J. Inst. Brew. 115 (2009) 318.',
    range:
      'original 0 to 60 °P, both readings 0 to 40 °C. A real extract below zero beyond its uncertainty is refused.',
    error:
      'model term, u 2.4 % of the strength for malt (spread of 532 brews), 3 % for sugar washes (a stated default), or bias and u of the producer’s own certificate pairs; in addition the readings and the convention of Tabarié. A gravity without a temperature is taken as at its scale’s, ± 5 °C. One wide region of a calibration counts as pieces of 20 points.',
    notCovered:
      'liquids that were distilled, diluted or blended after fermentation. A single factor and the 0.1808 approximation are not used.',
    checks: [
      'Published data-set means: alcohol by mass balance',
      'Published data-set means: original extract by Balling',
      'Published data-set means: real extract by Tabarié, made up to mass',
      'Published data-set means: real extract by Tabarié, made up to volume',
    ],
  },
  {
    title: 'Effective original extract after additions',
    ids: ['effective-original-extract'],
    formula:
      'mass-weighted mean over the contents of the vessel at each addition, expressed as the wort from which they came: (100 + 1.0665 A) to 100.',
    source: 'mass balance.',
    range: '−5 to 60 °P, up to 100 additions.',
    error: 'that of the budget of the masses; 0.5 % of the addition where the alcohol formed by then is not given.',
    notCovered:
      'after a dilution or blend, where the original gravity no longer applies and the mixture has its own finding.',
    checks: [],
  },
  {
    title: 'Strength carried over by a split, or stated at the opening',
    ids: ['split', 'opening-statement', 'document-statement'],
    formula:
      'the finding of the lot that was split, with its budget and its origins (split); strength and uncertainty as the producer stated them when the books began (opening-statement); as the document states them that came with received drink (document-statement).',
    source: 'one liquid has one strength; the producer’s own statement.',
    range: '0 to 100 % vol.',
    error: 'that of the original finding; the stated one.',
    notCovered: 'later changes of the composition.',
    checks: [],
  },
  {
    title: 'Strength of a mixture',
    ids: ['mixture'],
    formula: '100 × pure alcohol / volume of the computed result; components of uncertainty added by origin.',
    source: 'conservation of mass and alcohol; JCGM 100, 5.2.',
    range: 'volume above 0, pure alcohol from 0 to the volume.',
    error:
      'that of the components, and of the formula for the density of a drink: ± 3 % of (alcohol by volume × kg of extract in a litre) of the volume, rectangular. Litres drawn by measure ± 1 % where no u is given (common practice, no source).',
    notCovered: 'losses while mixing.',
    checks: [],
  },
  {
    title: 'Strength from the gravity drop by the excise factor table',
    ids: ['gravity-drop-table'],
    formula:
      'drop in points of SG 20/20, rounded to 0.1 first, times the factor of its row; nothing is rounded after that.',
    source: 'HMRC Notice 226, paragraph 30.3 (withdrawn in February 2025).',
    range: 'a drop of 0 to 100.7 points; refused above.',
    error:
      'one factor for every drink, so it has the model term of the mass balance. The budget contains the drop, its rounding and the last digit of the factor.',
    notCovered: 'acceptance by a law in force.',
    checks: [
      'HMRC factor table: factor at every tenth of a point',
      'HMRC factor table: strength printed at the end of each row',
    ],
  },
  {
    title: 'Strength from density or alcoholometer',
    ids: ['alcohol-density', 'alcoholometer'],
    formula:
      'OIML R 22 inverted; the mark of an alcoholometer is first corrected to the temperature of the sample by the expansion of the glass.',
    source: 'OIML R 22; OIV-MA-AS312-01; ISO 1768.',
    range: '−20 to 40 °C (0 to 40 °C with a residue); residue 0 to 5 g/L.',
    error: '0.006 % vol of the formula, 0.02 % vol with an alcoholometer, in addition to the budget.',
    notCovered:
      'liquids with extract: 1 g/L of solids lowers the result by 0.2 to 0.3 % vol. Distil, or state the residue with its u.',
    checks: [],
  },
  {
    title: 'Strength from a laboratory certificate',
    ids: ['certificate'],
    formula:
      'u = U / k; value, U and k are kept as stated. Certificates of one laboratory share half of the variance (a stated default), unnamed ones nothing.',
    source: 'JCGM 100, 4.3.3.',
    range: '0 to 100 % vol, k above 0 to 20.',
    error: 'that of the certificate.',
    notCovered: 'the identity of sample and lot.',
    checks: [],
  },
  {
    title: 'Comparison of two findings, bias of the model',
    ids: ['normalised-error', 'model-bias'],
    formula:
      'E_n = |x₁ − x₂| / U(x₁ − x₂), k = 2; common origins cancel. Bias = mean of certificate / mass balance − 1; u of a further lot = s √(1 + 1/n), in addition to the u of the certificates.',
    source: 'ISO/IEC 17043 (E_n, from memory); JCGM 100, 4.2, 5.2 and G.4.',
    range: 'five or more certificate pairs, 0.1 to 30 % vol.',
    error: 'with few pairs the degrees of freedom are small.',
    notCovered: 'the choice between two findings that disagree.',
    checks: [],
  },
  {
    title: 'Bias of the mass balance, learned from certificates',
    ids: ['mass-balance'],
    formula:
      'certificate / mass balance − 1 of each lot whose gravities were read is the sum of a producer’s, a kind’s, a recipe’s and a lot’s part, all normal, with the stated default as prior (shares of its variance 0.4, 0.2, 0.2 and 0.2, a default of this project), integrated over an unknown variance from lot to lot. Noise of certificates and readings is taken off as a covariance by origin.',
    source:
      'JCGM 100, 4.3; C. Elster, Metrologia 44 (2007) 111; A. Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 5.',
    range: 'from the first certificate of another lot; at most the latest 200.',
    error:
      'in simulations of 2,000 producers with biases of the prior, 95 % intervals cover 93 to 97 % at 0 to 20 certificates.',
    notCovered: 'an error that the hydrometer of the new lot shares with the earlier ones: it is counted twice.',
    checks: [],
  },
  {
    title: 'Several findings of one liquid, joined',
    ids: ['joined'],
    formula:
      'generalised least squares, weights V⁻¹1 / (1ᵀV⁻¹1) with the covariances of shared origins; chi-squared of the deviations, E_n of each with u²(d) = u²(x) − u²(joined).',
    source:
      'M. G. Cox, Metrologia 39 (2002) 589, procedure A; L. Lyons, D. Gibaut and P. Clifford, Nucl. Instrum. Methods A 270 (1988) 110, whose example is given again.',
    range: '2 to 20 findings by measurements that are not the same.',
    error: 'first order; each u is taken as known.',
    notCovered: 'findings that disagree beyond chance: they are not taken as of record.',
    checks: [],
  },
  {
    title: 'Energy',
    ids: ['energy-eu-1169'],
    formula: '29 kJ (7 kcal) per g of alcohol, 17 kJ (4 kcal) per g of carbohydrate, in 100 mL, unrounded.',
    source: 'Regulation (EU) 1169/2011, Annex XIV; carbohydrate from memory.',
    range: '0 to 100 % vol; extract 0 to 60 °P or carbohydrate 0 to 800 g/L.',
    error:
      'the factors are conventions; if all extract is counted as carbohydrate, the result is up to a tenth too high (common practice, no source).',
    notCovered: 'acids, protein, fat and polyols.',
    checks: [],
  },
  {
    title: 'Forecast of a fermentation',
    ids: ['fermentation-curve'],
    formula:
      'P(t) = P₀ − (P₀ − P₁) f(t), f = (1 + ν e^(−B(t − M)))^(−1/ν), forwards (ν 0.1 to 3) or backwards in time (ν 0.03 to 0.5). Seven shapes are fitted by least squares with priors and weighted by their evidence (Laplace); 500 draws of the parameters give the 95 % intervals. Finish: from then on P falls by no more than the producer’s change over the producer’s hours.',
    source:
      'five-parameter logistic of attenuation, after the logistic of ASBC Yeast-14 (from memory); Levenberg–Marquardt (from memory).',
    range: '4 gravities and more, a tenth of the expected fall done.',
    error:
      'the interval stated, with 3 % of the fall in each reading and a tenth of the remaining time for the model (from simulated curves). Of ten curves by another kinetic model, with noise and missing days, it held the finish of nine or more at every reading from half-way on.',
    notCovered:
      'sugar added later (the curve begins anew), changes of temperature to come. It plans the work; only readings decide that a ferment has finished.',
    checks: ['Least squares: NIST Misra1a'],
  },
];
