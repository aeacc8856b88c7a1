import type { ExtractShares } from '../../../alcoholometry/strength/composition.js';
import { alcoholDensity } from '../../../alcoholometry/strength/alcohol-density.js';
import { alcoholometer } from '../../../alcoholometry/strength/alcoholometer.js';
import { certificate } from '../../../alcoholometry/strength/certificate.js';
import { component, DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import type { Addition } from '../../../alcoholometry/strength/additions.js';
import { effectiveOriginalGravity } from '../../../alcoholometry/strength/effective-original.js';
import type { ExtractFree } from '../../../alcoholometry/strength/extract-free.js';
import type { Measured } from '../../../alcoholometry/strength/finding.js';
import { gravityDropTable } from '../../../alcoholometry/strength/gravity-drop-table.js';
import type { MassBalanceInput } from '../../../alcoholometry/strength/mass-balance-point.js';
import { massBalance } from '../../../alcoholometry/strength/mass-balance.js';
import type { FermentableAddition } from '../../lots/compositions/lineage.reader.js';
import { malformed } from '../../shared/references.js';
import type { CalibratedReading } from './calibrated-reading.js';
import type { Computed } from './computed.js';
import type { Certificate, ExtractFreeBasis, NewFinding } from './findings.dto.js';
import type { FindingRow } from '../finding-records/finding.reader.js';
import { fromFindings } from './joined-finding.js';
import type { CertifiedBalance, ModelOf } from './learned-model.js';
import { comparedBalance, modelTermOf } from './learned-model.js';
import { gravityOf } from './measured-gravity.js';
import { namingReadings } from './original-gravity.js';

export interface FindingBasis {
  readonly original?: CalibratedReading;
  readonly final?: CalibratedReading;
  readonly reading?: CalibratedReading;
  readonly recipeId?: string;
  /** sugar-wash, malt or spirit-based. */
  readonly recipeKind?: string;
  /** Shares of the sugars in the planned extract. */
  readonly shares?: ExtractShares;
  /** Remark on two readings of the original gravity that disagree. */
  readonly originalDoubt?: string;
  /** Reason why gravities of the lot do not count here, where too few remain. */
  readonly notCounted?: string;
  /** Of the premises, for texts; UTC if not given. */
  readonly timeZone?: string;
  /** Of the same composition, oldest first; a joined finding rests on them. */
  readonly findings?: readonly FindingRow[];
  /** Sugar put in while it fermented, oldest first. */
  readonly additions?: readonly FermentableAddition[];
  /** Other lots of the producer with a certificate and gravities; a mass balance learns its bias from them. */
  readonly certified?: readonly CertifiedBalance[];
}

const lapsedWarning = (reading: CalibratedReading, what: string): string[] => {
  if (reading.instrumentId === null) {
    return [`The instrument of the ${what} is unknown: a stated default is taken for its error.`];
  }
  switch (reading.calibration?.state) {
    case 'lapsed':
      return [`The calibration of the instrument of the ${what} has lapsed: a stated default is taken for its error.`];
    case 'none':
      return [
        `The instrument of the ${what} has no calibration record for it: a stated default is taken for its error.`,
      ];
    default:
      return [];
  }
};

const basisOf = (basis: ExtractFreeBasis | undefined): ExtractFree | undefined => {
  if (basis?.kind !== 'no-solids-added') {
    return basis === undefined ? undefined : { kind: 'distilled' };
  }
  if (basis.residue === undefined || basis.residueStandardUncertainty === undefined) {
    throw malformed({
      pointer: '/basis',
      rule: 'residue-needed',
      detail: 'With no-solids-added, state residue and residueStandardUncertainty.',
    });
  }
  return {
    kind: 'no-solids-added',
    residueGPerL: basis.residue.value,
    residueStandardUncertaintyGPerL: basis.residueStandardUncertainty.value,
  };
};

function measuredOf(reading: CalibratedReading): { value: Measured; temperature: Measured; warnings: string[] } {
  const valid = reading.calibration?.state === 'valid' ? reading.calibration : undefined;
  const value = (reading.value ?? NaN) + (valid?.correction ?? 0);
  const known = reading.temperatureC !== null;
  const temperature: Measured = known
    ? {
        value: Number(reading.temperatureC),
        components: [
          component('temperature, stated default', DEFAULTS.thermometerC, `reading/${reading.id}/temperature`),
        ],
      }
    : {
        value: 20,
        components: [
          component('temperature, not read', DEFAULTS.unknownTemperatureC, `reading/${reading.id}/temperature`),
        ],
      };
  return {
    value:
      valid === undefined
        ? { value }
        : {
            value,
            components: valid.parts.map((part) => ({ ...part, distribution: 'normal' as const })),
          },
    temperature,
    warnings: [
      ...lapsedWarning(reading, 'reading'),
      ...(known ? [] : ['No temperature was read: 20 ± 5 °C is taken.']),
    ],
  };
}

const asRead = (reading: CalibratedReading): Record<string, unknown> => ({
  readingId: reading.id,
  value: reading.value,
  unit: reading.unit,
  temperature: reading.temperatureC === null ? null : { value: reading.temperatureC, unit: 'Cel' },
  instrumentId: reading.instrumentId,
  calibration: reading.calibration?.state ?? 'none',
});

/**
 * Finds a strength by the method asked for, from readings or a certificate.
 *
 * @param findingId origin of what belongs to this finding alone
 * @throws MetrologyError as the method; ProblemException `validation-failed` where what the method needs is not given
 */
export function computeFinding(body: NewFinding, basis: FindingBasis, findingId: string): Computed {
  switch (body.method) {
    case 'mass-balance':
    case 'gravity-drop-table':
      return fromGravities(body.method, basis);
    case 'certificate':
      return fromCertificate(body, findingId, basis);
    case 'joined':
      return fromFindings(body, basis.findings ?? []);
    default:
      return fromLiquid(body, basis);
  }
}

const modelOf = ({ recipeKind, recipeId }: FindingBasis): ModelOf => ({
  kind: recipeKind === 'malt' ? 'malt' : 'sugar',
  recipe: recipeId ?? 'no-recipe',
});

/** The inputs of a mass balance: the gravities with the components of their uncertainty, and the model of the recipe. */
export const massBalanceInput = (
  basis: FindingBasis & { readonly original: CalibratedReading; readonly final: CalibratedReading },
): MassBalanceInput => ({
  original: effectiveOriginalGravity(
    gravityOf(basis.original, 'original gravity'),
    (basis.additions ?? []).map(additionOf),
  ),
  final: gravityOf(basis.final, 'final gravity'),
  model: modelTermOf(modelOf(basis), basis.certified ?? []),
  shares: basis.shares,
});

function fromGravities(method: 'mass-balance' | 'gravity-drop-table', basis: FindingBasis): Computed {
  const { original, final, originalDoubt, timeZone, additions = [] } = basis;
  if (original === undefined || final === undefined) {
    throw malformed({
      pointer: '/originalReadingId',
      rule: 'readings-needed',
      detail: basis.notCounted ?? 'The lot needs an original and a final gravity.',
    });
  }
  const input = massBalanceInput({ ...basis, original, final });
  const found = namingReadings({ original, final, timeZone }, () =>
    method === 'mass-balance' ? massBalance(input) : gravityDropTable(input),
  );
  return {
    found,
    warnings: [
      ...found.warnings,
      ...(originalDoubt === undefined ? [] : [originalDoubt]),
      ...lapsedWarning(original, 'original gravity'),
      ...lapsedWarning(final, 'final gravity'),
    ],
    readings: [
      { readingId: original.id, use: 'original' },
      { readingId: final.id, use: 'final' },
    ],
    inputs: {
      original: asRead(original),
      final: asRead(final),
      model: input.model,
      ...(input.shares === undefined ? {} : { shares: { ...input.shares } }),
      ...(additions.length === 0
        ? {}
        : { additions: additions.map((each) => ({ ...each })), effectiveOriginalExtract: input.original.value }),
    },
  };
}

const additionOf = (each: FermentableAddition, index: number): Addition => ({
  vesselMassKg: { value: each.vesselMassKg },
  alcoholByMassPercent: each.alcoholByMassPercent,
  addedMassKg: {
    value: each.addedMassKg,
    components: [
      {
        name: `mass of addition ${index + 1}`,
        standardUncertainty: each.addedMassStandardUncertaintyKg,
        origin: `addition/${index}`,
      },
    ],
  },
  addedExtractPercent: { value: each.addedExtractPercent },
});

/** A numbered certificate of a named laboratory is one measurement, in however many findings it stands; any other is its own. */
const certificateOrigin = ({ laboratory, number }: Certificate, findingId: string): string =>
  laboratory === undefined || number === undefined
    ? `certificate/${findingId}`
    : `laboratory/${laboratory}/certificate/${number}`;

/** Gravities that a certificate can be compared with: no doubt about the original, and no refractometer in alcohol. */
const isEvidence = ({ originalDoubt, final }: FindingBasis): boolean =>
  originalDoubt === undefined && final?.instrumentKind !== 'refractometer';

function fromCertificate(body: NewFinding, findingId: string, basis: FindingBasis): Computed {
  const stated = body.certificate;
  if (stated === undefined) {
    throw malformed({ pointer: '/certificate', rule: 'required', detail: 'The method needs the certificate.' });
  }
  const found = certificate({
    strengthPercent: stated.strength.value,
    expandedUncertainty: stated.expandedUncertainty.value,
    coverageFactor: stated.coverageFactor,
    origin: certificateOrigin(stated, findingId),
    laboratory: stated.laboratory,
  });
  const { original, final } = basis;
  const balance =
    original === undefined || final === undefined || !isEvidence(basis)
      ? undefined
      : comparedBalance(massBalanceInput({ ...basis, original, final }), modelOf(basis), [original.id, final.id]);
  return {
    found,
    warnings: found.warnings,
    readings: [],
    inputs: { certificate: { ...stated }, ...(balance === undefined ? {} : { massBalance: { ...balance } }) },
  };
}

function fromLiquid(body: NewFinding, { reading }: FindingBasis): Computed {
  const wanted = body.method === 'alcohol-density' ? 'density' : 'strength';
  if (reading === undefined || reading.kind !== wanted) {
    throw malformed({
      pointer: '/readingId',
      rule: 'reading-kind',
      detail: `The method needs a reading of ${wanted}.`,
    });
  }
  const { value, temperature, warnings } = measuredOf(reading);
  const extractFree = basisOf(body.basis);
  const found =
    body.method === 'alcohol-density'
      ? alcoholDensity({ density: value, temperature, basis: extractFree })
      : alcoholometer({ reading: value, temperature, basis: extractFree });
  return {
    found,
    warnings: [...found.warnings, ...warnings],
    readings: [{ readingId: reading.id, use: body.method === 'alcohol-density' ? 'density' : 'alcoholometer' }],
    inputs: { reading: asRead(reading), basis: extractFree ?? null },
  };
}
