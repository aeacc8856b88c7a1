import { Injectable } from '@nestjs/common';
import { pureAlcohol } from '../../../ledger/books/amount.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Standing } from '../../measuring/finding-records/finding-kinds.js';
import { requirePlan } from '../../shared/plan-reference.js';
import { findingNow } from '../../measuring/position/vessel-draw.js';
import { mixtureAnswer } from '../composition/mixture-answer.js';
import { NewComposition } from '../composition/new-composition.js';
import type { BlendMix, BlendRead } from './blend-mix.js';
import { mixBlend, requireBlendable } from './blend-mix.js';
import { BlendReader } from './blend.reader.js';
import { blendedParts } from './blended-parts.js';
import type { BlendAnswer, NewBlend } from './blends.dto.js';
import { join } from '../composition/join.js';

/** Of record if every part has finished; provisional while it is known what has fermented so far; none otherwise. */
function standingOf({ inProcess, draws, mixed }: BlendMix): Standing | undefined {
  if (!inProcess) {
    return 'of-record';
  }
  const known = draws.every(({ target }) => findingNow(target) !== undefined);
  return known && pureAlcohol(mixed.amount).greaterThan(0) ? 'provisional' : undefined;
}

/** Liquids of several vessels become one composition of one lot. */
@Injectable()
export class BlendsService {
  constructor(
    private readonly events: EventWriter,
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
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private plan(body: NewBlend, read: BlendRead, head: EventHead): Plan<BlendAnswer> {
    const { lot } = read;
    const mix = mixBlend(body, read, `operation/${head.id}`);
    const { mixed, inProcess, warnings } = mix;
    const { account: place } = mix.draws[0].stock;
    const result = new NewComposition({ head, kind: 'blend', lot, place, vesselId: body.vesselId });
    const parts = blendedParts(mix);
    const operation = result.operation({
      kind: 'blend',
      timing: 'change',
      document: {
        vesselId: body.vesselId,
        parts: parts.map((part) => ({ ...part })),
        wash: body.wash === undefined ? null : { ...body.wash },
        volumeChangeL: mixed.volumeChange.toFixed(),
        inProcess,
        warnings,
        planId: body.planId ?? null,
      },
    });
    const draft = new OperationDraft(operation);
    for (const draw of mix.draws) {
      join(
        draft,
        { ...draw, account: draw.stock.account },
        { account: result.account, subject: result.subject, inProcess },
      );
    }
    if (mix.wash !== undefined) {
      result.receive(draft, 'production-in-process', mix.wash.amount, mix.wash.components);
    }
    if (mix.water !== undefined) {
      result.receive(draft, 'liquid-added', mix.water.amount, mix.water.components);
    }
    result.receiveVolumeChange(draft, mixed);
    const standing = standingOf(mix);
    if (standing !== undefined) {
      const from = mix.draws.map(({ target }) => findingNow(target)?.id ?? null);
      result.find(mixed.finding, { standing, inputs: { from }, warnings });
    }
    const { findingId } = result;
    return {
      batch: { action: 'blends.blend', ...booksOf(draft), rows: result.rows },
      reads: readsOf(...mix.draws.map(({ stock }) => stock)),
      answer: new Answer(201, {
        ...mixtureAnswer(operation, mixed, warnings),
        inProcess,
        ...(findingId === undefined ? {} : { findingId }),
        category: lot.category,
        parts,
      }),
    };
  }
}
