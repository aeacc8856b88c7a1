import { createHash } from 'node:crypto';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { SCOPES } from '../src/platform/access.js';
import { TAGS } from '../src/platform/openapi/tags.js';
import type { DeclaredRoute } from '../src/platform/openapi/routes.js';
import type { ProblemCode } from '../src/platform/problems/problem-codes.js';
import { PROBLEM_CODES } from '../src/platform/problems/problem-codes.js';
import { clientOf } from './support/http.js';
import { TestService } from './support/service.js';

const FILE = new URL('../openapi/openapi.json', import.meta.url);

interface Answer {
  $ref?: string;
  description?: string;
  content?: Record<string, unknown>;
  headers?: object;
}
interface Operation {
  operationId: string;
  summary?: string;
  description?: string;
  tags?: string[];
  security?: Record<string, string[]>[];
  requestBody?: unknown;
  responses: Record<string, Answer>;
  'x-access'?: string;
  'x-problem-codes'?: ProblemCode[];
}
interface Document {
  openapi: string;
  paths: Record<string, Record<string, Operation>>;
  tags: { name: string }[];
  components: { responses: Record<string, Answer> };
}

let service: TestService;
let app: NestFastifyApplication;
let document: Document;
let operations: { place: string; operation: Operation }[];
let routes: DeclaredRoute[];

beforeAll(async () => {
  service = await TestService.start();
  app = service.app;
  document = (await app.get(service.program.OpenApiDocument).get()) as unknown as Document;
  operations = Object.entries(document.paths).flatMap(([path, item]) =>
    Object.entries(item).map(([method, operation]) => ({ place: `${method.toUpperCase()} ${path}`, operation })),
  );
  routes = service.program.declaredRoutes(app);
});
afterAll(async () => {
  await service.stop();
});

test('the kept file is the one that the application gives', () => {
  const text = `${JSON.stringify(document, null, 2)}\n`;
  if (process.env['UPDATE_OPENAPI'] === '1') {
    writeFileSync(FILE, text);
  }
  const kept = existsSync(FILE) ? readFileSync(FILE, 'utf8') : '';
  // Compared as one value: a difference of thousands of lines helps nobody; UPDATE_OPENAPI=1 and `git diff` show it.
  expect({ isSame: kept === text }).toEqual({ isSame: true });
});

test('the served document is the same one, in OpenAPI 3.1', async () => {
  const served = await clientOf(app).get('/openapi.json');
  expect(served.body).toEqual(JSON.parse(JSON.stringify(document)));
  expect(document.openapi).toBe('3.1.0');
});

test('every operation has an id of its own, a summary, a description, a known tag, and security that fits its access', () => {
  const ids = operations.map(({ operation }) => operation.operationId);
  expect(ids.filter((id, index) => ids.indexOf(id) !== index)).toEqual([]);
  for (const { place, operation } of operations) {
    expect([place, operation.operationId]).toEqual([place, expect.stringMatching(/^[a-z][A-Za-z0-9]+$/)]);
    expect([place, operation.summary]).toEqual([place, expect.stringMatching(/^[A-Z].{3,90}[^.]$/)]);
    expect([place, operation.description]).toEqual([place, expect.stringMatching(/^[A-Z].{20,}/s)]);
    expect([place, operation.tags?.length, Object.keys(TAGS)]).toEqual([
      place,
      1,
      expect.arrayContaining(operation.tags ?? []),
    ]);
    const access = operation['x-access'];
    const scheme = access === 'public' ? [] : [access === 'operator' ? { operatorKey: [] } : { producerKey: [] }];
    expect([place, operation.security]).toEqual([place, scheme]);
    if (access !== undefined && (SCOPES as readonly string[]).includes(access)) {
      expect([place, operation.description]).toEqual([place, expect.stringContaining(`\`${access}\``)]);
    }
  }
});

test('every operation declares its answer and its refusals as problem documents', () => {
  for (const { place, operation } of operations) {
    const statuses = Object.keys(operation.responses);
    // 202 beside 200: it is not ready yet.
    const answers = statuses.filter((status) => status.startsWith('2') && status !== '202');
    expect([place, answers.length]).toEqual([place, 1]);
    const wanted = ['400', '429', '500', '503'];
    if (operation['x-access'] !== 'public') wanted.push('401', '403');
    if (operation.requestBody !== undefined) wanted.push('413', '415');
    if (place.includes('{')) wanted.push('404');
    expect([place, statuses]).toEqual([place, expect.arrayContaining(wanted)]);
    for (const [status, stated] of Object.entries(operation.responses)) {
      const response = stated.$ref === undefined ? stated : document.components.responses[stated.$ref.split('/')[3]];
      expect([place, status, response.description]).toEqual([place, status, expect.stringMatching(/.{3}/)]);
      expect([place, status, Object.keys(response.headers ?? {})]).toEqual([
        place,
        status,
        expect.arrayContaining(['X-Request-Id']),
      ]);
      if (!status.startsWith('2')) {
        expect([place, status, Object.keys(response.content ?? {})]).toEqual([
          place,
          status,
          ['application/problem+json'],
        ]);
      }
    }
    for (const code of operation['x-problem-codes'] ?? []) {
      expect(statuses).toContain(String(PROBLEM_CODES[code].status));
    }
    expect([place, operation['x-problem-codes']?.length]).not.toEqual([place, 0]);
  }
});

test('every reference leads somewhere in the document', () => {
  const text = JSON.stringify(document);
  for (const [, pointer] of text.matchAll(/"\$ref":"#([^"]+)"/g)) {
    const target = pointer
      .split('/')
      .slice(1)
      .reduce<unknown>((here, name) => (here as Record<string, unknown> | undefined)?.[name], document);
    expect([pointer, target]).toEqual([pointer, expect.anything()]);
  }
});

test('every route of every controller declares who may call it', () => {
  expect(routes.length).toBeGreaterThan(10);
  expect(routes.filter(({ access }) => access === undefined)).toEqual([]);
  const ids = routes.map(({ operationId }) => operationId);
  expect(ids.filter((name, index) => ids.indexOf(name) !== index)).toEqual([]);
});

test('every operation of the document is there, and none is missing from it', async () => {
  const documented = new Set(operations.map(({ operation }) => operation.operationId));
  const left = routes.filter(({ operationId }) => !documented.has(operationId)).map(({ controller }) => controller);
  expect(new Set(left)).toEqual(new Set(['DocsController', 'GlossaryController']));
  for (const { place } of operations) {
    const [method, path] = place.split(' ');
    const concrete = path.replaceAll(/\{[^}]+\}/g, '0190a000-0000-7000-8000-000000000000');
    const answer = await clientOf(app)[method.toLowerCase() as 'get' | 'post' | 'put' | 'patch' | 'delete'](concrete);
    expect([place, answer.status]).not.toEqual([place, 405]);
    expect([place, answer.status < 500 || answer.status === 503]).toEqual([place, true]);
  }
});

/** The addresses that a page loads by itself. */
const loadedBy = (html: string): string[] =>
  [...html.matchAll(/<(?:script|link)\b[^>]*?(?:src|href)=["']([^"']+)/g)].map(([, url]) => url);

test('the reference page loads its parts from this host only, and holds no script', async () => {
  const page = await clientOf(app).get('/docs').set('accept', 'text/html');
  expect(page.status).toBe(200);
  expect(page.headers['content-type']).toMatch(/^text\/html/);
  expect(page.text).not.toMatch(/<script(?![^>]*\bsrc=)|\son[a-z]+=/i);
  const loaded = loadedBy(page.text);
  expect(loaded.length).toBeGreaterThan(3);
  for (const url of loaded) {
    const { origin, pathname } = new URL(url, 'http://here/docs');
    expect([url, origin]).toEqual([url, 'http://here']);
    expect([url, (await clientOf(app).get(pathname)).status]).toEqual([url, 200]);
  }
  const policy = page.headers['content-security-policy'] as string;
  expect(policy).toMatch(/^default-src 'none'; script-src 'self';/);
  expect(policy).not.toMatch(/https?:|\*|unsafe-eval|script-src[^;]*unsafe/);
  // The policy lets the style sheets of the page through by their own hashes, and no others.
  const styles = [...page.text.matchAll(/<style>([\s\S]*?)<\/style>/g)].map(([, text]) => text);
  expect(styles.length).toBeGreaterThan(0);
  for (const text of styles) {
    expect(policy).toContain(`'sha256-${createHash('sha256').update(text).digest('base64')}'`);
  }
});

test('the reference page shows the document of the application, and each operation leads to its problems', async () => {
  const script = (await clientOf(app).get('/docs/swagger-ui-init.js')).text;
  // No checker of another host is asked about the document.
  expect(script).toContain('"validatorUrl": null');
  for (const { operation } of operations) {
    expect(script).toContain(`"operationId": "${operation.operationId}"`);
    for (const code of operation['x-problem-codes'] ?? []) {
      expect(operation.description).toContain(`](/problems/${code})`);
    }
  }
});
