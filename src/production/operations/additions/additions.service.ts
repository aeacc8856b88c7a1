import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { Clock } from '../../../platform/clock.js';
import type { BooksRows, Facts, Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import type { EventParts } from '../../shared/event.js';
import { eventAnswer, eventParts } from '../../shared/event.js';
import type { Standing } from '../../measuring/finding-records/finding-kinds.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import { requirePlan } from '../../shared/plan-reference.js';
import { findingNow } from '../../measuring/position/vessel-draw.js';
import { requireAddable } from './addition-amount.js';
import type { AdditionMix, AdditionRead } from './addition-mix.js';
import { mixAddition } from './addition-mix.js';
import { AdditionReader } from './addition.reader.js';
import type { AdditionAnswer, NewAddition } from './additions.dto.js';

interface Changed {
  readonly compositionId: string;
  readonly findingId: string | undefined;
}

/** Of record if the drink has finished; provisional while it is known what has fermented so far; none otherwise. */
function standingOf({ base, finding }: AdditionMix): Standing | undefined {
  if (finding === undefined) {
    return undefined;
  }
  if (!base.inProcess) {
    return 'of-record';
  }
  return findingNow(base.target) === undefined ? undefined : 'provisional';
}

/** Something goes into a vessel: sugar, fruit, flavouring, water, acid, finings; each with its dose and its material lot. */
@Injectable()
export class AdditionsService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly additions: AdditionReader,
  ) {}

  add(ctx: RequestContext, lotId: string, body: NewAddition): Promise<Answer<AdditionAnswer>> {
    requireAddable(body);
    return this.events.write(ctx, body, {
      read: async (tx) => {
        const read = await this.additions.read(tx, ctx.producerId, lotId, body);
        await requirePlan(tx, ctx.producerId, body.planId, 'addition', lotId);
        return read;
      },
      plan: (read) => this.plan(body, read),
    });
  }

  private plan(body: NewAddition, read: AdditionRead): Plan<AdditionAnswer> {
    const { head, personalText } = eventParts(body, this.clock.now());
    const mix = mixAddition(body, read, `operation/${head.id}`);
    const { base } = mix;
    // What is negligible is on record, but changes nothing: the composition stays what it is.
    const changed: Changed | undefined =
      mix.finding === undefined
        ? undefined
        : { compositionId: uuidv7(), findingId: standingOf(mix) === undefined ? undefined : uuidv7() };
    const operation = {
      ...head,
      kind: 'addition',
      timing: 'change' as const,
      premisesId: base.target.composition.premisesId,
      lotId: base.subject.lotId,
      compositionId: changed?.compositionId ?? base.subject.compositionId,
      document: documentOf(body, mix),
    };
    const draft = changed === undefined ? new OperationDraft(operation) : this.draft(operation, mix, read, changed);
    return {
      batch: {
        action: 'additions.add',
        ...booksOf(draft),
        rows: changed === undefined ? {} : this.rows(mix, head, changed),
        personalText,
      },
      reads: readsOf(base.stock, ...(read.materialStock === undefined ? [] : [read.materialStock])),
      answer: new Answer(201, {
        ...eventAnswer(operation, mix.amount, mix.warnings),
        booked: mix.booked,
        inProcess: base.inProcess,
        ...(changed?.findingId === undefined ? {} : { findingId: changed.findingId }),
        strength: { value: bookStrengthPercent(mix.amount) ?? 0, unit: '%' },
        expandedUncertainty: mix.finding?.strengthPercent.expanded ?? findingNow(base.target)?.expandedUncertainty ?? 0,
        added: { value: mix.addedLitres.toNumber(), unit: 'L' },
        volumeChange: { value: mix.volumeChange.toNumber(), unit: 'L' },
      }),
    };
  }

  private draft(
    operation: ConstructorParameters<typeof OperationDraft>[0],
    { base, lines }: AdditionMix,
    { materialStock }: AdditionRead,
    { compositionId }: Changed,
  ): OperationDraft {
    const place = base.stock.account;
    const subject = { ...base.subject, compositionId };
    const into = liquidAccount(place, compositionId, String(place.vesselId));
    const draft = new OperationDraft(operation).move(place, into, base.amount, base.subject, base.components, subject);
    for (const { from, amount, components } of lines) {
      if (from !== 'material') {
        draft.move(nominalAccount(place, from, subject.category), into, amount, subject, components);
      } else if (materialStock !== undefined) {
        const { account } = materialStock;
        draft
          .move(
            account,
            nominalAccount(account, 'used-as-material', 'materials'),
            amount,
            { category: 'materials', materialLotId: account.materialLotId },
            components,
          )
          .move(nominalAccount(place, 'used-as-material', subject.category), into, amount, subject, components);
      }
    }
    return draft;
  }

  private rows(
    mix: AdditionMix,
    head: EventParts['head'],
    { compositionId, findingId }: Changed,
  ): Pick<BooksRows, 'composition' | 'finding'> {
    const { base, finding, warnings } = mix;
    const { lotId } = base.subject;
    const standing = standingOf(mix);
    return {
      composition: [
        compositionRow({
          id: compositionId,
          lotId,
          premisesId: base.target.composition.premisesId,
          kind: 'addition',
          operationId: head.id,
          openedAt: head.occurredAt,
        }),
      ],
      finding:
        finding === undefined || findingId === undefined || standing === undefined
          ? []
          : [
              findingRow(
                {
                  id: findingId,
                  lotId,
                  compositionId,
                  standing,
                  operationId: head.id,
                  sampledAt: head.occurredAt,
                  inputs: { from: findingNow(base.target)?.id ?? null, addedLitres: mix.addedLitres.toFixed() },
                  warnings,
                },
                finding,
              ),
            ],
    };
  }
}

function documentOf(body: NewAddition, mix: AdditionMix): Facts {
  const { materialLotId, mass, volume, dose } = body;
  return {
    vesselId: body.vesselId,
    fromCompositionId: mix.base.subject.compositionId,
    purpose: body.purpose,
    booked: mix.booked,
    materials:
      materialLotId === undefined
        ? []
        : [{ materialLotId, ...(mass === undefined ? {} : { mass: { ...mass } }), ...volumeOf(mix, volume) }],
    dose: dose === undefined ? null : { ...dose },
    extractPlato: body.extractPlato ?? null,
    solublePercent: body.solublePercent ?? null,
    addedLitres: mix.addedLitres.toFixed(),
    volumeChangeL: mix.volumeChange.toFixed(),
    fermentable: mix.fermentable === undefined ? null : { ...mix.fermentable },
    warnings: mix.warnings,
    planId: body.planId ?? null,
  };
}

/** The volume as given, or what the dose came to. */
const volumeOf = (mix: AdditionMix, volume: NewAddition['volume']): Facts => {
  if (volume !== undefined) {
    return { volume: { ...volume } };
  }
  return mix.booked === 'liquid' || mix.booked === 'alcohol'
    ? { volume: { value: mix.addedLitres.toNumber(), unit: 'L' } }
    : {};
};
