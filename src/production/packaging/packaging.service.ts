import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { nominalAccount, packagedAccount } from '../../ledger/books/account.js';
import { bookStrengthPercent } from '../../ledger/books/amount.js';
import { rootSumSquare } from '../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../ledger/books/stock.reader.js';
import { readsOf } from '../../ledger/books/stock.reader.js';
import { assessConformity } from '../../metrology/conformity.js';
import { Exact } from '../../metrology/decimals.js';
import { toBookLitres } from '../../metrology/units.js';
import { Clock } from '../../platform/clock.js';
import type { Plan } from '../../tenancy/door/batch.js';
import { Answer } from '../../tenancy/door/batch.js';
import type { RequestContext } from '../../tenancy/door/context.js';
import type { Tx } from '../../tenancy/door/door.js';
import { EventWriter } from '../../ledger/corrections/event-writer.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import type { ProducerSettings } from '../../tenancy/producers/producers.dto.js';
import { requireOfRecord } from '../dilutions/dilutions.service.js';
import { eventAnswer, eventParts } from '../events.js';
import type { FindingRow } from '../findings/finding.reader.js';
import { liquidIn } from '../gauges/gauges.service.js';
import { localDay } from '../local-day.js';
import type { LotPosition } from '../position/lot-position.js';
import { PositionReader } from '../position/position.reader.js';
import { referenced } from '../references.js';
import type { LabelCheck, NewPackaging, PackagingAnswer } from './packaging.dto.js';
import type { Run } from './run-sheet.js';
import { runSheet } from './run-sheet.js';

interface PackRead {
  readonly position: LotPosition;
  readonly timeZone: string;
  readonly settings: ProducerSettings;
}

/** Fills containers from one composition in one run. */
@Injectable()
export class PackagingService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly positions: PositionReader,
    private readonly settings: SettingsReader,
  ) {}

  pack(ctx: RequestContext, lotId: string, body: NewPackaging): Promise<Answer<PackagingAnswer>> {
    return this.events.write(ctx, body.corrects, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read) => this.plan(body, read),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewPackaging): Promise<PackRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    const premises = await referenced(tx, producerId, 'premises', position.lot.premisesId, '/premisesId');
    return { position, timeZone: premises.timeZone, settings: await this.settings.of(tx, producerId) };
  }

  private plan(body: NewPackaging, { position, timeZone, settings }: PackRead): Plan<PackagingAnswer> {
    const { target, account } = liquidIn(position, body.vesselId);
    const finding = requireOfRecord(target);
    const { lot } = position;
    const { head, personalText } = eventParts(body, this.clock.now());
    const run = runOf(body);
    const sheet = runSheet(run, account.balance, account.components);
    const labelCheck = checkLabel(account, finding, body.declaredStrength.value, settings);
    const flags = [
      ...(sheet.gain.amount.litres.greaterThan(0) ? ['more-than-gauged'] : []),
      ...(labelCheck.decision === 'conforms' ? [] : ['label-in-doubt']),
    ];
    const packagedLotId = uuidv7();
    const lotMark = body.lotMark ?? lot.code;
    const place = { premisesId: target.composition.premisesId };
    const subject = { category: lot.category, lotId: lot.id, compositionId: target.composition.id };
    const packaging = {
      ...head,
      kind: 'packaging',
      timing: 'draw' as const,
      ...place,
      lotId: lot.id,
      compositionId: target.composition.id,
      reasonCode: body.reasonCode,
      document: {
        vesselId: body.vesselId,
        packagedLotId,
        container: body.container,
        nominalLitres: run.nominalLitres.toFixed(),
        count: body.count,
        meanFillLitres: body.meanFill === undefined ? null : run.meanFillLitres.toFixed(),
        emptied: run.emptied,
        flags,
        labelCheck: { ...labelCheck },
      },
    };
    const nominal = (kind: 're-measurement' | 'fill-difference' | 'packaging-loss') =>
      nominalAccount(place, kind, lot.category);
    const draft = new OperationDraft(packaging)
      .move(nominal('re-measurement'), account.account, sheet.gain.amount, subject, sheet.gain.components)
      .move(
        account.account,
        packagedAccount(place, packagedLotId),
        sheet.packed.amount,
        { ...subject, packagedLotId },
        sheet.packed.components,
      )
      .move(
        account.account,
        nominal('fill-difference'),
        sheet.fillDifference.amount,
        subject,
        sheet.fillDifference.components,
      )
      .move(account.account, nominal('packaging-loss'), sheet.loss.amount, subject, sheet.loss.components);
    const answer: PackagingAnswer = {
      ...eventAnswer(packaging, sheet.packed.amount, []),
      packagedLotId,
      lotMark,
      count: body.count,
      loss: { value: sheet.loss.amount.litres.toNumber(), unit: 'L' },
      fillDifference: { value: sheet.fillDifference.amount.litres.toNumber(), unit: 'L' },
      gain: { value: sheet.gain.amount.litres.toNumber(), unit: 'L' },
      flags,
      labelCheck,
    };
    return {
      batch: {
        action: 'packaging.pack',
        ...booksOf(draft),
        rows: {
          packaged_lot: [
            {
              id: packagedLotId,
              lot_id: lot.id,
              composition_id: target.composition.id,
              premises_id: place.premisesId,
              container: body.container,
              nominal_litres: run.nominalLitres.toFixed(),
              count: body.count,
              lot_mark: lotMark,
              declared_strength_percent: String(body.declaredStrength.value),
              dispense: body.dispense ?? null,
              category: lot.category,
              packaged_on: body.packagedOn ?? localDay(head.occurredAt, timeZone),
              operation_id: head.id,
            },
          ],
        },
        personalText,
      },
      reads: readsOf(account),
      answer: new Answer(201, answer, { location: `/v1/packaged-lots/${packagedLotId}` }),
    };
  }
}

function runOf(body: NewPackaging): Run {
  const nominalLitres = toBookLitres(body.nominalVolume).litres;
  return {
    nominalLitres,
    count: body.count,
    meanFillLitres: body.meanFill === undefined ? nominalLitres : toBookLitres(body.meanFill).litres,
    lossLitres: body.loss === undefined ? undefined : toBookLitres(body.loss).litres,
    emptied: body.emptied ?? body.loss === undefined,
    reasonCode: body.reasonCode,
  };
}

/** Whether the strength of record conforms to the label within the producer's tolerance; flagged, never decided for them. */
function checkLabel(
  account: StockAccount,
  finding: FindingRow,
  declared: number,
  settings: ProducerSettings,
): LabelCheck {
  const measured = bookStrengthPercent(account.balance) ?? finding.strengthPercent;
  const tolerance = settings.labelTolerancePercent;
  const fromBooks = (100 * rootSumSquare(strengthVector(account), 'lpa')) / account.balance.litres.toNumber();
  const { decision, probability } = assessConformity({
    measured,
    standardUncertainty: Math.max(fromBooks, 1e-9),
    declared,
    tolerance,
    allowedRisk: settings.allowedRisk,
  });
  return {
    decision,
    probability,
    measured: { value: measured, unit: '%' },
    tolerance: { value: tolerance, unit: '%' },
  };
}

/** What the strength alone is unsure by: the alcohol's components less what the volume's would make of it. */
const strengthVector = (account: StockAccount) => {
  const strength = new Exact(bookStrengthPercent(account.balance) ?? 0).dividedBy(100);
  return new Map(
    [...account.components].map(([origin, { litres, lpa }]) => [
      origin,
      { litres, lpa: lpa.minus(litres.times(strength)) },
    ]),
  );
};
