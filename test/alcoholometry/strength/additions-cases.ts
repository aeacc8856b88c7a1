const exact = (value: number) => ({ value, components: [] });

/** Additions whose effective original extract follows by plain weighing. */
export const additionsCases = [
  { name: 'nothing added changes nothing', original: 12, additions: [], expected: 12 },
  {
    name: 'water halves it',
    original: 12,
    additions: [{ vesselMassKg: exact(100), addedMassKg: exact(100), addedExtractPercent: exact(0) }],
    expected: 6,
  },
  {
    name: '5 kg of sugar in 95 kg of 10 °P',
    original: 10,
    additions: [{ vesselMassKg: exact(95), addedMassKg: exact(5), addedExtractPercent: exact(100) }],
    expected: 14.5,
  },
  {
    name: 'two steps weigh what was in the vessel at each',
    original: 10,
    additions: [
      { vesselMassKg: exact(90), addedMassKg: exact(10), addedExtractPercent: exact(100) },
      { vesselMassKg: exact(100), addedMassKg: exact(100), addedExtractPercent: exact(0) },
    ],
    expected: 9.5,
  },
  {
    name: 'a vessel that has fermented stands for the wort it came from',
    original: 20,
    additions: [
      {
        vesselMassKg: exact(100 / (1 + 0.010665 * 5)),
        alcoholByMassPercent: 5,
        addedMassKg: exact(100),
        addedExtractPercent: exact(0),
      },
    ],
    expected: 10,
  },
];
