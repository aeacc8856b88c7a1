import { Injectable } from '@nestjs/common';
import { nominalAccount } from '../../../ledger/books/account.js';
import { amount, bookStrengthPercent, minus } from '../../../ledger/books/amount.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { mapped, volumeComponents, withoutComponents } from '../../../ledger/books/components.js';
import type { Components } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { eventAnswer } from '../../shared/event.js';
import { amountAtStrength } from '../../measuring/position/finding-books.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import { extractOfLot, GravityReadings } from '../../measuring/position/gravity-readings.js';
import type { VesselMeasure } from '../../measuring/volumes/vessel-volume.reader.js';
import { VesselVolumeReader } from '../../measuring/volumes/vessel-volume.reader.js';
import type { LotPosition } from '../../measuring/position/lot-position.js';
import { isInProcess, liquidOf } from '../../measuring/position/lot-position.js';
import { liquidIn } from '../../measuring/position/vessel-liquid.js';
import { measuredComponents } from '../../measuring/position/measured-components.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { requireReason } from '../../shared/reason.js';
import type { Flag } from '../../shared/flag.dto.js';
import type { GaugedVolume } from './gauge-difference.js';
import { differenceWords, isUnusual, usualDifferenceL } from './gauge-difference.js';
import { orderFlags } from './gauge-order.js';
import type { GaugeAnswer, NewGauge } from './gauges.dto.js';
import { lastGaugeOf } from '../../measuring/volumes/last-gauge.js';

interface GaugeRead {
  readonly position: LotPosition;
  readonly measure: VesselMeasure;
  readonly extractPlato: number | undefined;
  /** Setting of the producer, % of the book figure. */
  readonly usualPercent: number;
  /** Time of the last gauge of this composition. */
  readonly gaugedAt: Date | undefined;
}

/** Measures a vessel's contents and brings the books to what was found. */
@Injectable()
export class GaugesService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly volumes: VesselVolumeReader,
    private readonly gravities: GravityReadings,
    private readonly settings: SettingsReader,
  ) {}

  gauge(ctx: RequestContext, lotId: string, body: NewGauge): Promise<Answer<GaugeAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx, head) => this.read(tx, ctx.producerId, lotId, body, head.occurredAt),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewGauge, at: Date): Promise<GaugeRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    const measure = await this.volumes.measure(tx, producerId, body.vesselId, body, at);
    const { target } = liquidIn(position, body.vesselId);
    return {
      position,
      measure,
      gaugedAt: await lastGaugeOf(tx, producerId, target.composition.id),
      extractPlato: extractOfLot(position, await this.gravities.ofLot(tx, producerId, lotId)),
      usualPercent: (await this.settings.of(tx, producerId)).usualGaugeDifference.value,
    };
  }

  private plan(
    body: NewGauge,
    { position, measure, extractPlato, usualPercent, gaugedAt }: GaugeRead,
    head: EventHead,
  ): Plan<GaugeAnswer> {
    const { target, account } = liquidIn(position, body.vesselId);
    const { lot } = position;
    const measured = VesselVolumeReader.litres(
      body,
      measure,
      liquidOf(target, extractPlato ?? 0),
      `operation/${head.id}`,
    );
    const { litres: foundLitres, standardUncertaintyL } = measured;
    const gauged = { bookLitres: account.balance.litres, foundLitres, standardUncertaintyL };
    const inProcess = isInProcess(target);
    const found = foundAmount(account, measured.litres, target.ofRecord ?? target.provisional, inProcess);
    const components = measuredComponents(account, found, volumeComponents(measured.byOrigin));
    const place = account.account;
    const subject = { category: lot.category, lotId: lot.id, compositionId: target.composition.id };
    const change = minus(found, account.balance);
    const changeComponents = withoutComponents(components, account.components);
    const flags = [...differenceFlags(gauged, usualPercent, body.reasonCode), ...orderFlags(target, change, gaugedAt)];
    const gauge = {
      ...head,
      kind: 'gauge',
      timing: 'assertion' as const,
      premisesId: place.premisesId,
      lotId: lot.id,
      compositionId: target.composition.id,
      reasonCode: body.reasonCode,
      document: documentOf(body, gauged, { warnings: measured.warnings, flags }),
    };
    const litresTo = nominalAccount(place, inProcess ? 'fermentation-volume-change' : 're-measurement', lot.category);
    const alcoholTo = nominalAccount(place, inProcess ? 'fermentation' : 're-measurement', lot.category);
    const draft = new OperationDraft(gauge)
      .move(litresTo, account.account, amount(change.litres), subject, only(changeComponents, 'litres'))
      .move(alcoholTo, account.account, { ...change, litres: new Exact(0) }, subject, only(changeComponents, 'lpa'));
    return {
      batch: {
        action: 'gauges.gauge',
        ...booksOf(draft),
        rows: {
          gauge: [
            {
              ...columnsOf(gauged),
              operationId: head.id,
              compositionId: target.composition.id,
              vesselId: body.vesselId,
              inputs: { ...gauge.document },
            },
          ],
        },
      },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...eventAnswer(gauge, found, measured.warnings),
        bookVolume: { value: account.balance.litres.toNumber(), unit: 'L' },
        difference: { value: change.litres.toNumber(), unit: 'L' },
        standardUncertainty: { value: measured.standardUncertaintyL, unit: 'L' },
        flags,
      }),
    };
  }
}

const documentOf = (
  { vesselId, volume, temperature, instrumentId }: NewGauge,
  { bookLitres, foundLitres }: GaugedVolume,
  said: { readonly warnings: readonly string[]; readonly flags: readonly Flag[] },
) => ({
  vesselId,
  asRead: { volume, temperature: temperature ?? null, instrumentId: instrumentId ?? null },
  bookLitres: bookLitres.toFixed(),
  foundLitres: foundLitres.toFixed(),
  ...said,
});

const columnsOf = ({ bookLitres, foundLitres, standardUncertaintyL }: GaugedVolume) => ({
  bookLitres: bookLitres.toFixed(),
  foundLitres: foundLitres.toFixed(),
  standardUncertainty: standardUncertaintyL.toFixed(12),
});

/** @throws ProblemException `reason-needed` for a difference that is not usual and has no reason */
function differenceFlags(gauged: GaugedVolume, usualPercent: number, reasonCode: string | undefined): Flag[] {
  if (!isUnusual(gauged, usualPercent)) {
    return [];
  }
  const detail = differenceWords(gauged, usualPercent);
  requireReason(reasonCode, detail, {
    advice: 'Measure again, and check the unit and the decimal point. If the volume is right, say why in reasonCode.',
    members: {
      bookVolume: { value: gauged.bookLitres.toNumber(), unit: 'L' },
      measuredVolume: { value: gauged.foundLitres.toNumber(), unit: 'L' },
      limit: { value: usualDifferenceL(gauged, usualPercent), unit: 'L' },
    },
  });
  return [{ code: 'gauge-difference', detail }];
}

/** Litres found, at the strength of record, or at that of the books while there is no finding. */
function foundAmount(
  account: StockAccount,
  litres: Decimal,
  finding: FindingRow | undefined,
  inProcess: boolean,
): Amount {
  const strength = bookStrengthPercent(account.balance) ?? finding?.strengthPercent ?? 0;
  if (strength === 0) {
    return { ...account.balance, litres };
  }
  const scaled = amountAtStrength({ ...account.balance, litres }, strength, false);
  return inProcess ? { litres, fermented: scaled.fermented, added: scaled.added } : scaled;
}

const only = (vector: Components, measure: 'litres' | 'lpa'): Components =>
  mapped(vector, (each) => ({
    litres: measure === 'litres' ? each.litres : new Exact(0),
    lpa: measure === 'lpa' ? each.lpa : new Exact(0),
  }));
