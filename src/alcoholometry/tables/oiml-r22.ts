/**
 * General formula for the density of ethanol–water mixtures, 54 coefficients.
 *
 * Source: OIML R 22 (1975), the same as Council Directive 76/766/EEC, Annex section 4 (exponents seen there).
 * Flag: `seen` = read in the Directive; `memory` = recalled; `seen-8-of-10-digits` = the copy was cut before the end.
 * Stated error: against published tables at most 8.5e-5 in specific gravity (USP), 0.005 kg/m3 (R 22 rows),
 * 0.12 kg/m3 (ICT, older ethanol scale). Below 10 °C no published mixture value was at hand; temperature is IPTS-68,
 * which differs from ITS-90 by less than 0.01 K here (at most 0.008 kg/m3).
 */

/** A_k of p^(k-1), kg/m3. */
export const R22_A: readonly number[] = [
  9.9820123e2, // k=1, seen
  -1.929769495e2, // k=2, seen
  3.891238958e2, // k=3, seen
  -1.668103923e3, // k=4, seen
  1.352215441e4, // k=5, seen-8-of-10-digits
  -8.829278388e4, // k=6, memory
  3.062874042e5, // k=7, memory
  -6.138381234e5, // k=8, memory
  7.470172998e5, // k=9, memory
  -5.478461354e5, // k=10, memory
  2.234460334e5, // k=11, memory
  -3.903285426e4, // k=12, memory
];

/** B_k of (t − 20)^k, kg/m3. */
export const R22_B: readonly number[] = [
  -2.0618513e-1, // k=1, seen
  -5.2682542e-3, // k=2, seen
  3.6130013e-5, // k=3, seen
  -3.8957702e-7, // k=4, seen
  7.169354e-9, // k=5, memory
  -9.9739231e-11, // k=6, memory
];

/** C_i,k of p^k (t − 20)^i, kg/m3: one row for each i. */
export const R22_C: readonly (readonly number[])[] = [
  [
    // i=1
    1.693443461530087e-1, // k=1, memory
    -1.046914743455169e1, // k=2, memory
    7.196353469546523e1, // k=3, memory
    -7.047478054272792e2, // k=4, memory
    3.924090430035045e3, // k=5, memory
    -1.210164659068747e4, // k=6, memory
    2.248646550400788e4, // k=7, memory
    -2.605562982188164e4, // k=8, memory
    1.852373922069467e4, // k=9, memory
    -7.420201433430137e3, // k=10, memory
    1.285617841998974e3, // k=11, memory
  ],
  [
    // i=2
    -1.19301300505701e-2, // k=1, memory
    2.517399633803461e-1, // k=2, memory
    -2.170575700536993, // k=3, memory
    1.353034988843029e1, // k=4, memory
    -5.029988758547014e1, // k=5, memory
    1.09635566657757e2, // k=6, memory
    -1.422753946421155e2, // k=7, memory
    1.08043594285623e2, // k=8, memory
    -4.414153236817392e1, // k=9, memory
    7.442971530188783, // k=10, memory
  ],
  [
    // i=3
    -6.802995733503803e-4, // k=1, memory
    1.876837790289664e-2, // k=2, memory
    -2.002561813734156e-1, // k=3, memory
    1.02299296671922, // k=4, memory
    -2.895696483903638, // k=5, memory
    4.810060584300675, // k=6, memory
    -4.672147440794683, // k=7, memory
    2.458043105903461, // k=8, memory
    -5.411227621436812e-1, // k=9, memory
  ],
  [
    // i=4
    4.075376675622027e-6, // k=1, memory
    -8.76305857347111e-6, // k=2, memory
    6.515031360099368e-6, // k=3, memory
    -1.51578483698721e-6, // k=4, memory
  ],
  [
    // i=5
    -2.788074354782409e-8, // k=1, memory
    1.345612883493354e-8, // k=2, memory
  ],
];
