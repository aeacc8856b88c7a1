import { createHash } from 'node:crypto';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { OpenAPIObject } from '@nestjs/swagger';
import { SwaggerModule } from '@nestjs/swagger';
import { OpenApiDocument } from '../openapi/document.js';

const PATH = '/docs';

const STYLE_BLOCK = /<style>([\s\S]*?)<\/style>/g;

/**
 * The content security policy of the page: scripts, style sheets and requests of this host only, no script inside the page.
 * Style attributes are let through, since the page sets some; the images of the style sheet stand in it as data.
 */
function policyOf(page: string): string {
  const hashes = [...page.matchAll(STYLE_BLOCK)].map(
    ([, style]) => `'sha256-${createHash('sha256').update(style).digest('base64')}'`,
  );
  return [
    "default-src 'none'",
    "script-src 'self'",
    `style-src-elem 'self' ${hashes.join(' ')}`,
    "style-src-attr 'unsafe-inline'",
    "img-src 'self' data:",
    "connect-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; ');
}

const isPage = (url: string): boolean => /^\/docs(?:\/(?:index\.html)?)?(?:\?|$)/.test(url);

/** Serves the API reference under `/docs`, from the files of the library on this machine; to be called before the application is set up. */
export function registerReferencePage(app: NestFastifyApplication): void {
  const fastify = app.getHttpAdapter().getInstance();
  fastify.addHook('onSend', (request, reply, payload, done) => {
    if (isPage(request.url) && typeof payload === 'string' && reply.statusCode === 200) {
      void reply.header('content-security-policy', policyOf(payload));
    }
    done(null, payload);
  });
  // The document is built when the page asks for it; until then its place is held by an empty one.
  const empty: OpenAPIObject = { openapi: '3.1.0', info: { title: 'Gaugebook', version: '' }, paths: {} };
  SwaggerModule.setup(PATH, app, empty, {
    raw: false,
    customSiteTitle: 'Gaugebook: API reference',
    patchDocumentOnRequest: () => app.get(OpenApiDocument).get(),
    swaggerOptions: { validatorUrl: null, docExpansion: 'none', filter: true },
  });
}
