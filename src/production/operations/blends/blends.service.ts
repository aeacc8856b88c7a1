import { Injectable } from '@nestjs/common';
import { uuidv7 } from 'uuidv7';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, bookStrengthPercent, pureAlcohol } from '../../../ledger/books/amount.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import { Clock } from '../../../platform/clock.js';
import type { Plan, RowOf } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import { eventAnswer, eventParts } from '../../shared/event.js';
import type { Standing } from '../../measuring/finding-records/finding-kinds.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import { requirePlan } from '../../shared/plan-reference.js';
import { findingNow } from '../../measuring/position/vessel-draw.js';
import type { BlendMix, BlendRead } from './blend-mix.js';
import { mixBlend, requireBlendable } from './blend-mix.js';
import { BlendReader } from './blend.reader.js';
import type { BlendAnswer, BlendedLiquid, NewBlend } from './blends.dto.js';
import { join } from './join.js';

/** Of record if every part has finished; provisional while it is known what has fermented so far; none otherwise. */
function standingOf({ inProcess, draws, mixed }: BlendMix): Standing | undefined {
  if (!inProcess) {
    return 'of-record';
  }
  const known = draws.every(({ target }) => findingNow(target) !== undefined);
  return known && pureAlcohol(mixed.amount).greaterThan(0) ? 'provisional' : undefined;
}

const quantities = (what: Amount): Pick<BlendedLiquid, 'volume' | 'pureAlcohol'> => ({
  volume: { value: what.litres.toNumber(), unit: 'L' },
  pureAlcohol: { value: pureAlcohol(what).toNumber(), unit: 'L' },
});

/** What went in, as answers, documents and plans show it. */
export const blendedParts = ({ draws, wash, water }: BlendMix): BlendedLiquid[] => [
  ...draws.map(({ subject, stock, amount: taken }) => ({
    kind: 'lot' as const,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    vesselId: stock.account.vesselId,
    ...quantities(taken),
  })),
  ...(wash === undefined ? [] : [{ kind: 'wash' as const, ...quantities(wash.amount) }]),
  ...(water === undefined ? [] : [{ kind: 'water' as const, ...quantities(water.amount) }]),
];

/** Liquids of several vessels become one composition of one lot. */
@Injectable()
export class BlendsService {
  constructor(
    private readonly events: EventWriter,
    private readonly clock: Clock,
    private readonly blends: BlendReader,
  ) {}

  blend(ctx: RequestContext, body: NewBlend): Promise<Answer<BlendAnswer>> {
    requireBlendable(body);
    return this.events.write(ctx, body, {
      read: async (tx) => {
        const read = await this.blends.read(tx, ctx.producerId, body.lotId, body);
        await requirePlan(tx, ctx.producerId, body.planId, 'blend', body.lotId);
        return read;
      },
      plan: (read) => this.plan(body, read),
    });
  }

  private plan(body: NewBlend, read: BlendRead): Plan<BlendAnswer> {
    const { lot } = read;
    const { head, personalText } = eventParts(body, this.clock.now());
    const mix = mixBlend(body, read, `operation/${head.id}`);
    const { mixed, inProcess, warnings } = mix;
    const compositionId = uuidv7();
    const place = mix.draws[0].stock.account;
    const { premisesId } = place;
    const subject = { category: lot.category, lotId: lot.id, compositionId };
    const parts = blendedParts(mix);
    const blend = {
      ...head,
      kind: 'blend',
      timing: 'change' as const,
      premisesId,
      lotId: lot.id,
      compositionId,
      document: {
        vesselId: body.vesselId,
        parts: parts.map((part) => ({ ...part })),
        wash: body.wash === undefined ? null : { ...body.wash },
        volumeChangeL: mixed.volumeChange.toFixed(),
        inProcess,
        warnings,
        planId: body.planId ?? null,
      },
    };
    const into = liquidAccount(place, compositionId, body.vesselId);
    const draft = new OperationDraft(blend);
    for (const draw of mix.draws) {
      join(draft, { ...draw, account: draw.stock.account }, { account: into, subject, inProcess });
    }
    const { wash, water } = mix;
    const nominal = (kind: 'production-in-process' | 'liquid-added' | 'mixing-volume-change') =>
      nominalAccount(place, kind, lot.category);
    if (wash !== undefined) {
      draft.move(nominal('production-in-process'), into, wash.amount, subject, wash.components);
    }
    if (water !== undefined) {
      draft.move(nominal('liquid-added'), into, water.amount, subject, water.components);
    }
    draft.move(nominal('mixing-volume-change'), into, amount(mixed.volumeChange), subject, mixed.changeComponents);
    const standing = standingOf(mix);
    const findingId = standing === undefined ? undefined : uuidv7();
    return {
      batch: {
        action: 'blends.blend',
        ...booksOf(draft),
        rows: {
          composition: [
            compositionRow({
              id: compositionId,
              lotId: lot.id,
              premisesId,
              kind: 'blend',
              operationId: head.id,
              openedAt: head.occurredAt,
            }),
          ],
          finding: this.findings(mix, standing, {
            id: findingId ?? '',
            lotId: lot.id,
            compositionId,
            operationId: head.id,
            sampledAt: head.occurredAt,
          }),
        },
        personalText,
      },
      reads: readsOf(...mix.draws.map(({ stock }) => stock)),
      answer: new Answer(201, {
        ...eventAnswer(blend, mixed.amount, warnings),
        inProcess,
        ...(findingId === undefined ? {} : { findingId }),
        strength: { value: bookStrengthPercent(mixed.amount) ?? 0, unit: '%' },
        expandedUncertainty: mixed.finding.strengthPercent.expanded,
        volumeChange: { value: mixed.volumeChange.toNumber(), unit: 'L' },
        category: lot.category,
        parts,
      }),
    };
  }

  private findings(
    { draws, mixed, warnings }: BlendMix,
    standing: Standing | undefined,
    facts: { id: string; lotId: string; compositionId: string; operationId: string; sampledAt: Date },
  ): RowOf<'finding'>[] {
    if (standing === undefined) {
      return [];
    }
    const from = draws.map(({ target }) => findingNow(target)?.id ?? null);
    return [findingRow({ ...facts, standing, inputs: { from }, warnings }, mixed.finding)];
  }
}
