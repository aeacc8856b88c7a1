import { Controller, Get, Query, StreamableFile } from '@nestjs/common';
import { ApiProduces } from '@nestjs/swagger';
import { Readable } from 'node:stream';
import { Access } from '../../platform/access.js';
import { Documented } from '../../platform/openapi/documented.js';
import { PageQuery } from '../../platform/pagination.js';
import type { Page } from '../../platform/pagination.js';
import { Current } from '../access/current.js';
import type { RequestContext } from '../producer-database/context.js';
import { TrailCheck, TrailEntry, TrailExportQuery, TrailHead, TrailPage } from './trail.dto.js';
import { TrailReader } from './trail.reader.js';

@Controller('v1/audit-trail')
export class TrailController {
  constructor(private readonly trail: TrailReader) {}

  @Get()
  @Access('read')
  @Documented({
    tag: 'Audit trail',
    id: 'listTrailEntries',
    summary: 'The audit trail, entry by entry',
    description: 'One entry for each write, chained by hashes. `sha256sum` and `jq` suffice to verify it.',
    ok: TrailPage,
  })
  list(@Current() ctx: RequestContext, @Query() query: PageQuery): Promise<Page<TrailEntry>> {
    return this.trail.list(ctx, query);
  }

  @Get('export')
  @Access('read')
  @ApiProduces('application/x-ndjson')
  @Documented({
    tag: 'Audit trail',
    id: 'exportTrail',
    summary: 'Export the audit trail',
    description:
      'One entry a line, as JSON with exactly the fields that are hashed and the hashes; `docs/verify-the-trail.md` says how to verify it with `sha256sum` and `jq` alone.',
    ok: TrailEntry,
  })
  export(@Current() ctx: RequestContext, @Query() { after }: TrailExportQuery): StreamableFile {
    return new StreamableFile(Readable.from(this.trail.lines(ctx, after ?? 0)), {
      type: 'application/x-ndjson',
      disposition: 'attachment; filename="audit-trail.ndjson"',
    });
  }

  @Get('head')
  @Access('read')
  @Documented({
    tag: 'Audit trail',
    id: 'readTrailHead',
    summary: 'The last entry of the audit trail',
    description:
      'Keep it outside the service. If a later export has no entry with this hash, the end of the trail was cut or written anew. A closed report prints the same for the moment before its closing.',
    ok: TrailHead,
  })
  head(@Current() ctx: RequestContext): Promise<TrailHead> {
    return this.trail.head(ctx);
  }

  @Get('check')
  @Access('read')
  @Documented({
    tag: 'Audit trail',
    id: 'checkTrail',
    summary: 'Check trail and books',
    description:
      'Walks the chain, compares every posting, reading, finding and report with the entry it was written from, and adds up the books. Names what does not fit.',
    ok: TrailCheck,
  })
  check(@Current() ctx: RequestContext): Promise<TrailCheck> {
    return this.trail.check(ctx);
  }
}
