import { Controller, Get, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Access } from '../access.js';
import { OpenApiDocument } from '../openapi/document.js';

@ApiExcludeController()
@Access('public')
@Controller()
export class DocsController {
  constructor(private readonly document: OpenApiDocument) {}

  @Get('openapi.json')
  async getOpenApiDocument(@Res() reply: FastifyReply): Promise<void> {
    await reply.send(await this.document.get());
  }
}
