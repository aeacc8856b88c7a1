import { Injectable } from '@nestjs/common';
import type { Page, PageQuery } from '../../platform/pagination.js';
import { idCursor, pageOf } from '../../platform/pagination.js';
import { ProblemException } from '../../platform/problems/problem.exception.js';
import { Answer } from '../producer-database/batch.js';
import type { RequestContext } from '../producer-database/context.js';
import { ProducerDatabase } from '../producer-database/producer-database.js';
import { etagOf, notFound, SettingsStore } from '../settings/settings-store.js';
import type { ForgottenPerson, NewPerson, PersonRow, Person } from './people.dto.js';
import { toPerson } from './people.dto.js';

/** People who read instruments and carry out work; their names stand apart so that one can be forgotten. */
@Injectable()
export class PeopleService {
  constructor(
    private readonly store: SettingsStore,
    private readonly database: ProducerDatabase,
  ) {}

  async list(ctx: RequestContext, query: PageQuery): Promise<Page<Person>> {
    const after = idCursor('person', query.cursor);
    const rows = await this.rows(ctx, after, query.limit + 1);
    return pageOf('person', rows, query.limit, (row) => [row.id], toPerson);
  }

  async get(ctx: RequestContext, id: string): Promise<Person> {
    const [row] = await this.rows(ctx, null, 1, id);
    return row === undefined ? notFound() : toPerson(row);
  }

  create(ctx: RequestContext, body: NewPerson): Promise<Answer<Person>> {
    const row = { id: this.store.newId(), nameTextId: this.store.newId(), createdAt: this.store.now() };
    const { id, nameTextId } = row;
    const wire = toPerson({ ...row, name: body.name, version: 1, retiredAt: null, forgottenAt: null });
    return this.store.create(ctx, {
      action: 'people.create',
      records: [{ table: 'person', data: row }],
      facts: { id, nameTextId, version: 1, createdAt: wire.createdAt },
      personalText: [{ id: nameTextId, text: body.name }],
      body: wire,
      headers: { etag: etagOf(1), location: `/v1/people/${id}` },
    });
  }

  /** Forgets a name; what the person did stays, under the id. @throws ProblemException `conflict` when it is forgotten already */
  async forget(ctx: RequestContext, id: string): Promise<Answer<ForgottenPerson>> {
    const person = await this.get(ctx, id);
    if (person.forgottenAt !== undefined) {
      throw new ProblemException('conflict', 'The name was forgotten already.', {
        errors: [{ pointer: '', rule: 'forgotten', detail: `It was forgotten at ${person.forgottenAt}.` }],
      });
    }
    return this.database.writeSettings(ctx, {
      batch: { action: 'people.forget', facts: { id } },
      statements: (client) => [client.$queryRaw`SELECT forget_person(${ctx.producerId}::uuid, ${id}::uuid)::text`],
      answer: new Answer(201, { id, forgottenAt: this.store.now().toISOString() }),
    });
  }

  private rows(
    ctx: RequestContext,
    after: string | null,
    take: number,
    id: string | null = null,
  ): Promise<PersonRow[]> {
    return this.database.read(
      ctx,
      (tx) => tx.$queryRaw<PersonRow[]>`
        SELECT p.id, t.text AS name, p.version, p.created_at AS "createdAt", p.retired_at AS "retiredAt",
               t.forgotten_at AS "forgottenAt"
          FROM person p JOIN personal_text t ON t.producer_id = p.producer_id AND t.id = p.name_text_id
         WHERE p.producer_id = ${ctx.producerId}::uuid
           AND (${after}::uuid IS NULL OR p.id > ${after}::uuid) AND (${id}::uuid IS NULL OR p.id = ${id}::uuid)
         ORDER BY p.id LIMIT ${take}`,
    );
  }
}
