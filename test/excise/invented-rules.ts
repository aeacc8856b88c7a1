export const percent = (value: number) => ({ value, unit: '%' });

/** An invented set: by the litre of pure alcohol, money to the cent by period; another rate from June. */
export const inventedRules = (rates: readonly object[] | undefined, strengthRule = 'declared', returns?: string) => ({
  name: 'Invented rules',
  validFrom: '2026-01-01',
  sources: [{ citation: 'Invented for the test', edition: 'one' }],
  currency: 'EUR',
  cadence: 'month',
  strengthForDuty: { rule: strengthRule },
  ...(returns === undefined ? {} : { returns }),
  categories: [
    {
      code: 'all',
      name: 'Everything',
      basis: 'litre-of-alcohol',
      unit: 'L',
      bands: [{ code: 'any', name: 'any strength', fromStrength: percent(0) }],
      ...(rates === undefined ? {} : { rates }),
      rounding: [{ name: 'to the cent', basis: 'money', mode: 'half-up', places: 2, grouping: 'period' }],
    },
  ],
});
export const RATES = [
  { band: 'any', from: '2026-01-01', before: '2026-06-01', amount: 10 },
  { band: 'any', from: '2026-06-01', amount: 12 },
];
