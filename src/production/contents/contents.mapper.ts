import type { GravityScale } from '../../alcoholometry/liquids/gravity-scales.js';
import { GRAVITY_SCALES } from '../../alcoholometry/liquids/gravity-scales.js';
import { toLitres } from '../../ledger/books/litres.dto.js';
import type { Fermentation } from '../measuring/fermentation/fermentation.reader.js';
import type {
  ContentState,
  LastReading,
  Liquid,
  LotContents,
  NextThing,
  PackedStock,
  VesselContents,
} from '../shared/contents.dto.js';
import type { PlannedStep } from '../shared/steps/planned-step.dto.js';
import { openSteps, stepWords } from '../shared/steps/steps.rules.js';

const HOUR_MS = 3_600_000;

/** The present moment with what decides states and due times. */
export interface Watch {
  readonly now: Date;
  readonly gravityEveryHours: number;
  /** Progress of each lot by its id; none before its first gravity. */
  readonly fermentations: ReadonlyMap<string, Fermentation>;
}

/** A liquid account with something in it, and what is known of it. Volumes in litres at 20 °C, strengths in % vol. */
export interface LiquidRow {
  readonly vesselId: string;
  readonly vesselName: string;
  readonly capacityL: number | null;
  readonly premisesId: string;
  readonly compositionId: string;
  readonly lotId: string;
  readonly lotCode: string;
  readonly category: string;
  readonly litres: string;
  readonly lpa: string;
  readonly strengthPercent: number | null;
  readonly expandedUncertainty: number | null;
  readonly standing: string | null;
  readonly readingId: string | null;
  readonly readingKind: string | null;
  readonly readingValue: number | null;
  readonly readingUnit: string | null;
  readonly takenAt: Date | null;
  readonly plannedSteps: readonly PlannedStep[] | null;
  readonly startedAt: Date;
  /** Numbers of the planned steps that were done or left out. */
  readonly doneSteps: readonly number[];
}

/** Containers in stock of a lot. */
export interface PackedRow {
  readonly lotId: string;
  readonly count: number;
  readonly litres: string;
  readonly lpa: string;
}

const percent = (value: number) => ({ value: Number(value.toFixed(4)), unit: '%' });

export function stateOf({ standing, lotId }: LiquidRow, { fermentations }: Watch): ContentState {
  if (standing === 'of-record') {
    return 'finished';
  }
  return fermentations.get(lotId)?.found.state === 'terminal' ? 'terminal' : 'fermenting';
}

const isScale = (unit: string | null): unit is GravityScale =>
  (GRAVITY_SCALES as readonly (string | null)[]).includes(unit);

function lastReadingOf(row: LiquidRow, { now }: Watch): LastReading | undefined {
  const { readingId, readingKind, readingValue, readingUnit, takenAt } = row;
  if (readingId === null || readingKind === null || takenAt === null) {
    return undefined;
  }
  const hours = Math.max(0, (now.getTime() - takenAt.getTime()) / HOUR_MS);
  return {
    readingId,
    kind: readingKind,
    ...(readingKind === 'gravity' && readingValue !== null && isScale(readingUnit)
      ? { gravity: { value: readingValue, scale: readingUnit } }
      : {}),
    takenAt: takenAt.toISOString(),
    age: { value: Number(hours.toFixed(1)), unit: 'h' },
  };
}

/** The next thing to be done: the open step of the plan that is due first, a gravity while it ferments, the finding of record once it stands still. */
function nextOf(row: LiquidRow, state: ContentState, watch: Watch): NextThing | undefined {
  const [step] = openSteps(row.plannedSteps ?? [], row.doneSteps, row.startedAt);
  const from = watch.fermentations.get(row.lotId)?.lastReadAt ?? row.startedAt;
  const gravityDue = new Date(from.getTime() + watch.gravityEveryHours * HOUR_MS);
  if (step !== undefined && (state !== 'fermenting' || step.dueAt === undefined || step.dueAt <= gravityDue)) {
    return {
      code: 'process-step',
      detail: `${stepWords(step.step)}.`,
      ...(step.dueAt === undefined ? {} : { dueAt: step.dueAt.toISOString() }),
    };
  }
  if (state === 'fermenting') {
    return { code: 'gravity-reading', detail: 'Take a gravity.', dueAt: gravityDue.toISOString() };
  }
  return state === 'terminal'
    ? { code: 'finding-of-record', detail: 'The gravity stands still: make the finding of record.' }
    : undefined;
}

function liquidOf(row: LiquidRow, watch: Watch): Liquid {
  const state = stateOf(row, watch);
  const lastReading = lastReadingOf(row, watch);
  const next = nextOf(row, state, watch);
  return {
    compositionId: row.compositionId,
    state,
    volume: toLitres(row.litres),
    pureAlcohol: toLitres(row.lpa),
    ...(row.strengthPercent === null || row.expandedUncertainty === null
      ? {}
      : { strength: percent(row.strengthPercent), expandedUncertainty: percent(row.expandedUncertainty) }),
    ...(row.standing === null ? {} : { standing: row.standing }),
    ...(lastReading === undefined ? {} : { lastReading }),
    ...(next === undefined ? {} : { next }),
  };
}

export function toVesselContents(row: LiquidRow, watch: Watch): VesselContents {
  const { lotId, lotCode, category } = row;
  const liquid = { lotId, lotCode, category, ...liquidOf(row, watch) };
  return { state: liquid.state, liquid };
}

const LEAST_FIRST: readonly ContentState[] = ['fermenting', 'terminal', 'finished'];

const packedStock = ({ count, litres: volume, lpa }: PackedRow): PackedStock => ({
  count,
  volume: toLitres(volume),
  pureAlcohol: toLitres(lpa),
});

export function toLotContents(rows: readonly LiquidRow[], packed: PackedRow | undefined, watch: Watch): LotContents {
  const liquids = rows.map((row) => ({
    vesselId: row.vesselId,
    vesselName: row.vesselName,
    ...liquidOf(row, watch),
  }));
  const liquidState = LEAST_FIRST.find((state) => liquids.some((each) => each.state === state));
  return {
    state: liquidState ?? (packed === undefined ? 'empty' : 'packed'),
    liquids,
    ...(packed === undefined ? {} : { packed: packedStock(packed) }),
  };
}
