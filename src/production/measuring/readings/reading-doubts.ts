import { fromExtract, toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { massBalance } from '../../../alcoholometry/strength/mass-balance.js';
import type { ExtractShares } from '../../../alcoholometry/strength/composition.js';
import type { MeasuredGravity } from '../../../alcoholometry/strength/mass-balance-point.js';
import { MetrologyError } from '../../../metrology/problem.js';
import type { Quantity } from '../../../metrology/units.js';
import { toBase } from '../../../metrology/units.js';
import { isBeforeCharge } from './original-readings.js';
import type { KeptDoubt } from './reading-flags.js';
import type { ReadingKind } from './reading-kinds.js';

/** A gravity of the same liquid that was taken earlier. */
export interface EarlierGravity {
  readonly value: number;
  readonly scale: GravityScale;
  readonly takenAt: Date;
  readonly temperatureC: number | null;
}

/** The records around a reading about to be entered. */
export interface DoubtFacts {
  readonly kind: ReadingKind;
  readonly gravity?: { readonly value: number; readonly scale: GravityScale };
  /** Of a reading of temperature, as given. */
  readonly temperature?: Quantity;
  /** As given. */
  readonly sampleTemperature?: Quantity;
  /** The latest one taken before, of the same composition. */
  readonly earlier?: EarlierGravity;
  /** It is of the wort before it fermented, and the lot is no part of another. */
  readonly isOriginal: boolean;
  /** The first gravity of the same wort, while nothing was added to it since. */
  readonly original?: EarlierGravity;
  /** Of the plan; malt, sugar-wash or spirit-based. */
  readonly planKind?: string;
  readonly shares?: ExtractShares;
  readonly takenAt: Date;
  /** Of the first composition of the lot, where that was charged. */
  readonly chargedAt?: Date;
  readonly plannedOriginalPlato?: number;
  /** Code of another lot that the vessel held, where it held none of this one. */
  readonly otherLotCode?: string;
  /** The books hold liquid of the lot. */
  readonly isCharged: boolean;
}

type Doubt = Omit<KeptDoubt, 'confirmedBy'>;

/** About one point of SG, the width of a mark; common practice, no source. */
const RISE_PLATO = 0.25;
/** A tenth of the planned extract, and at least the error of a hydrometer without calibration; common practice, no source. */
const FAR_FROM_PLAN = { plato: 0.5, share: 0.1 };
/** A typing error is looked for from this difference on, and believed within the second one; common practice, no source. */
const MISTYPED = { offPlato: 5, nearPlato: 3 };
/** Worts of ferments are weaker than 45 °P (SG 1.2); common practice, no source. */
const UNUSUAL_PLATO = 45;
/** A fermenting or finished liquid, and a sample for a float, lie between these; common practice, no source. */
const USUAL_C = { min: -2, max: 45 };

const SAMPLED: ReadonlySet<ReadingKind> = new Set<ReadingKind>([
  'gravity',
  'density',
  'strength',
  'ph',
  'dissolved-co2',
  'gauge-pressure',
]);

/** Extract of a gravity in °P; undefined for one outside the sugar scale, such as that of a spirit. */
export function platoOf(gravity: { readonly value: number; readonly scale: GravityScale }): number | undefined {
  try {
    return toExtract({ ...gravity }).extractPlato;
  } catch (error) {
    if (error instanceof MetrologyError) {
      return undefined;
    }
    throw error;
  }
}

/** A gravity as a person reads it: four places of SG, one of °P and kg/m³. */
export const shown = (value: number, scale: GravityScale): string =>
  scale === 'plato'
    ? `${value.toFixed(1)} °P`
    : scale === 'density-kg-m3'
      ? `${value.toFixed(1)} kg/m³`
      : value.toFixed(4);

/** The doubts about a reading, in the order of their list. */
export function doubtsOf(facts: DoubtFacts): Doubt[] {
  const mistyped = gravityMistyped(facts);
  return [
    ...(mistyped === undefined ? [...gravityRising(facts), ...farFromPlan(facts)] : [mistyped]),
    ...otherLot(facts),
    ...temperatureUnit(facts),
    ...extractBelowZero(facts, mistyped !== undefined),
    ...beforeCharge(facts),
  ];
}

function gravityRising({ gravity, earlier }: DoubtFacts): Doubt[] {
  const [now, before] = [gravity, earlier].map((each) => each && platoOf(each));
  if (gravity === undefined || earlier === undefined || now === undefined || before === undefined) {
    return [];
  }
  return now - before <= RISE_PLATO
    ? []
    : [
        {
          code: 'gravity-rising',
          detail: `${shown(gravity.value, gravity.scale)} is above the ${shown(earlier.value, earlier.scale)} read at ${earlier.takenAt.toISOString()}; a ferment only falls.`,
          suggestion:
            'Degas the sample and read again; check the lot, the scale and the temperature. If sugar was added, enter the addition.',
        },
      ];
}

/** A real extract below zero by more than its uncertainty: no ferment ends there. */
function extractBelowZero(facts: DoubtFacts, isMistyped: boolean): Doubt[] {
  const { gravity, original, sampleTemperature, planKind, shares } = facts;
  if (gravity === undefined || original === undefined || isMistyped) {
    return [];
  }
  try {
    massBalance({
      original: sampled(original, original.temperatureC ?? undefined),
      final: sampled(gravity, sampleTemperature && toBase('temperature', sampleTemperature)),
      model: { kind: planKind === 'malt' ? 'malt' : 'sugar' },
      shares,
    });
    return [];
  } catch (error) {
    if (!(error instanceof MetrologyError)) {
      throw error;
    }
    return error.rule !== 'readings-disagree'
      ? []
      : [
          {
            code: 'extract-below-zero',
            detail: `After an original gravity of ${shown(original.value, original.scale)} a final gravity of ${shown(gravity.value, gravity.scale)} would leave less than no extract: one of the two is wrong.`,
            suggestion:
              'Read both again where you can: scale, temperature, degassed sample. Correct the wrong one before the finding.',
          },
        ];
  }
}

const sampled = (
  { value, scale }: Pick<EarlierGravity, 'value' | 'scale'>,
  sampleTemperatureC: number | undefined,
): MeasuredGravity => ({ value, scale, ...(sampleTemperatureC === undefined ? {} : { sampleTemperatureC }) });

const beforeCharge = ({ kind, takenAt, chargedAt }: DoubtFacts): Doubt[] =>
  kind === 'text' || !isBeforeCharge(takenAt, chargedAt)
    ? []
    : [
        {
          code: 'before-charge',
          detail:
            'The reading was taken more than a day before the lot was charged. It is kept, but no finding uses it by itself.',
          suggestion: 'Check its date and its lot. If they are right, name it in originalReadingId of the finding.',
        },
      ];

function farFromPlan({ gravity, isOriginal, plannedOriginalPlato: planned }: DoubtFacts): Doubt[] {
  const plato = gravity && platoOf(gravity);
  if (gravity === undefined || plato === undefined || planned === undefined || !isOriginal) {
    return [];
  }
  const allowed = Math.max(FAR_FROM_PLAN.plato, FAR_FROM_PLAN.share * planned);
  return Math.abs(plato - planned) <= allowed
    ? []
    : [
        {
          code: 'original-far-from-plan',
          detail: `The plan expects an original gravity of ${shown(fromExtract(planned, gravity.scale), gravity.scale)}; ${shown(gravity.value, gravity.scale)} differs by ${Math.abs(plato - planned).toFixed(1)} °P.`,
          suggestion:
            'Stir, cool the sample and read again; check the volume, the fermentables and the recipe of the lot.',
        },
      ];
}

/** 1.31 or 31 for 1.031: a zero left out, or points of SG given as °P. */
function gravityMistyped({ gravity, earlier, plannedOriginalPlato }: DoubtFacts): Doubt | undefined {
  const plato = gravity && platoOf(gravity);
  if (gravity === undefined || plato === undefined || gravity.scale === 'density-kg-m3') {
    return undefined;
  }
  const meant = gravity.scale === 'plato' ? 1 + gravity.value / 1000 : 1 + (gravity.value - 1) / 10;
  const scale = gravity.scale === 'plato' ? 'sg-20-20' : gravity.scale;
  const meantPlato = platoOf({ value: meant, scale });
  const near = (earlier && platoOf(earlier)) ?? plannedOriginalPlato;
  const isDoubtful =
    near === undefined
      ? plato > UNUSUAL_PLATO
      : meantPlato !== undefined &&
        plato - near > MISTYPED.offPlato &&
        Math.abs(meantPlato - near) <= MISTYPED.nearPlato;
  return isDoubtful
    ? {
        code: 'gravity-mistyped',
        detail: `${shown(gravity.value, gravity.scale)} is far from what the records of the lot let one expect.`,
        suggestion: `Did you mean ${Number(meant.toFixed(4))} on the scale ${scale}?`,
      }
    : undefined;
}

const otherLot = ({ otherLotCode }: DoubtFacts): Doubt[] =>
  otherLotCode === undefined
    ? []
    : [
        {
          code: 'vessel-holds-another-lot',
          detail: `At that time the books had lot ${otherLotCode} in the vessel, and none of this lot.`,
          suggestion: `Enter the reading with lot ${otherLotCode}, or name the vessel of this lot.`,
        },
      ];

function temperatureUnit({ kind, temperature, sampleTemperature, isCharged }: DoubtFacts): Doubt[] {
  const given = kind === 'temperature' && isCharged ? temperature : SAMPLED.has(kind) ? sampleTemperature : undefined;
  if (given === undefined) {
    return [];
  }
  const degreesC = toBase('temperature', given);
  const other: Quantity = { value: given.value, unit: given.unit === 'Cel' ? '[degF]' : 'Cel' };
  const otherC = toBase('temperature', other);
  const isUsual = (each: number): boolean => each >= USUAL_C.min && each <= USUAL_C.max;
  const name = (unit: string): string => (unit === 'Cel' ? '°C' : '°F');
  return isUsual(degreesC) || !isUsual(otherC)
    ? []
    : [
        {
          code: 'temperature-unit',
          detail: `${given.value} ${name(given.unit)} is unusual for this liquid; ${given.value} ${name(other.unit)} would not be.`,
          suggestion: `Did you mean ${given.value} ${name(other.unit)}?`,
        },
      ];
}
