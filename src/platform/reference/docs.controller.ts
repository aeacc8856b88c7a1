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
  getOpenApiDocument(@Res() reply: FastifyReply): void {
    void reply.send(this.document.get());
  }

  @Get('docs')
  getDocs(@Res() reply: FastifyReply): void {
    this.#page ??= docsPage(this.document.get());
    sendHtml(reply, 'Gaugebook: reference', this.#page);
  }
}
