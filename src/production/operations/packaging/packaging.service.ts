import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { nominalAccount, packagedAccount } from '../../../ledger/books/account.js';
import { NOTHING, plus } from '../../../ledger/books/amount.js';
import { combined, NO_COMPONENTS } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { toBookLitres } from '../../../metrology/units.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import type { Explained } from '../../../ledger/corrections/explanations.js';
import { explanationOf, ExplanationReader } from '../../../ledger/corrections/explanations.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import { conditionInPackage } from './conditioning.js';
import { containerRows, requireSerialEach } from '../containers/container-events.js';
import { eventAnswer } from '../../shared/event.js';
import { liquidAt, requireOfRecord } from '../../measuring/position/vessel-liquid.js';
import { checkLabel } from '../../shared/labels/label-check.js';
import { localDay } from '../../shared/local-day.js';
import type { LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { referenced } from '../../shared/references.js';
import type { NewPackaging, PackagingAnswer } from './packaging.dto.js';
import type { Run } from './run-sheet.js';
import { checkedFills } from './fills.js';
import type { FillCheck } from './fills.js';
import { runSheet } from './run-sheet.js';

interface PackRead {
  readonly position: LotPosition;
  readonly timeZone: string;
  readonly settings: ProducerSettings;
  readonly explained: Explained | undefined;
}

/** Fills containers from one composition in one run. */
@Injectable()
export class PackagingService {
  constructor(
    private readonly events: EventWriter,
    private readonly positions: PositionReader,
    private readonly settings: SettingsReader,
    private readonly explanations: ExplanationReader,
  ) {}

  pack(ctx: RequestContext, lotId: string, body: NewPackaging): Promise<Answer<PackagingAnswer>> {
    return this.events.write(ctx, body, {
      read: (tx, head) => this.read(tx, ctx.producerId, lotId, body, head.occurredAt),
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewPackaging, at: Date): Promise<PackRead> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    const premises = await referenced(tx, producerId, 'premises', position.lot.premisesId, '/premisesId');
    const explained =
      body.explains === undefined
        ? undefined
        : await this.explanations.of(
            tx,
            producerId,
            body.explains,
            at,
            ({ vesselId, compositionId }) =>
              vesselId === body.vesselId &&
              position.compositions.some(({ composition }) => composition.id === compositionId),
          );
    return { position, timeZone: premises.timeZone, settings: await this.settings.of(tx, producerId), explained };
  }

  private plan(
    body: NewPackaging,
    { position, timeZone, settings, explained }: PackRead,
    head: EventHead,
  ): Plan<PackagingAnswer> {
    const { target, account } = liquidAt(position, body.vesselId, explained);
    requireOfRecord(target);
    requireSerialEach(body.serials, body.count);
    const { lot } = position;
    const { run, fillCheck } = runOf(body);
    const sheet = runSheet(run, account.balance, account.components);
    const conditioned =
      body.conditioning === undefined
        ? undefined
        : conditionInPackage(body.conditioning, sheet.packed.amount.litres, `operation/${head.id}/conditioning`);
    const packed = {
      amount: plus(sheet.packed.amount, conditioned?.amount ?? NOTHING),
      components: combined(sheet.packed.components, conditioned?.components ?? NO_COMPONENTS),
    };
    const labelCheck = checkLabel(packed.amount, packed.components, body.declaredStrength.value, settings);
    const flags = [
      ...(sheet.gain.amount.litres.greaterThan(0) ? ['more-than-gauged'] : []),
      ...(labelCheck.decision === 'conforms' ? [] : ['label-in-doubt']),
      ...(fillCheck?.verdict === 'fails' ? ['fills-short'] : []),
    ];
    const packagedLotId = uuidv7();
    const lotMark = body.lotMark ?? lot.code;
    const place = account.account;
    const subject = { category: lot.category, lotId: lot.id, compositionId: target.composition.id };
    const packaging = {
      ...head,
      kind: 'packaging',
      timing: 'draw' as const,
      premisesId: place.premisesId,
      lotId: lot.id,
      compositionId: target.composition.id,
      reasonCode: body.reasonCode,
      explains: body.explains,
      document: {
        vesselId: body.vesselId,
        packagedLotId,
        container: body.container,
        nominalLitres: run.nominalLitres.toFixed(),
        count: body.count,
        meanFillLitres: body.meanFill === undefined && body.fills === undefined ? null : run.meanFillLitres.toFixed(),
        ...(body.fills === undefined ? {} : { fills: { ...body.fills }, fillCheck: { ...fillCheck } }),
        emptied: run.emptied,
        ...(body.serials === undefined ? {} : { serials: body.serials }),
        flags,
        labelCheck: { ...labelCheck },
        conditioning: conditioned === undefined ? null : { ...body.conditioning, ...conditioned.answer },
      },
    };
    const nominal = (kind: 're-measurement' | 'fill-difference' | 'packaging-loss' | 'fermentation') =>
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
      .move(account.account, nominal('packaging-loss'), sheet.loss.amount, subject, sheet.loss.components)
      .move(
        nominal('fermentation'),
        packagedAccount(place, packagedLotId),
        conditioned?.amount ?? NOTHING,
        { ...subject, packagedLotId },
        conditioned?.components,
      );
    const counter = explained === undefined ? [] : [explanationOf(draft, explained, subject)];
    const answer: PackagingAnswer = {
      ...eventAnswer(packaging, packed.amount, conditioned?.warnings ?? []),
      packagedLotId,
      lotMark,
      count: body.count,
      loss: { value: sheet.loss.amount.litres.toNumber(), unit: 'L' },
      fillDifference: { value: sheet.fillDifference.amount.litres.toNumber(), unit: 'L' },
      gain: { value: sheet.gain.amount.litres.toNumber(), unit: 'L' },
      flags,
      labelCheck,
      ...(fillCheck === undefined ? {} : { fillCheck }),
      ...(conditioned === undefined ? {} : { conditioning: conditioned.answer }),
    };
    return {
      batch: {
        action: 'packaging.pack',
        ...booksOf(draft, ...counter),
        rows: {
          packagedLot: [
            {
              id: packagedLotId,
              lotId: lot.id,
              compositionId: target.composition.id,
              premisesId: place.premisesId,
              container: body.container,
              nominalLitres: run.nominalLitres.toFixed(),
              count: body.count,
              lotMark: lotMark,
              declaredStrengthPercent: String(body.declaredStrength.value),
              dispense: body.dispense ?? null,
              category: lot.category,
              packagedOn: body.packagedOn ?? localDay(head.occurredAt, timeZone),
              operationId: head.id,
            },
          ],
          containerEvent: containerRows(body.serials, {
            operationId: head.id,
            event: 'filled',
            packagedLotId,
            litres: run.nominalLitres,
          }),
        },
      },
      reads: readsOf(account),
      answer: new Answer(201, answer, { location: `/v1/packaged-lots/${packagedLotId}` }),
    };
  }
}

function runOf(body: NewPackaging): { run: Run; fillCheck: FillCheck | undefined } {
  const nominalLitres = toBookLitres(body.nominalVolume).litres;
  const checked = body.fills === undefined ? undefined : checkedFills(body.fills, nominalLitres);
  if (checked !== undefined && body.meanFill !== undefined) {
    const detail = 'The mean follows from the fills: give one of the two.';
    throw new ProblemException('validation-failed', detail, {
      errors: [{ pointer: '/meanFill', rule: 'contradictory', detail }],
    });
  }
  const stated = body.meanFill === undefined ? nominalLitres : toBookLitres(body.meanFill).litres;
  const run: Run = {
    nominalLitres,
    count: body.count,
    meanFillLitres: checked?.meanFillLitres ?? stated,
    lossLitres: body.loss === undefined ? undefined : toBookLitres(body.loss).litres,
    emptied: body.emptied ?? body.loss === undefined,
    reasonCode: body.reasonCode,
  };
  return { run, fillCheck: checked?.check };
}
