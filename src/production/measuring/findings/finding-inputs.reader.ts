import { Injectable } from '@nestjs/common';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import type { LineageStep } from '../../lots/compositions/lineage.reader.js';
import { hasOriginalGravity, LineageReader } from '../../lots/compositions/lineage.reader.js';
import { InstrumentReader } from '../../registers/instruments/instrument.reader.js';
import { localDay } from '../../shared/local-day.js';
import { platoOf } from '../readings/reading-doubts.js';
import { isBeforeCharge, readsOriginal } from '../readings/original-readings.js';
import { chosenOriginal } from './original-gravity.js';
import { isAfter, notCountedWords, requireBy } from './readings-in-time.js';
import { calibrationFact } from '../volumes/calibration-fact.js';
import { lastGaugeOf } from '../volumes/last-gauge.js';
import type { CompositionPosition, LotPosition } from '../position/lot-position.js';
import { inStock } from '../position/lot-position.js';
import { PositionReader } from '../position/position.reader.js';
import { missingReference, referenced } from '../../shared/references.js';
import type { CalibratedReading } from './calibrated-reading.js';
import type { FindingBasis } from './compute-finding.js';
import type { NewFinding } from './findings.dto.js';
import type { BasisReading } from '../position/gravity-readings.js';
import { GravityReadings } from '../position/gravity-readings.js';

export interface FindingRead {
  readonly position: LotPosition;
  readonly target: CompositionPosition;
  readonly basis: FindingBasis;
  /** True if a method by original and final gravity may be used. */
  readonly originalGravityApplies: boolean;
  /** Gravities of the liquid, oldest first. */
  readonly gravities: readonly BasisReading[];
  /** Of the plan of the lot that the liquid was charged as. */
  readonly plannedFinalPlato: number | undefined;
  /** Time of the last gauge of the composition. */
  readonly gaugedAt: Date | undefined;
  readonly settings: ProducerSettings;
}

/** A reading that the same write enters in the place of another one, which it strikes. */
export interface EnteredReading {
  readonly reading: BasisReading;
  readonly replaces: string;
}

/** Reads what a finding rests on: the composition, the readings, their instruments' calibrations on the day. */
@Injectable()
export class FindingInputsReader {
  constructor(
    private readonly positions: PositionReader,
    private readonly readings: GravityReadings,
    private readonly instruments: InstrumentReader,
    private readonly lineages: LineageReader,
    private readonly settings: SettingsReader,
  ) {}

  async read(
    tx: Tx,
    producerId: string,
    lotId: string,
    body: NewFinding,
    entered?: EnteredReading,
  ): Promise<FindingRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    const target = compositionOf(position, body.compositionId);
    const lineage = await this.lineages.of(tx, producerId, target.composition.id);
    const root = lineage[0].lotId === lotId ? position : await this.positions.ofLot(tx, producerId, lineage[0].lotId);
    const until = wentOnAt(position, target);
    const all = withEntered(await this.gravities(tx, producerId, lineage), entered);
    const moment = body.occurredAt === undefined ? undefined : new Date(body.occurredAt);
    const inTime = all.filter(({ takenAt }) => (until === undefined || takenAt < until) && !isAfter(takenAt, moment));
    const chargedAt = lineage[0].kind === 'charge' ? lineage[0].openedAt : undefined;
    const gravities = inTime.filter(({ takenAt }) => !isBeforeCharge(takenAt, chargedAt));
    const notCounted = notCountedWords(all, inTime, gravities);
    const { expectedFinalGravity } = root.lot;
    return {
      position,
      target,
      originalGravityApplies: hasOriginalGravity(lineage),
      gravities,
      plannedFinalPlato: expectedFinalGravity && platoOf(expectedFinalGravity),
      gaugedAt: await lastGaugeOf(tx, producerId, target.composition.id),
      settings: await this.settings.of(tx, producerId),
      basis:
        body.method === 'joined'
          ? { findings: target.findings }
          : await this.basis(tx, producerId, body, {
              position,
              root,
              lineage,
              gravities,
              entered,
              moment,
              notCounted,
            }),
    };
  }

  private async basis(
    tx: Tx,
    producerId: string,
    body: NewFinding,
    facts: {
      readonly position: LotPosition;
      readonly root: LotPosition;
      readonly lineage: readonly LineageStep[];
      readonly gravities: readonly BasisReading[];
      readonly entered: EnteredReading | undefined;
      readonly moment: Date | undefined;
      readonly notCounted: string | undefined;
    },
  ): Promise<FindingBasis> {
    const { position, root, lineage, gravities, entered, moment, notCounted } = facts;
    const { timeZone } = await referenced(tx, producerId, 'premises', position.lot.premisesId, '/premisesId');
    const lots = [...new Set(lineage.map((step) => step.lotId))];
    const named = async (id: string, pointer: string, of = lots): Promise<BasisReading> => {
      const reading = id === entered?.reading.id ? entered.reading : await this.named(tx, producerId, of, id, pointer);
      requireBy(moment, reading, pointer, timeZone);
      return reading;
    };
    const calibrated = (reading: BasisReading): Promise<CalibratedReading> =>
      this.calibrated(tx, producerId, reading, timeZone);
    const { recipeId, recipeKind, shares } = root.lot;
    if (body.readingId !== undefined) {
      const reading = await named(body.readingId, '/readingId', [position.lot.id]);
      return { reading: await calibrated(reading), recipeId, recipeKind };
    }
    const known = body.method === 'certificate' && !hasOriginalGravity(lineage) ? [] : gravities;
    const latest = known.length > 1 ? known.at(-1) : undefined;
    const wort = latest === undefined ? known : known.slice(0, -1);
    const originals =
      body.originalReadingId === undefined
        ? wort.filter(({ takenAt }) => readsOriginal(takenAt, known.at(0)?.takenAt))
        : [await named(body.originalReadingId, '/originalReadingId')];
    const final = body.finalReadingId === undefined ? latest : await named(body.finalReadingId, '/finalReadingId');
    const additions = lineage.flatMap(({ fermentable }) => (fermentable === undefined ? [] : [fermentable]));
    return {
      ...chosenOriginal(await Promise.all(originals.map(calibrated)), timeZone),
      final: final && (await calibrated(final)),
      recipeId,
      recipeKind,
      shares,
      additions,
      notCounted,
      timeZone,
    };
  }

  /** Gravities of this liquid: those of its lot, and before a split those of the lot that it was part of. */
  private async gravities(tx: Tx, producerId: string, lineage: readonly LineageStep[]): Promise<BasisReading[]> {
    const stays = lineage.filter((step, index) => index === 0 || step.lotId !== lineage[index - 1].lotId);
    const found: BasisReading[] = [];
    for (const [index, { lotId, openedAt }] of stays.entries()) {
      const until = stays.at(index + 1)?.openedAt;
      const readings = await this.readings.ofLot(tx, producerId, lotId);
      found.push(
        ...readings.filter(
          ({ takenAt }) => (index === 0 || takenAt >= openedAt) && (until === undefined || takenAt < until),
        ),
      );
    }
    return found;
  }

  /** @throws ProblemException `not-found` for another lot's reading as for an unknown one, `conflict` for a struck one */
  private async named(
    tx: Tx,
    producerId: string,
    lotIds: readonly string[],
    id: string,
    pointer: string,
  ): Promise<BasisReading> {
    const [reading] = await this.readings.ofIds(tx, producerId, [id]);
    if (reading === undefined || !lotIds.includes(reading.lotId)) {
      throw missingReference(pointer);
    }
    if (reading.struck) {
      throw new ProblemException('conflict', 'The reading was struck.', {
        errors: [{ pointer, rule: 'struck', detail: 'A finding cannot rest on a struck reading.' }],
      });
    }
    return reading;
  }

  private async calibrated(
    tx: Tx,
    producerId: string,
    reading: BasisReading,
    timeZone: string,
  ): Promise<CalibratedReading> {
    const { instrumentId, takenAt, value, unit } = reading;
    if (instrumentId === null || value === null || unit === null) {
      return { ...reading, calibration: undefined };
    }
    const found = await this.instruments.calibrationOn(tx, producerId, instrumentId, localDay(takenAt, timeZone), {
      value,
      unit,
    });
    return { ...reading, calibration: calibrationFact(instrumentId, found) };
  }
}

/** Gravities with the one entered in the place of the one that it replaces, in the order of time. */
const withEntered = (
  gravities: readonly BasisReading[],
  entered: EnteredReading | undefined,
): readonly BasisReading[] =>
  entered === undefined
    ? gravities
    : [...gravities.filter(({ id }) => id !== entered.replaces), entered.reading]
        .filter(({ kind }) => kind === 'gravity')
        .sort((a, b) => a.takenAt.getTime() - b.takenAt.getTime());

/** Time at which all of a composition became another one of the lot: gravities from then on are not of it. */
const wentOnAt = ({ compositions }: LotPosition, target: CompositionPosition): Date | undefined =>
  inStock(target).length > 0
    ? undefined
    : compositions.find(
        ({ composition: { kind, openedAt } }) => kind !== 'split' && openedAt > target.composition.openedAt,
      )?.composition.openedAt;

/** The composition meant: the one named, else the only one in stock, else the latest. */
function compositionOf(position: LotPosition, id: string | undefined): CompositionPosition {
  if (id !== undefined) {
    const named = position.compositions.find(({ composition }) => composition.id === id);
    if (named === undefined) {
      throw missingReference('/compositionId');
    }
    return named;
  }
  const filled = position.compositions.filter((each) => inStock(each).length > 0);
  if (filled.length > 1) {
    throw new ProblemException('conflict', 'The lot has more than one composition in stock; name one.', {
      errors: [
        {
          pointer: '/compositionId',
          rule: 'ambiguous',
          detail: 'Give compositionId.',
          candidates: filled.map(({ composition }) => composition.id),
        },
      ],
    });
  }
  const chosen = filled.at(0) ?? position.compositions.at(-1);
  if (chosen === undefined) {
    throw new ProblemException('conflict', 'The lot has no liquid yet: charge it first.', {
      errors: [{ pointer: '', rule: 'not-charged', detail: 'A finding is of a composition.' }],
    });
  }
  return chosen;
}
