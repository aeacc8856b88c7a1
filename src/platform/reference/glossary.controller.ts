import { Controller, Get, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { marked } from 'marked';
import { readFile } from 'node:fs/promises';
import { Access } from '../access.js';
import { sendHtml } from '../http/html.js';

const GLOSSARY = new URL('../../../docs/glossary.md', import.meta.url);

/** Serves the words of the API with an example each, as `docs/glossary.md` has them. */
@ApiExcludeController()
@Access('public')
@Controller('glossary')
export class GlossaryController {
  @Get()
  async getGlossary(@Res() reply: FastifyReply): Promise<void> {
    sendHtml(reply, 'Glossary', await marked(await readFile(GLOSSARY, 'utf8')));
  }
}
