export const MIXING = [
  {
    title: 'Plan of a ferment, forwards and backwards',
    ids: ['plan-mass-balance'],
    formula:
      'density of the wash from its sugars, its extract on the sucrose scale, then Balling and Tabarié with an expected attenuation or final gravity. Backwards by bisection. The addition that corrects an original gravity follows from a mass balance.',
    source: 'Nielsen et al. 2007; ICUMSA SPS-4; CRC rows of dextrose; molar masses for the monohydrate (90.909 %).',
    range: 'solids to 60 % of the wash, up to 20 fermentables.',
    error: 'standard uncertainty 3 % of the strength for sugar washes (a stated default), 2.4 % for malt.',
    notCovered: 'the performance of the yeast; unfermentable sugars, which the expected attenuation must include.',
    checks: [],
  },
  {
    title: 'Dilution, addition and fortification',
    ids: ['dilution-mass-balance', 'addition-mass-balance'],
    formula:
      'mass, pure alcohol and extract are conserved, volumes are not: V = M / ρ(A/M, E/M). Water at 60 °F: water(target) × alcohol(given) / alcohol(target) − water(given).',
    source: 'OIML R 22; Tabarié made up to volume (OIV-MA-AS2-03B) with ICUMSA SPS-4; 27 CFR 30.66.',
    range: '0 to 100 % vol, target from 0.01 % vol, −5 to 60 °P, volumes to 10⁹ L, doses to 1,000 mL/L.',
    error:
      'without extract 0.01 % of the volume; with extract the error of the density of a drink. Dissolved dextrose adds 0.006 L/kg more than computed.',
    notCovered: 'evaporation, and the heat of mixing: gauge when the liquid is back near 20 °C.',
    checks: [
      'Water to add to reach a strength, US gauging manual',
      'Water to add, R 22 at 60 °F computed independently',
      'Worked dilution examples, 27 CFR 30.66',
    ],
  },
  {
    title: 'Blend',
    ids: ['blend-linear-program'],
    formula:
      'linear program in mass with the partial volumes at the composition of the blend, iterated until it converges; of all possible draws, the one with the least Σ strength² × volume.',
    source: 'OIML R 22, Tabarié made up to volume with ICUMSA SPS-4; solver HiGHS.',
    range: '2 to 10 components between a minimum and the available volume.',
    error:
      '1e-6 relative of volume and strength; for lots of practically equal strength up to 0.005 % vol, with a warning.',
    notCovered: 'taste, and what laws allow to be blended.',
    checks: [],
  },
  {
    title: 'Carbonation and conditioning',
    ids: ['co2-equilibrium', 'conditioning-sugar'],
    formula:
      'ln K0 = −60.2409 + 93.4517 (100/T) + 23.3585 ln(T/100), fugacity by the second virial coefficient; a volume is 1.9767 g/L (0 °C, 1 atm, from memory). Conditioning sugar is assumed to ferment completely; the CO₂ still dissolved is subtracted. Timed: the gap to equilibrium halves in each half-time (12 to 60 h at rest, common practice, no source).',
    source:
      'Weiss, Marine Chemistry 2 (1974) 203 for water, which is the default; for `liquid: beer` the published fit of an instrument manual for a beer of 12 °P (five-decimal constant from memory).',
    range: '0 to 40 °C, to 1,000 kPa absolute, to 8 volumes, atmosphere 50 to 110 kPa.',
    error:
      '0.7 % against Murray & Riley, 2.4 % against CRC beyond half of its last printed digit; a beer of 12 °P needs 0.07 bar more at 4 °C and 2.5 volumes, as the answer says. Conditioning about 5 % of the CO₂.',
    notCovered:
      'solubility in strong or sweet drinks, head space, and the strength of a container: pressure can burst it; local codes and licensed practice decide.',
    checks: ['CO2 in water, CRC Handbook', 'CO2 in water, Murray & Riley', 'CO2 in water, IAPWS guideline'],
  },
  {
    title: 'Ions of brewing water',
    ids: ['brewing-water-ions'],
    formula:
      'mg/L of an ion = mass of the salt / volume × moles of the ion in a mole of the salt × molar mass of the ion / molar mass of the salt with its water of crystallisation; hardness and alkalinity as CaCO₃.',
    source: 'IUPAC standard atomic weights, abridged (2021), from memory; stoichiometry.',
    range: 'to 20 g of salts and 5,000 mg/L of each ion to a litre, up to 20 salts.',
    error: '0.1 % from the atomic weights; purity of the salt (1 to 5 %) and water that it took up come on top.',
    notCovered: 'what malt gives and takes, acids, solids that fall out, other ions than the six.',
    checks: ['Water salts: molar masses of reagents'],
  },
];
