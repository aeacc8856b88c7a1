import { Injectable } from '@nestjs/common';
import { nominalAccount } from '../../../ledger/books/account.js';
import { amount, bookStrengthPercent, minus } from '../../../ledger/books/amount.js';
import type { Amount } from '../../../ledger/books/amount.js';
import {
  combined,
  mapped,
  strengthComponents,
  volumeComponents,
  withoutComponents,
} from '../../../ledger/books/components.js';
import type { Components } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { Exact } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Explained } from '../../../ledger/corrections/explanations.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { VolumeReading } from '../charges/charges.dto.js';
import { eventAnswer, eventParts } from '../../shared/event.js';
import { amountAtStrength } from '../../measuring/position/finding-books.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import { extractOfLot, GravityReadings } from '../../measuring/position/gravity-readings.js';
import type { VesselMeasure } from '../../measuring/volumes/vessel-volume.reader.js';
import { VesselVolumeReader } from '../../measuring/volumes/vessel-volume.reader.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { inStock, isInProcess, liquidOf } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import type { GaugeAnswer } from './gauges.dto.js';

interface GaugeRead {
  readonly position: LotPosition;
  readonly measure: VesselMeasure;
  readonly extractPlato: number | undefined;
}

/** Measures a vessel's contents and brings the books to what was found. */
@Injectable()
export class GaugesService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly positions: PositionReader,
    private readonly volumes: VesselVolumeReader,
    private readonly gravities: GravityReadings,
  ) {}

  gauge(ctx: RequestContext, lotId: string, body: VolumeReading): Promise<Answer<GaugeAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read) => this.plan(body, read),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: VolumeReading): Promise<GaugeRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    const at = eventParts(body, this.clock.now()).head.occurredAt;
    return {
      position,
      measure: await this.volumes.measure(tx, producerId, body.vesselId, body, at),
      extractPlato: extractOfLot(position, await this.gravities.ofLot(tx, producerId, lotId)),
    };
  }

  private plan(body: VolumeReading, { position, measure, extractPlato }: GaugeRead): Plan<GaugeAnswer> {
    const { target, account } = liquidIn(position, body.vesselId);
    const { lot } = position;
    const { head, personalText } = eventParts(body, this.clock.now());
    const measured = VesselVolumeReader.litres(
      body,
      measure,
      liquidOf(target, extractPlato ?? 0),
      `operation/${head.id}`,
    );
    const inProcess = isInProcess(target);
    const found = foundAmount(account, measured.litres, target.ofRecord ?? target.provisional, inProcess);
    const components = foundComponents(account, found, volumeComponents(measured.byOrigin));
    const place = account.account;
    const subject = { category: lot.category, lotId: lot.id, compositionId: target.composition.id };
    const change = minus(found, account.balance);
    const changeComponents = withoutComponents(components, account.components);
    const gauge = {
      ...head,
      kind: 'gauge',
      timing: 'assertion' as const,
      premisesId: place.premisesId,
      lotId: lot.id,
      compositionId: target.composition.id,
      document: {
        vesselId: body.vesselId,
        asRead: { volume: body.volume, temperature: body.temperature ?? null, instrumentId: body.instrumentId ?? null },
        bookLitres: account.balance.litres.toFixed(),
        foundLitres: measured.litres.toFixed(),
        warnings: measured.warnings,
      },
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
              operationId: head.id,
              compositionId: target.composition.id,
              vesselId: body.vesselId,
              bookLitres: account.balance.litres.toFixed(),
              foundLitres: measured.litres.toFixed(),
              standardUncertainty: measured.standardUncertaintyL.toFixed(12),
              inputs: { ...gauge.document },
            },
          ],
        },
        personalText,
      },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...eventAnswer(gauge, found, measured.warnings),
        bookVolume: { value: account.balance.litres.toNumber(), unit: 'L' },
        difference: { value: change.litres.toNumber(), unit: 'L' },
        standardUncertaintyL: measured.standardUncertaintyL,
      }),
    };
  }
}

/** The one account of the lot with liquid in the vessel. @throws ProblemException `conflict` */
export function liquidIn(
  position: LotPosition,
  vesselId: string,
): { target: CompositionPosition; account: StockAccount } {
  for (const target of position.compositions) {
    const account = inStock(target).find((each) => each.account.vesselId === vesselId);
    if (account !== undefined) {
      return { target, account };
    }
  }
  throw new ProblemException('insufficient-stock', 'The lot has no liquid in that vessel.', {
    errors: [{ pointer: '/vesselId', rule: 'nothing-there', detail: 'The books hold nothing of this lot there.' }],
  });
}

/** The account as it stood when an entry happened that explains a later gauge or count. @throws ProblemException `insufficient-stock` */
export function explainedIn(
  position: LotPosition,
  { account }: Explained,
): { target: CompositionPosition; account: StockAccount } {
  const target = position.compositions.find(({ composition }) => composition.id === account.account.compositionId);
  if (target === undefined || !account.balance.litres.greaterThan(0)) {
    throw new ProblemException('insufficient-stock', 'The lot had no liquid in that vessel then.', {
      errors: [{ pointer: '/explains', rule: 'nothing-there', detail: 'The books held nothing of this lot there.' }],
    });
  }
  return { target, account };
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

/** The new volume's components take the place of the old; the strength's stay, over the new volume. */
export function foundComponents(
  account: Pick<StockAccount, 'balance' | 'components'>,
  found: Amount,
  measured: Components,
): Components {
  const strength = bookStrengthPercent(account.balance) ?? 0;
  const { litres } = account.balance;
  const ofStrength = [...account.components].map(
    ([origin, each]) =>
      [
        origin,
        each.lpa.minus(each.litres.times(strength).dividedBy(100)).dividedBy(litres).times(100).toNumber(),
      ] as const,
  );
  return combined(strengthComponents(measured, found.litres, strength, ofStrength));
}

const only = (vector: Components, measure: 'litres' | 'lpa'): Components =>
  mapped(vector, (each) => ({
    litres: measure === 'litres' ? each.litres : new Exact(0),
    lpa: measure === 'lpa' ? each.lpa : new Exact(0),
  }));
