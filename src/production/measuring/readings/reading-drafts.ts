import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { canonicalText, decimalOf, Exact } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import { AHEAD_MS } from '../../../ledger/books/event.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { parseInstant } from '../../../platform/validation/instant.js';
import { within } from '../../../platform/validation/rule.js';
import { problemOfFindings } from '../../../platform/validation/validation.pipe.js';
import type { Facts, PersonalText, RowOf } from '../../../tenancy/producer-database/batch.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { InstrumentReader } from '../../registers/instruments/instrument.reader.js';
import type { InstrumentKind } from '../../registers/instruments/instrument-kinds.js';
import { localDay } from '../../shared/local-day.js';
import type { BasisReading } from '../position/gravity-readings.js';
import type { LotRow } from '../../lots/lots.dto.js';
import { missingReference, referenced } from '../../shared/references.js';
import type { DoubtFacts } from './reading-doubts.js';
import { doubtsOf } from './reading-doubts.js';
import { isBeforeCharge, readsOriginal } from './original-readings.js';
import type { KeptDoubt, ReadingFacts } from './reading-flags.js';
import { readingRemarks } from './reading-flags.js';
import { readingFindings, valueOf } from './reading-kinds.js';
import { requireReadable } from './refractometer.rules.js';
import type { ReadingSurroundings } from './reading-surroundings.reader.js';
import { ReadingSurroundingsReader } from './reading-surroundings.reader.js';
import type { ReadingRow } from './reading.reader.js';
import { ReadingReader } from './reading.reader.js';
import type { NewReading } from './readings.dto.js';

/** A reading about to be written: its row for the books, and the same as it will be read. */
export interface ReadingDraft {
  readonly row: RowOf<'reading'>;
  readonly read: ReadingRow;
  /** The same as a finding rests on it. */
  readonly basis: BasisReading;
  readonly personalText: readonly PersonalText[];
  /** Values as given, where the row holds them converted; for the audit trail. */
  readonly given: Facts;
}

/** Place of the reading in the request body, for the pointers of a refusal. */
export type Place = '' | 'replacement' | 'reading';

/** A reading to be entered: of which lot, when, by whose key, and for which one it stands in. */
export interface DraftOf {
  readonly lot: LotRow;
  readonly takenAt: Date;
  readonly keyId: string;
  readonly place?: Place;
  readonly replaces?: string;
}

const pointer = (place: Place, name: string): string => (place === '' ? `/${name}` : `/${place}/${name}`);

/** In °C, half-even to 4 places, as text. */
function celsius({ value, unit }: Quantity): string {
  const given = decimalOf(value);
  const exact = unit === '[degF]' ? given.minus(32).times(5).dividedBy(9) : given;
  return canonicalText(exact.toDecimalPlaces(4, Exact.ROUND_HALF_EVEN));
}

/** Makes readings ready to be written: checks, looks up what they name, flags. */
@Injectable()
export class ReadingDrafts {
  constructor(
    private readonly clock: Clock,
    private readonly instruments: InstrumentReader,
    private readonly readings: ReadingReader,
    private readonly surroundings: ReadingSurroundingsReader,
  ) {}

  /**
   * The time of a reading that needs no look-up to be refused.
   *
   * @throws ProblemException of the value's rule, or `time-ahead`
   */
  checked(body: NewReading, place: Place = ''): Date | undefined {
    const findings = readingFindings(body);
    if (findings.length > 0) {
      throw problemOfFindings(place === '' ? findings : within(place, findings));
    }
    const takenAt = body.takenAt === undefined ? undefined : parseInstant(body.takenAt);
    if (takenAt !== undefined && takenAt.getTime() > this.clock.now().getTime() + AHEAD_MS) {
      const detail = 'The time lies more than five minutes ahead.';
      throw new ProblemException('time-ahead', detail, {
        errors: [{ pointer: pointer(place, 'takenAt'), rule: 'time-ahead', detail }],
      });
    }
    return takenAt;
  }

  async prepare(tx: Tx, producerId: string, body: NewReading, of: DraftOf): Promise<ReadingDraft> {
    const { lot, takenAt, keyId, place = '', replaces } = of;
    const { personId, vesselId, sampleTemperature } = body;
    const instrument = await this.instrument(tx, producerId, lot, body, takenAt, place);
    if (personId !== undefined) {
      await referenced(tx, producerId, 'person', personId, pointer(place, 'personId'));
    }
    if (vesselId !== undefined) {
      await referenced(tx, producerId, 'vessel', vesselId, pointer(place, 'vesselId'));
    }
    const compositionId = await this.readings.compositionAt(tx, producerId, lot.id, takenAt, vesselId);
    const around = await this.surroundings.of(tx, producerId, { lotId: lot.id, takenAt, vesselId, without: replaces });
    requireReadable(body.gravity, instrument, around, pointer(place, 'instrumentId'));
    const doubts = doubtsOf(doubtFacts(body, takenAt, compositionId, around)).map((doubt): KeptDoubt =>
      body.confirm?.includes(doubt.code) === true
        ? { ...doubt, confirmedBy: { keyId, ...(personId === undefined ? {} : { personId }) } }
        : doubt,
    );
    const read = newReading(body, lot, takenAt, { compositionId, instrument, doubts });
    const personalText = body.text === undefined ? [] : [{ id: uuidv7(), text: body.text }];
    return {
      row: bookRow(read, personalText.at(0)?.id ?? null),
      read,
      basis: basisOf(read, instrument?.kind),
      personalText,
      given: sampleTemperature?.unit === '[degF]' ? { sampleTemperature: { ...sampleTemperature } } : {},
    };
  }

  /** Facts of the instrument for the flags, with its calibration on the day at the premises. */
  private async instrument(
    tx: Tx,
    producerId: string,
    lot: LotRow,
    body: NewReading,
    takenAt: Date,
    place: Place,
  ): Promise<ReadingFacts['instrument']> {
    const { instrumentId } = body;
    if (instrumentId === undefined) {
      return undefined;
    }
    const row = await this.instruments.row(tx, producerId, instrumentId);
    if (row === undefined) {
      throw missingReference(pointer(place, 'instrumentId'));
    }
    const measured = valueOf(body);
    const premises = await referenced(tx, producerId, 'premises', lot.premisesId, '');
    const day = localDay(takenAt, premises.timeZone);
    return {
      kind: row.kind as InstrumentKind,
      scale: row.scale ?? undefined,
      retiredAt: row.retiredAt,
      calibration:
        measured === undefined
          ? undefined
          : await this.instruments.calibrationOn(tx, producerId, instrumentId, day, measured),
    };
  }
}

function doubtFacts(
  body: NewReading,
  takenAt: Date,
  compositionId: string | undefined,
  around: ReadingSurroundings,
): DoubtFacts {
  const { kind, gravity, quantity, sampleTemperature } = body;
  const { first, plannedOriginalPlato, planKind, shares, otherLotCode, isCharged } = around;
  const chargedAt = first?.kind === 'charge' ? first.openedAt : undefined;
  const earlier = around.earlier.filter((each) => !isBeforeCharge(each.takenAt, chargedAt));
  const isCharge = first === undefined || first.kind === 'charge';
  const isUnchanged = compositionId === undefined || compositionId === first?.id;
  const last = earlier.at(-1);
  const isSame = last !== undefined && (last.compositionId === null || last.compositionId === compositionId);
  return {
    kind,
    gravity,
    ...(kind === 'temperature' ? { temperature: quantity } : {}),
    sampleTemperature,
    earlier: isSame ? last : undefined,
    isOriginal: isCharge && readsOriginal(takenAt, earlier.at(0)?.takenAt),
    original: isCharge && isUnchanged ? earlier.at(0) : undefined,
    planKind,
    shares,
    takenAt,
    chargedAt,
    plannedOriginalPlato,
    otherLotCode,
    isCharged,
  };
}

/** A reading about to be written, as it will be read. */
function newReading(
  body: NewReading,
  lot: LotRow,
  takenAt: Date,
  found: {
    readonly compositionId: string | undefined;
    readonly instrument: ReadingFacts['instrument'];
    readonly doubts: readonly KeptDoubt[];
  },
): ReadingRow {
  const { sampleTemperature } = body;
  const measured = valueOf(body);
  return {
    id: uuidv7(),
    lotId: lot.id,
    compositionId: found.compositionId ?? null,
    vesselId: body.vesselId ?? null,
    kind: body.kind,
    value: measured === undefined ? null : canonicalText(decimalOf(measured.value)),
    unit: measured?.unit ?? null,
    temperatureC: sampleTemperature === undefined ? null : celsius(sampleTemperature),
    degassed: body.degassed ?? null,
    instrumentId: body.instrumentId ?? null,
    personId: body.personId ?? null,
    source: body.source ?? 'hand',
    text: body.text ?? null,
    flags: readingRemarks({
      kind: body.kind,
      ...measured,
      takenAt,
      hasTemperature: sampleTemperature !== undefined,
      degassed: body.degassed,
      lotRetiredAt: lot.retiredAt,
      instrument: found.instrument,
    }),
    doubts: found.doubts,
    confirmed: [],
    takenAt,
    recordedAt: null,
    struckFor: null,
    struckNote: null,
    replacedBy: null,
    struckAt: null,
  };
}

const basisOf = (read: ReadingRow, instrumentKind: InstrumentKind | undefined): BasisReading => ({
  id: read.id,
  lotId: read.lotId,
  compositionId: read.compositionId,
  kind: read.kind,
  value: read.value === null ? null : Number(read.value),
  unit: read.unit,
  temperatureC: read.temperatureC === null ? null : Number(read.temperatureC),
  instrumentId: read.instrumentId,
  instrumentKind: instrumentKind ?? null,
  takenAt: read.takenAt,
  struck: false,
});

const bookRow = (read: ReadingRow, textId: string | null): RowOf<'reading'> => ({
  id: read.id,
  lotId: read.lotId,
  compositionId: read.compositionId,
  vesselId: read.vesselId,
  kind: read.kind,
  value: read.value,
  unit: read.unit,
  temperatureC: read.temperatureC,
  degassed: read.degassed,
  instrumentId: read.instrumentId,
  personId: read.personId,
  source: read.source,
  textId: textId,
  flags: read.flags,
  doubts: read.doubts,
  takenAt: read.takenAt.toISOString(),
});
