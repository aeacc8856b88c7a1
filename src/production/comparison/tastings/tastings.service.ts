import { randomInt } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import { drawServings } from '../../../metrology/blind-order.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { requirePerson } from '../../../tenancy/people/person.reader.js';
import type { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsResource } from '../../../tenancy/settings/resource.service.js';
import { etagOf, requireMatch, SettingsStore } from '../../../tenancy/settings/settings-store.js';
import { toJsonList } from '../../../tenancy/settings/stored-json.js';
import { malformed, referenced } from '../../shared/references.js';
import type {
  NewTasting,
  NewTastingAnswer,
  PouringList,
  Tasting,
  TastingAnswer,
  TastingChange,
  TastingColumns,
  TastingWithResult,
} from './tastings.dto.js';
import type { TastingAnswerRow } from './tastings.mapper.js';
import { servingsOf, toPouringList, toResult, toTasting } from './tastings.mapper.js';

const DEFAULT_SIGNIFICANCE = 0.05;

/** Blind tastings of two drinks: codes and order drawn, answers taken, the result shown once it is closed. */
@Injectable()
export class TastingsService extends SettingsResource<TastingColumns, Tasting> {
  protected readonly table = 'tasting';
  protected readonly path = 'tastings';
  protected readonly toAnswer = toTasting;

  constructor(
    store: SettingsStore,
    private readonly database: ProducerDatabase,
  ) {
    super(store);
  }

  override async get(ctx: RequestContext, id: string): Promise<TastingWithResult> {
    const row = await this.row(ctx, id);
    const answers = await this.answersOf(ctx, id);
    const result = row.retiredAt === null ? {} : { result: toResult(row, answers) };
    return { ...toTasting(row), answers: answers.length, ...result };
  }

  async pouringList(ctx: RequestContext, id: string): Promise<PouringList> {
    return toPouringList(await this.row(ctx, id));
  }

  async create(ctx: RequestContext, body: NewTasting): Promise<Answer<Tasting>> {
    requireConsistent(body);
    await this.database.read(ctx, async (tx) => {
      for (const [index, { lotId }] of body.drinks.entries()) {
        if (lotId !== undefined) await referenced(tx, ctx.producerId, 'lot', lotId, `/drinks/${index}/lotId`);
      }
    });
    const data = {
      id: this.store.newId(),
      name: body.name,
      method: body.method,
      sides: body.sides ?? (body.method === 'paired' ? 2 : 1),
      question: body.question ?? null,
      significance: new Prisma.Decimal(body.significance ?? DEFAULT_SIGNIFICANCE),
      drinks: toJsonList(body.drinks),
      servings: toJsonList(drawServings(body.method, body.servings, (below) => randomInt(below))),
      createdAt: this.store.now(),
    };
    const answer = toTasting({ ...data, version: 1, retiredAt: null });
    return this.store.create(ctx, {
      action: 'tastings.create',
      records: [{ table: 'tasting', data }],
      facts: { ...answer, servings: data.servings },
      body: answer,
      headers: { etag: etagOf(1), location: `/v1/tastings/${data.id}` },
    });
  }

  async change(
    ctx: RequestContext,
    id: string,
    ifMatch: string | undefined,
    { closed }: TastingChange,
  ): Promise<Answer<Tasting>> {
    const row = await this.row(ctx, id);
    requireMatch(ifMatch, row.version);
    if (row.retiredAt !== null && !closed) {
      const detail = 'The tasting is closed and its result was shown: begin another one.';
      throw new ProblemException('conflict', detail, { errors: [{ pointer: '/closed', rule: 'closed', detail }] });
    }
    return row.retiredAt !== null || !closed
      ? this.alter(ctx, id, ifMatch, {})
      : this.alter(ctx, id, ifMatch, { retired: true });
  }

  async answer(ctx: RequestContext, tastingId: string, body: NewTastingAnswer): Promise<Answer<TastingAnswer>> {
    const { serving, chosen, personId, note } = body;
    const row = await this.row(ctx, tastingId);
    if (row.retiredAt !== null) {
      throw new ProblemException('conflict', 'The tasting is closed: no more answers are taken.');
    }
    const served = servingsOf(row).find(({ number }) => number === serving);
    if (served === undefined) {
      throw malformed({
        pointer: '/serving',
        rule: 'not-served',
        detail: 'The tasting has no serving of this number.',
      });
    }
    const codes = served.samples.map(({ code }) => code);
    if (!codes.includes(chosen)) {
      const detail = `Serving ${serving} has the codes ${codes.join(', ')}.`;
      throw malformed({ pointer: '/chosen', rule: 'not-served', detail, allowed: codes });
    }
    await this.database.read(ctx, (tx) => requirePerson(tx, ctx.producerId, personId, '/personId'));
    const noteText = note === undefined ? undefined : { id: this.store.newId(), text: note };
    const createdAt = this.store.now();
    const data = {
      id: this.store.newId(),
      tastingId,
      serving,
      chosen,
      personId: personId ?? null,
      noteTextId: noteText?.id ?? null,
      createdAt,
    };
    const { id } = data;
    try {
      return await this.store.create(ctx, {
        action: 'tastings.answer',
        records: [{ table: 'tastingAnswer', data }],
        facts: { ...data, createdAt: createdAt.toISOString() },
        personalText: noteText === undefined ? [] : [noteText],
        body: { ...body, id, tastingId, createdAt: createdAt.toISOString() },
        headers: { location: `/v1/tastings/${tastingId}` },
      });
    } catch (error) {
      if (error instanceof ProblemException && error.code === 'already-exists') {
        const detail = `Serving ${serving} was answered already.`;
        throw new ProblemException('already-exists', detail, {
          errors: [{ pointer: '/serving', rule: 'unique', detail }],
        });
      }
      throw error;
    }
  }

  private answersOf(ctx: RequestContext, tastingId: string): Promise<TastingAnswerRow[]> {
    return this.database.read(
      ctx,
      (tx) => tx.$queryRaw<TastingAnswerRow[]>`
        SELECT a.id, a.serving, a.chosen, a.person_id AS "personId", t.text AS note
          FROM tasting_answer a LEFT JOIN personal_text t ON t.producer_id = a.producer_id AND t.id = a.note_text_id
         WHERE a.producer_id = ${ctx.producerId}::uuid AND a.tasting_id = ${tastingId}::uuid
         ORDER BY a.serving`,
    );
  }
}

/** @throws ProblemException `validation-failed` for a property that the method needs, or does not take */
function requireConsistent({ method, question, sides }: NewTasting): void {
  if ((method === 'paired') !== (question !== undefined)) {
    const detail =
      method === 'paired'
        ? 'A paired comparison needs its question: which of the two has more of what?'
        : 'A triangle test has one question only: which is the odd one? Leave `question` out.';
    throw malformed({ pointer: '/question', rule: 'question', detail });
  }
  if (method === 'triangle' && sides === 2) {
    throw malformed({ pointer: '/sides', rule: 'one-sided', detail: 'A triangle test is one-sided.' });
  }
}
