export const STRENGTH = [
  {
    title: 'Strength by mass balance',
    ids: ['mass-balance'],
    formula:
      'Balling OE = 100 (2.0665 A + ER) / (100 + 1.0665 A) and Tabarié (made up to mass) solved together for alcohol A and real extract ER; strength = A ρ / ρ(ethanol, 20 °C). Sensitivities by implicit differentiation.',
    source:
      'Balling: Nielsen et al., Brauwelt Int. 2007; Tabarié; model term: Cutaia, Reid, Speers, J. Inst. Brew. 115 (2009) 318.',
    range:
      'original 0 to 60 °P, both readings 0 to 40 °C. A real extract below zero beyond its uncertainty is refused.',
    error:
      'model term, u 2.4 % of the strength for malt (spread of 532 brews), 3 % for sugar washes (a stated default), or bias and u of the producer’s own certificate pairs; beside it the readings and the convention of Tabarié.',
    notCovered:
      'what was distilled, diluted or blended after fermentation; a single factor or the 0.1808 shortcut is not used.',
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
      'mass-weighted over what was in the vessel at each addition, counted as the wort it came from: (100 + 1.0665 A) to 100.',
    source: 'mass balance.',
    range: '−5 to 60 °P, up to 100 additions.',
    error: 'the budget of the masses; 0.5 % of the addition where the alcohol formed by then is not given.',
    notCovered: 'after a dilution or blend: the original gravity no longer applies, the mixture is itself a finding.',
    checks: [],
  },
  {
    title: 'Strength that is carried on or stated',
    ids: ['split', 'opening-statement'],
    formula:
      'the finding of the lot that was parted, with its budget and its origins (split); strength and uncertainty as the producer stated them when the books began (opening-statement).',
    source: 'one liquid has one strength; the producer’s own statement.',
    range: '0 to 100 % vol.',
    error: 'that of the finding that is carried on; the stated one.',
    notCovered: 'what changes the composition afterwards.',
    checks: [],
  },
  {
    title: 'Strength of a mixture',
    ids: ['mixture'],
    formula: '100 × pure alcohol / volume of the computed result; components of uncertainty carried by origin.',
    source: 'conservation of mass and alcohol; JCGM 100, 5.2.',
    range: 'volume above 0, pure alcohol from 0 to the volume.',
    error: 'that of the parts.',
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
      'one factor for every drink: the model term of the mass balance; the drop, its rounding and the factor’s last digit in the budget.',
    notCovered: 'whether a law in force accepts it.',
    checks: [
      'HMRC factor table: factor at every tenth of a point',
      'HMRC factor table: strength printed at the end of each row',
    ],
  },
  {
    title: 'Strength from density or alcoholometer',
    ids: ['alcohol-density', 'alcoholometer'],
    formula:
      'OIML R 22 inverted; the alcoholometer’s mark is brought to the sample’s temperature by the glass term first.',
    source: 'OIML R 22; OIV-MA-AS312-01; ISO 1768.',
    range: '−20 to 40 °C (0 to 40 °C with a residue); residue 0 to 5 g/L.',
    error: '0.006 % vol of the formula, 0.02 % vol with an alcoholometer, beside the budget.',
    notCovered: 'liquids with extract: 1 g/L of solids hides 0.29 % vol. Distil, or state the residue with its u.',
    checks: [],
  },
  {
    title: 'Strength from a laboratory certificate',
    ids: ['certificate'],
    formula: 'u = U / k; value, U and k stay as stated.',
    source: 'JCGM 100, 4.3.3.',
    range: '0 to 100 % vol, k above 0 to 20.',
    error: 'the certificate’s.',
    notCovered: 'whether the sample was the lot.',
    checks: [],
  },
  {
    title: 'Comparison of two findings, bias of the model',
    ids: ['normalised-error', 'model-bias'],
    formula:
      'E_n = |x₁ − x₂| / U(x₁ − x₂), k = 2, shared origins cancelling. Bias = mean of certificate / mass balance − 1; u of a further lot = s √(1 + 1/n) beside the certificates’ own.',
    source: 'ISO/IEC 17043 (E_n, from memory); JCGM 100, 4.2, 5.2 and G.4.',
    range: 'five or more certificate pairs, 0.1 to 30 % vol.',
    error: 'with few pairs the degrees of freedom say how little is known.',
    notCovered: 'which of two disagreeing findings is right.',
    checks: [],
  },
  {
    title: 'Energy',
    ids: ['energy-eu-1169'],
    formula: '29 kJ (7 kcal) per g of alcohol, 17 kJ (4 kcal) per g of carbohydrate, in 100 mL, unrounded.',
    source: 'Regulation (EU) 1169/2011, Annex XIV; carbohydrate from memory.',
    range: '0 to 100 % vol; extract 0 to 60 °P or carbohydrate 0 to 800 g/L.',
    error:
      'the factors are conventions; extract counted whole as carbohydrate is up to a tenth too much (common practice, no source).',
    notCovered: 'acids, protein, fat and polyols.',
    checks: [],
  },
];
