import { Body, Controller, Post } from '@nestjs/common';
import { Access } from '../../platform/access.js';
import { Documented } from '../../platform/openapi/documented.js';
import { Current } from '../../tenancy/access/current.js';
import { Answer } from '../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import { NewUndo, Undone } from './undo.dto.js';
import { UndoService } from './undo.service.js';

@Controller('v1/undo')
export class UndoController {
  constructor(private readonly undos: UndoService) {}

  @Post()
  @Access('production:write')
  @Documented({
    tag: 'Corrections',
    id: 'undoLastEntry',
    summary: 'Take back the last entry',
    description:
      'The last operation, reading, process step or period that the key entered within 24 hours, or the last one that names a person. An operation is reversed with all that was posted with it; where it corrected another, that one counts again. A reading is struck, a step and an empty period are withdrawn. All of it stays on record. Where something rests on the entry it is refused, and says what; take that back first. Called again, it takes back the entry before.',
    created: Undone,
    problems: [
      'not-found',
      'conflict',
      'in-use',
      'reading-in-use',
      'insufficient-stock',
      'returned-since',
      'container-elsewhere',
      'container-holds-less',
      'vessel-in-use',
      'later-posting-in-the-way',
      'assertion-in-the-way',
      'period-closed',
    ],
  })
  undo(@Current() ctx: RequestContext, @Body() body: NewUndo): Promise<Answer<Undone>> {
    return this.undos.undo(ctx, body);
  }
}
