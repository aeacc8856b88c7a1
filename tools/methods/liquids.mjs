export const LIQUIDS = [
  {
    title: 'Density of ethanol and water',
    ids: ['ethanol-water-density'],
    formula:
      'general formula of 54 coefficients, ρ(p, t) with p the mass fraction of ethanol; strength q = 100 p ρ(p, 20 °C) / ρ(1, 20 °C). Inverses by Newton’s method within a bracket, without tables, to 1e-9 relative.',
    source: 'OIML R 22 (1975); freezing curve from the CRC Handbook, 102nd ed.',
    range: '−20 to 40 °C, 0 to 100 % by mass, only where the mixture is liquid (1 K of margin on the freezing curve).',
    error:
      '0.005 kg/m³ against the tables of R 22, 8.5e-5 in specific gravity against USP/NBS, 1.3e-4 g/cm³ against CRC (3e-4 near 46–52 and 78–82 %, where CRC differs from other tables).',
    notCovered:
      'dissolved solids or gas. No published value below 10 °C was available. Some of the coefficients are from memory; the rows below check them.',
    checks: [
      'OIML R 22: density at 20 °C',
      'OIML R 22: regression values',
      'USP: mass % from volume %',
      'USP: volume % from mass %',
      'USP: specific gravity 15.56/15.56',
      'CRC: ethanol–water',
      'CRC: ethanol–water, 46–52 and 78–82 %',
      'ICT: ethanol–water 10–40 °C',
      'BP: apparent density of dilute ethanols',
      'BP: ethanol 96 %, mass %',
      'BP: ethanol 96 %, relative density',
      'Reg. 2870/2000: ethanol and water at 20 °C',
      'Cracow: ethanol–water at 18 °C',
      'Cracow: suspected misprint E0274',
      'Greatest contraction of ethanol and water',
      'Water of OIML R 22 less that of CIPM 2001',
    ],
  },
  {
    title: 'US proof, strength at 60 °F, proof gallons',
    ids: ['us-proof'],
    formula:
      'proof = 2 × % vol at 60 °F; proof gallons = wine gallons (US gallons at 60 °F) × proof / 100; wine gallons per pound from the density in air. A proof hydrometer is corrected for its glass first.',
    source: '27 CFR 30.11, 30.51, 30.61, 30.64; OIML R 22 at 60 °F; air 1.2 and weights 8000 kg/m³.',
    range: '0 to 200 proof, −20 to 40 °C.',
    error: '1e-5 gallon per pound; at 200 proof 1.6e-5, because ethanol in the US table is 1e-4 heavier than in R 22.',
    notCovered: 'rounding, which the regulation and local practice prescribe; spirit with dissolved solids.',
    checks: [
      '27 CFR 30: gallons per pound, factor to 60 °F',
      '27 CFR 30.64 and 30.51: gauging by weight and by volume',
      '27 CFR 30.61: proof of 193 read at 75 °F',
      'Pounds in a gallon of 190 proof and of water',
    ],
  },
  {
    title: 'Density of water',
    ids: ['water-density'],
    formula:
      'CIPM 2001 for water alone and for dissolved gas; Kell’s form, refitted to ITS-90, for sugar solutions and SG scales.',
    source: 'Tanaka et al., Metrologia 38 (2001) 301; Kell, Bettin and Spieweck.',
    range: 'CIPM 0 to 40 °C, Kell 0 to 100 °C.',
    error:
      'CIPM 5e-5 kg/m³ against its own table; Kell 0.006 kg/m³. At 20 °C: CIPM 998.2067, Kell 998.2031, R 22 998.2012 kg/m³; one ratio never contains two of them.',
    notCovered: 'dissolved air and minerals, pressure.',
    checks: [
      'CIPM 2001: water 0–40 °C',
      'IAPWS-95: water 0–40 °C',
      'Reg. 2870/2000: water at 20 °C',
      'Kell, ITS-90 form: water at 0 °C',
    ],
  },
  {
    title: 'Extract, gravity scales and sugar solutions',
    ids: ['sucrose-extract'],
    formula:
      'ρ(w, t) = water(t) + ΣΣ b w^(k+1) ((t − 20)/100)^m; °P is % by mass of sucrose in the solution of that density; SG = (ρ − 1.2) / (water − 1.2) at the scale’s own temperature. Dextrose by a fit to published rows.',
    source: 'ICUMSA SPS-4 (1998), coefficients from memory; dextrose: CRC Handbook, 102nd ed.',
    range:
      '−5 to 60 °P (below 0 a convention: a dry ferment reads below water), 0 to 100 °C; dextrose 0 to 60 % at 20 °C.',
    error:
      '0.12 kg/m³ to 40 % (older tables differ by 0.8 kg/m³ above 50 %), 0.012 °P against ASBC to 25 °P; dextrose 0.054 kg/m³ from its rows.',
    notCovered:
      'separate formulas for fructose and maltose: their rows below show their reading on the sucrose scale. A dextrose wort reads about 0.15 % low at 10 %.',
    checks: [
      'CRC: sucrose at 20 °C, to 40 %',
      'CRC: sucrose at 20 °C, above 40 %',
      'Toruń: sucrose at 15 and 20 °C',
      'Cracow: sucrose at 18 °C',
      'NBS/ASBC: °P from apparent SG 20/20',
      'ASBC polynomial: °P from SG 20/20',
      'SPS-4: apparent SG 20/20 by extract',
      'CRC: dextrose at 20 °C',
      'CRC: fructose against the sucrose formula',
      'CRC: maltose against the sucrose formula',
    ],
  },
  {
    title: 'Hydrometer correction',
    ids: ['hydrometer-correction'],
    formula:
      'ρ(t) = mark × (1 − γ (t − t_ref)) with γ = 25e-6/K, then to 20 °C by the thermal expansion of the liquid: sugar solution, alcohol and water, or a finished drink.',
    source: 'ISO 1768:1975 for the glass; ICUMSA SPS-4, OIML R 22, Tabarié for the liquid.',
    range: '0 to 40 °C.',
    error: '0.1 kg/m³ in addition to that of the instrument; an error of 5e-6/K of the glass gives 0.1 kg/m³ at 40 °C.',
    notCovered: 'a surface tension other than that for which the instrument was made; gas bubbles.',
    checks: ['27 CFR 30.61: proof of 193 read at 75 °F'],
  },
  {
    title: 'Volume at 20 °C, mass and volume of a drink',
    ids: ['volume-at-20'],
    formula:
      'V20 = V ρ(t) / ρ(20). Drink: ρ = R 22(alcohol, t) + sugar solution(extract, t) − water(t), or the measured density; wort by the sugar solution; weighed in air: m (1 − 1.2/ρ) = indication (1 − 1.2/8000). Dissolved CO₂ has a volume of 34 mL/mol.',
    source:
      'OIML R 22; Tabarié made up to volume (OIV-MA-AS2-03B) with ICUMSA SPS-4; Reg. (EC) 2870/2000 for air; partial volume of CO₂ from memory.',
    range: 'alcohol and water −20 to 40 °C, a drink 0 to 40 °C, wort 0 to 100 °C; 0 to 20 g/L CO₂.',
    error:
      '2e-5 relative for a step of 20 K; from kg to litres ± 3 % of (alcohol by volume × kg of extract in a litre), 0.22 % at 30 % vol with 250 g/L, unless the density is measured; hot wort 0.05 % (common practice, no source).',
    notCovered:
      'expansion of the vessel, trub, foam and bubbles; more than about 20 % extract together with alcohol was not checked.',
    checks: [],
  },
];
