/** How litres become what duty is reckoned on, by the producer's own rules. */
export const DUTY = [
  {
    title: 'Litres, alcohol and money for duty',
    ids: ['duty-rule-set'],
    formula:
      'per release: litres, pure alcohol, barrels, proof gallons or hectolitre-degrees, each rounded only at the named steps of the rule set, the raw value kept beside; groups and money likewise.',
    source:
      'the rule set that the producer chose; the ready-made ones name theirs. Worked examples of several countries.',
    range: 'strengths 0 to 100 % vol that the bands of the category cover, days that its rates cover.',
    error: 'exact decimals.',
    notCovered: 'whether a rule set is the one that applies: local law and licensed practice decide.',
    checks: [
      '27 CFR 25.156, 25.158: barrels of cases and kegs',
      'Worked duty examples as published',
      'Worked duty examples, result not seen',
      'Worked duty examples that are no rule of duty',
    ],
  },
];
