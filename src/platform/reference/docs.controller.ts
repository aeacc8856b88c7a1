import { Controller, Get, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Access } from '../access.js';
import { sendHtml } from '../http/html.js';
import { docsPage } from './docs-page.js';
import { OpenApiDocument } from '../openapi/document.js';

@ApiExcludeController()
@Access('public')
@Controller()
export class DocsController {
  #page: string | undefined;

  constructor(private readonly document: OpenApiDocument) {}

  @Get('openapi.json')
  async getOpenApiDocument(@Res() reply: FastifyReply): Promise<void> {
    await reply.send(await this.document.get());
  }

  @Get('docs')
  async getDocs(@Res() reply: FastifyReply): Promise<void> {
    this.#page ??= docsPage(await this.document.get());
    sendHtml(reply, 'Gaugebook: reference', this.#page);
  }
}
