// Recorded tables by the file of test/reference that they read. The `rows` of its tables must add up to the whole file: a row that no
// table reads makes the check fail. `perRow` is the number of figures in a row of the file, where it is not one.

/** CSV files: every row has to be read. */
export const FILES = [
  {
    file: 'physics/ethanol-water-values.csv',
    tables: [
      'USP: mass % from volume %',
      'USP: volume % from mass %',
      'USP: specific gravity 15.56/15.56',
      'CRC: ethanol–water',
      'CRC: ethanol–water, 46–52 and 78–82 %',
      'OIML R 22: density at 20 °C',
      'ICT: ethanol–water 10–40 °C',
      'BP: apparent density of dilute ethanols',
      'BP: ethanol 96 %, mass %',
      'BP: ethanol 96 %, relative density',
      '27 CFR 30: gallons per pound, factor to 60 °F',
      'Reg. 2870/2000: ethanol and water at 20 °C',
      'Cracow: ethanol–water at 18 °C',
      'Cracow: suspected misprint E0274',
    ],
  },
  {
    file: 'physics/water-density-values.csv',
    tables: [
      'CIPM 2001: water 0–40 °C',
      'IAPWS-95: water 0–40 °C',
      'Reg. 2870/2000: water at 20 °C',
      'Kell, ITS-90 form: water at 0 °C',
    ],
  },
  {
    file: 'physics/sugar-solution-density.csv',
    tables: [
      'CRC: sucrose at 20 °C, to 40 %',
      'CRC: sucrose at 20 °C, above 40 %',
      'Toruń: sucrose at 15 and 20 °C',
      'Cracow: sucrose at 18 °C',
      'CRC: dextrose at 20 °C',
      'CRC: fructose against the sucrose formula',
      'CRC: maltose against the sucrose formula',
      'NBS/ASBC: °P from apparent SG 20/20',
    ],
  },
  { file: 'physics/co2-solubility-values.csv', tables: ['CO2 in water, CRC Handbook', 'CO2 in water, Murray & Riley'] },
  {
    file: 'physics/dilution-table-water-to-add.csv',
    tables: ['Water to add to reach a strength, US gauging manual'],
  },
  { file: 'physics/t-factors-gum-table-g2.csv', tables: ['GUM t-factors (Table G.2)'], perRow: 6 },
  { file: 'excise/hmrc-og-factor.csv', tables: ['HMRC factor table: strength printed at the end of each row'] },
  { file: 'excise/nominal-quantity-tne.csv', tables: ['Tolerable negative error of nominal volumes'], perRow: 3 },
  { file: 'excise/us-barrel-equivalents.csv', tables: ['27 CFR 25.156, 25.158: barrels of cases and kegs'] },
  {
    file: 'excise/duty-worked-examples.csv',
    tables: [
      'Worked duty examples as published',
      'Worked duty examples, result not seen',
      'Worked duty examples that are no rule of duty',
    ],
  },
];

/** JSON files contain worked examples and formulas, not rows: for each entry with figures to check, the tables that read it. */
export const ENTRIES = [
  {
    file: 'physics/dilution-examples.json',
    entries: {
      cfr_30_64_a: ['27 CFR 30.64 and 30.51: gauging by weight and by volume'],
      cfr_30_51: ['27 CFR 30.64 and 30.51: gauging by weight and by volume'],
      cfr_30_61: ['27 CFR 30.61: proof of 193 read at 75 °F'],
      cfr_30_66_rule: ['Worked dilution examples, 27 CFR 30.66'],
      cfr_30_66_example_a: ['Worked dilution examples, 27 CFR 30.66'],
      cfr_30_66_example_b: ['Worked dilution examples, 27 CFR 30.66'],
      ttb_drawback: ['Pounds in a gallon of 190 proof and of water'],
      max_contraction: ['Greatest contraction of ethanol and water'],
    },
  },
  {
    file: 'physics/gum-worked-examples.json',
    entries: {
      H1_end_gauge: ['GUM H.1 end gauge, first order', 'GUM H.1 comparison of the gauges'],
      H2_impedance: ['GUM H.2 with correlations', 'GUM H.2 by single sets of readings', 'GUM H.2 without correlations'],
      S1_9_2_2_additive_gaussian: ['JCGM 101 9.2.2 normal'],
      S1_9_2_3_additive_rect: ['JCGM 101 9.2.3 rectangular'],
      S1_9_2_4_dominant_rect: ['JCGM 101 9.2.4 dominant rectangular'],
      S1_9_3_mass: ['JCGM 101 9.3 mass calibration'],
      S1_9_5_gauge_block: ['JCGM 101 9.5 gauge block'],
      QUAM_A1_cadmium_standard: ['Eurachem A1 cadmium standard'],
      QUAM_A3_titration: ['Eurachem A3 titration'],
      NPL_log: ['NPL DEM-ES-011 logarithm'],
      NIST_TN1900_E3: ['NIST TN 1900 E3, first order', 'NIST TN 1900 E3, Monte Carlo'],
      welch_satterthwaite_simple: [],
    },
  },
  {
    file: 'physics/fermentation-extract.json',
    entries: {
      balling_mass_balance: [],
      balling_original_extract: ['Published data-set means: original extract by Balling'],
      balling_survey: [],
      'real_extract_0.1808': [],
      maltster_formulas: [],
      alcohol_factors_linear: [],
      alcohol_factors_pawlowski_doemens: [],
      datasets_published: [
        'Published data-set means: alcohol by mass balance',
        'Published data-set means: real extract by Tabarié, made up to mass',
        'Published data-set means: real extract by Tabarié, made up to volume',
      ],
      tabarie: [],
      fermentable_stoichiometry: [],
      abv_og_fg_example: [],
    },
  },
];

/** Recorded tables that read formulas or single values of a JSON file, or values computed independently. */
export const OTHERS = [
  'ASBC polynomial: °P from SG 20/20',
  'CO2 in water, IAPWS guideline',
  'HMRC factor table: factor at every tenth of a point',
  'ISO 4120 and ISO 5495: least numbers',
  'Tabular CUSUM: the twenty groups of the handbook',
  'Average run lengths of the tabular CUSUM, k = 0.5',
  'Least squares: NIST Misra1a',
  'OIML R 22: regression values',
  'SPS-4: apparent SG 20/20 by extract',
  'Water salts: molar masses of reagents',
  'Water of OIML R 22 less that of CIPM 2001',
  'Water to add, R 22 at 60 °F computed independently',
];
