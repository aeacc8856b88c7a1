import { named, SettingsResource } from '../../../tenancy/settings/resource.service.js';
import type { InstrumentColumns } from './instruments.dto.js';
import { Injectable } from '@nestjs/common';
import type { Calibration as CalibrationRow } from '../../../generated/prisma/client.js';
import { canonicalText, decimalOf, Exact } from '../../../metrology/decimals.js';
import type { Quantity } from '../../../metrology/units.js';
import type { Page, PageQuery } from '../../../platform/pagination.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { within } from '../../../platform/validation/rule.js';
import { problemOfFindings } from '../../../platform/validation/validation.pipe.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { dateOf, dayOf } from '../../shared/local-day.js';
import { malformed } from '../../shared/references.js';
import { regionFindings } from './calibration-rules.js';
import type { Calibration, NewCalibration } from './calibrations.dto.js';
import { toCalibration, storedRegions } from './calibrations.dto.js';
import type { InstrumentKind } from './instrument-kinds.js';
import { calibrationUnit, GRAVITY_INSTRUMENTS } from './instrument-kinds.js';
import type { InstrumentChange, Instrument, InstrumentQuery, NewInstrument } from './instruments.dto.js';
import { toInstrument } from './instruments.dto.js';

/** The furthest that any place's calendar is ahead of UTC, and a little. */
const AHEAD_MS = 15 * 3_600_000;

/** In °C, half-even to 2 places, as text. */
function referenceTemperature({ value, unit }: Quantity): string {
  const given = decimalOf(value);
  const celsius = unit === '[degF]' ? given.minus(32).times(5).dividedBy(9) : given;
  return canonicalText(celsius.toDecimalPlaces(2, Exact.ROUND_HALF_EVEN));
}

const requireGravityInstrument = (kind: string): void => {
  if (!(GRAVITY_INSTRUMENTS as readonly string[]).includes(kind)) {
    const detail = `A gravity scale belongs to one of ${GRAVITY_INSTRUMENTS.join(', ')}.`;
    throw malformed({ pointer: '/scale', rule: 'scale-of-kind', detail, allowed: GRAVITY_INSTRUMENTS });
  }
};

@Injectable()
export class InstrumentsService extends SettingsResource<InstrumentColumns, Instrument> {
  protected readonly table = 'instrument';
  protected readonly path = 'instruments';
  protected readonly toAnswer = toInstrument;

  constructor(store: SettingsStore) {
    super(store);
  }

  protected override where({ name, kind }: InstrumentQuery) {
    return { kind, name: named(name) };
  }

  async create(ctx: RequestContext, body: NewInstrument): Promise<Answer<Instrument>> {
    if (body.scale !== undefined) {
      requireGravityInstrument(body.kind);
    }
    return this.add(ctx, {
      name: body.name,
      kind: body.kind,
      scale: body.scale ?? null,
      referenceTemperatureC:
        body.referenceTemperature === undefined ? null : referenceTemperature(body.referenceTemperature),
      resolution: body.resolution === undefined ? null : canonicalText(decimalOf(body.resolution)),
      serialNumber: body.serialNumber ?? null,
    });
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    body: InstrumentChange,
  ): Promise<Answer<Instrument>> {
    const { referenceTemperature: reference, resolution, ...rest } = body;
    if (body.scale !== undefined) {
      await this.requireFreeScale(ctx, id, body.scale);
    }
    return this.alter(ctx, id, ifMatch, {
      ...rest,
      ...(reference === undefined ? {} : { referenceTemperatureC: referenceTemperature(reference) }),
      ...(resolution === undefined ? {} : { resolution: canonicalText(decimalOf(resolution)) }),
    });
  }

  async calibrations(ctx: RequestContext, id: string, query: PageQuery): Promise<Page<Calibration>> {
    await this.row(ctx, id);
    return this.store.list<CalibrationRow, Calibration>(ctx, 'calibration', query, toCalibration, {
      instrumentId: id,
    });
  }

  async calibrate(ctx: RequestContext, id: string, body: NewCalibration): Promise<Answer<Calibration>> {
    const instrument = await this.get(ctx, id);
    const unit = calibrationUnit(instrument.kind, instrument.scale);
    if (unit === undefined) {
      throw new ProblemException('conflict', 'The instrument has no scale yet; say first which one it carries.');
    }
    this.requireDays(body);
    const findings = regionFindings(body.regions, unit);
    if (findings.length > 0) {
      throw problemOfFindings(within('regions', findings));
    }
    const row = {
      id: this.store.newId(),
      instrumentId: id,
      performedOn: dateOf(body.performedOn),
      validUntil: dateOf(body.validUntil),
      certificate: body.certificate ?? null,
      regions: storedRegions(unit, body.regions),
      createdAt: this.store.now(),
    };
    const wire = toCalibration(row);
    return this.store.create(ctx, {
      action: 'calibrations.create',
      records: [{ table: 'calibration', data: row }],
      facts: { ...wire },
      body: wire,
      headers: { location: `/v1/instruments/${id}/calibrations` },
    });
  }

  private requireDays({ performedOn, validUntil }: NewCalibration): void {
    if (validUntil < performedOn) {
      const detail = 'A calibration holds from the day that it was performed on.';
      throw malformed({ pointer: '/validUntil', rule: 'ascending', detail });
    }
    if (performedOn > dayOf(new Date(this.store.now().getTime() + AHEAD_MS))) {
      const detail = 'The day lies ahead.';
      throw new ProblemException('time-ahead', detail, {
        errors: [{ pointer: '/performedOn', rule: 'time-ahead', detail }],
      });
    }
  }

  /** The regions of a calibration stand in the instrument's scale. */
  private async requireFreeScale(ctx: RequestContext, id: string, scale: string): Promise<void> {
    const row = await this.row(ctx, id);
    requireGravityInstrument(row.kind as InstrumentKind);
    if (row.scale !== scale && (await this.store.find(ctx, 'calibration', { instrumentId: id })) !== undefined) {
      const detail = 'A calibration stands in the present scale; add another instrument instead.';
      throw new ProblemException('in-use', detail, { errors: [{ pointer: '/scale', rule: 'in-use', detail }] });
    }
  }
}
