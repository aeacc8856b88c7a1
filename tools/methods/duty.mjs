/** Computation of duty from litres, by the rules of the producer. */
export const DUTY = [
  {
    title: 'Litres, alcohol and money for duty',
    ids: ['duty-rule-set'],
    formula:
      'per release: litres, pure alcohol, barrels, proof gallons or hectolitre-degrees, each rounded only at the named steps of the rule set, and kept with its unrounded value; groups and money likewise.',
    source:
      'the rule set that the producer chose; the ready-made ones name theirs. Worked examples of several countries.',
    range: 'strengths of 0 to 100 % vol within the bands of the category, and days for which it has rates.',
    error: 'exact decimals.',
    notCovered: 'the choice of the rule set that applies: local law and licensed practice decide.',
    checks: [
      '27 CFR 25.156, 25.158: barrels of cases and kegs',
      'Worked duty examples as published',
      'Worked duty examples, result not seen',
      'Worked duty examples that are no rule of duty',
    ],
  },
];
