import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { dilute } from '../../../alcoholometry/mixing/dilution.js';
import { DEFAULTS } from '../../../alcoholometry/strength/defaults.js';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import { amount, bookStrengthPercent } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { volumeComponents } from '../../../ledger/books/components.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { toBookLitres } from '../../../metrology/units.js';
import { Clock } from '../../../platform/clock.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import { eventAnswer, eventParts } from '../../shared/event.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import { liquidIn } from '../gauges/gauges.service.js';
import type { Mixed } from '../composition/mixtures.js';
import { mixParts } from '../composition/mixtures.js';
import { requirePlan } from '../../shared/plan-reference.js';
import type { CompositionPosition, LotPosition } from '../../measuring/position/lot-position.js';
import { PositionReader } from '../../measuring/position/position.reader.js';
import { malformed, referenced } from '../../shared/references.js';
import type { DilutionAnswer, NewDilution } from './dilutions.dto.js';

/** A composition's finding of record. @throws ProblemException `finding-needed` */
export function requireOfRecord(target: CompositionPosition): FindingRow {
  if (target.ofRecord === undefined) {
    throw new ProblemException('finding-needed', 'The composition has no strength of record yet.', {
      errors: [
        {
          pointer: '/vesselId',
          rule: 'finding-needed',
          detail: 'Find its strength first.',
          composition: target.composition.id,
        },
      ],
    });
  }
  return target.ofRecord;
}

/** Water into a vessel: a new composition with the same alcohol, whose strength follows from its parts. */
@Injectable()
export class DilutionsService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly positions: PositionReader,
  ) {}

  dilute(ctx: RequestContext, lotId: string, body: NewDilution): Promise<Answer<DilutionAnswer>> {
    requireDilutable(body);
    return this.events.write(ctx, body, {
      read: (tx) => this.read(tx, ctx.producerId, lotId, body),
      plan: (read) => this.plan(body, read),
    });
  }

  private async read(tx: Tx, producerId: string, lotId: string, body: NewDilution): Promise<LotPosition> {
    await referenced(tx, producerId, 'vessel', body.vesselId, '/vesselId');
    await requirePlan(tx, producerId, body.planId, 'dilution', lotId);
    return this.positions.ofLot(tx, producerId, lotId);
  }

  private plan(body: NewDilution, position: LotPosition): Plan<DilutionAnswer> {
    const { target, account } = liquidIn(position, body.vesselId);
    const finding = requireOfRecord(target);
    const { lot } = position;
    const { head, personalText } = eventParts(body, this.clock.now());
    const { water, waterComponents, mixed } = mixDilution(body, account, finding, `operation/${head.id}`);
    const compositionId = uuidv7();
    const findingId = uuidv7();
    const place = account.account;
    const subject = { category: lot.category, lotId: lot.id, compositionId };
    const into = liquidAccount(place, compositionId, body.vesselId);
    const dilution = {
      ...head,
      kind: 'dilution',
      timing: 'change' as const,
      premisesId: place.premisesId,
      lotId: lot.id,
      compositionId,
      document: {
        vesselId: body.vesselId,
        fromCompositionId: target.composition.id,
        targetStrength: body.targetStrength ?? null,
        waterL: water.toFixed(),
        volumeChangeL: mixed.volumeChange.toFixed(),
        warnings: mixed.warnings,
        planId: body.planId ?? null,
      },
    };
    const draft = new OperationDraft(dilution)
      .move(account.account, into, account.balance, subject, account.components)
      .move(nominalAccount(place, 'liquid-added', lot.category), into, amount(water), subject, waterComponents)
      .move(
        nominalAccount(place, 'mixing-volume-change', lot.category),
        into,
        amount(mixed.volumeChange),
        subject,
        mixed.changeComponents,
      );
    const { strengthPercent: strength } = mixed.finding;
    return {
      batch: {
        action: 'dilutions.dilute',
        ...booksOf(draft),
        rows: {
          composition: [
            compositionRow({
              id: compositionId,
              lotId: lot.id,
              premisesId: place.premisesId,
              kind: 'dilution',
              operationId: head.id,
              openedAt: head.occurredAt,
            }),
          ],
          finding: [
            findingRow(
              {
                id: findingId,
                lotId: lot.id,
                compositionId,
                standing: 'of-record',
                operationId: head.id,
                sampledAt: head.occurredAt,
                inputs: { from: finding.id, waterL: water.toFixed() },
                warnings: mixed.warnings,
              },
              mixed.finding,
            ),
          ],
        },
        personalText,
      },
      reads: readsOf(account),
      answer: new Answer(201, {
        ...eventAnswer(dilution, mixed.amount, mixed.warnings),
        findingId,
        strength: { value: strength.value, unit: '%' },
        expandedUncertainty: strength.expanded,
        water: { value: water.toNumber(), unit: 'L' },
        volumeChange: { value: mixed.volumeChange.toNumber(), unit: 'L' },
      }),
    };
  }
}

export type DilutionFacts = Pick<NewDilution, 'vesselId' | 'water' | 'targetStrength' | 'waterStandardUncertainty'>;

/** What the body itself must hold. @throws ProblemException `validation-failed` */
export function requireDilutable({ water, targetStrength }: DilutionFacts): void {
  if ((water === undefined) === (targetStrength === undefined)) {
    throw malformed({ pointer: '/water', rule: 'one-of-two', detail: 'Give either water or targetStrength.' });
  }
}

export interface DilutionMix {
  readonly water: Decimal;
  readonly waterComponents: Components;
  readonly mixed: Mixed;
}

/** Water to what is in the vessel. @param operation origin of what the water is unsure by */
export function mixDilution(
  body: DilutionFacts,
  account: StockAccount,
  finding: FindingRow,
  operation: string,
): DilutionMix {
  const extractPlato = finding.realExtractPlato ?? 0;
  const water = waterOf(body, account, extractPlato);
  const waterComponents = volumeComponents([
    [`${operation}/water`, body.waterStandardUncertainty ?? DEFAULTS.flowMeter.standardUncertainty * water.toNumber()],
  ]);
  const mixed = mixParts([
    { name: 'lot', amount: account.balance, components: account.components, extractPlato },
    { name: 'water', amount: amount(water), components: waterComponents, extractPlato: 0 },
  ]);
  return { water, waterComponents, mixed };
}

function waterOf(body: DilutionFacts, account: StockAccount, extractPlato: number): Decimal {
  if (body.water !== undefined) {
    return toBookLitres(body.water).litres;
  }
  const { waterVolumeL } = dilute({
    strengthPercent: bookStrengthPercent(account.balance) ?? 0,
    extractPlato,
    targetStrengthPercent: body.targetStrength?.value ?? 0,
    volumeL: account.balance.litres.toNumber(),
  });
  return toPlaces6HalfEven(new Exact(waterVolumeL));
}
