import { SteppableClock } from '../../src/platform/clock.js';
import { definition as reportPdf } from '../../src/excise/reporting/period/report-pdf.js';
import { definition as consolidatedPdf } from '../../src/excise/reporting/consolidated/consolidated-pdf.js';
import { definition as lotRecordPdf } from '../../src/excise/reporting/lot-record/lot-record-pdf.js';
import type { ConsolidatedReport } from '../../src/excise/reporting/consolidated/consolidated.dto.js';
import type { PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import type { LotRecord } from '../../src/excise/reporting/lot-record/lot-record.dto.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import type { PdfDefinition } from '../../src/excise/reporting/render/pdf-maker.js';
import type { PageNode } from '../support/page-text.js';
import { rowsOn, textsOn } from '../support/page-text.js';
import { TestService } from '../support/service.js';
import { playedMonths } from './faces-world.js';

const HASH = 'a'.repeat(64);
const at = new Date('2026-05-02T10:00:00Z');

let service: TestService;
let key: string;
let periodIds: readonly string[];
beforeAll(async () => {
  const clock = new SteppableClock(new Date('2026-01-01T00:00:00Z'));
  service = await TestService.start({ clock });
  const played = await playedMonths(service, clock, new Date('2026-05-20T12:00:00Z'));
  key = played.key;
  periodIds = played.world.site.periodIds;
}, 120_000);
afterAll(() => service.stop());

const json = async <T>(path: string): Promise<T> => (await service.expect(200, 'get', path, { key })).body as T;
const report = (id: string) => json<PeriodReport>(`/v1/periods/${id}/report`);
const evidenceOf = (id: string) => json<PeriodEvidence>(`/v1/periods/${id}/evidence`);

async function reportPages(id: string): Promise<PdfDefinition> {
  return reportPdf({ report: await report(id), evidence: await evidenceOf(id), hash: HASH, at });
}

/** Texts of all pages, head and foot among them. */
function textsOf({ content, header, footer }: PdfDefinition): string[] {
  const dynamic = [header, footer].flatMap((each) =>
    textsOn((each as (page: number, pages: number) => PageNode)(2, 3)),
  );
  return [...textsOn(content), ...dynamic];
}

const UUID_PREFIX = /\b[0-9a-f]{8}-?[0-9a-f]{4}\b/i;
/** A word in the manner of a property: small letters, then a capital. pH is a word of chemistry. */
const PROPERTY = /\b(?!pH\b)[a-z]+[A-Z][A-Za-z]*\b/;
const PLACEHOLDERS = /\b(null|undefined|NaN)\b|\[object|0001-01-01/;

test('no page has an id, the name of a property or a placeholder', async () => {
  const lots = await json<{ items: { id: string }[] }>('/v1/lots?limit=50');
  const documents: [string, PdfDefinition][] = [];
  for (const id of periodIds) documents.push([`period ${id}`, await reportPages(id)]);
  for (const { id } of lots.items) {
    const record = await json<LotRecord>(`/v1/lots/${id}/record`);
    documents.push([`lot ${record.lot.code}`, lotRecordPdf({ record, hash: HASH, at })]);
  }
  const consolidated = await json<ConsolidatedReport>(
    '/v1/consolidated-reports?startsOn=2026-03-01&endsBefore=2026-05-01',
  );
  documents.push(['consolidated', consolidatedPdf({ report: consolidated, hash: HASH, at })]);
  expect(documents.length).toBeGreaterThan(5);
  for (const [name, pages] of documents) {
    const texts = textsOf(pages);
    expect(texts.length).toBeGreaterThan(30);
    const hashes = /\b[0-9a-f]{12}…|\b[0-9a-f]{16,64}\b/g;
    const found = texts
      .map((text) => text.replace(hashes, ''))
      .filter((text) => UUID_PREFIX.test(text) || PROPERTY.test(text) || PLACEHOLDERS.test(text));
    expect([name, found]).toEqual([name, []]);
  }
}, 60_000);

test('the ids of the producer stand on no page', async () => {
  const ids = new Set<string>();
  const collect = (node: unknown): void => {
    if (typeof node === 'string') {
      for (const [id] of node.matchAll(/[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g)) ids.add(id);
    } else if (typeof node === 'object' && node !== null) {
      Object.values(node).forEach(collect);
    }
  };
  collect(await report(periodIds[0]));
  collect(await evidenceOf(periodIds[0]));
  expect(ids.size).toBeGreaterThan(50);
  const texts = textsOf(await reportPages(periodIds[0])).join('\n');
  // Ids that sort by time share their beginning; their ends tell them apart.
  expect([...ids].filter((id) => texts.includes(id.slice(0, 8)) || texts.includes(id.slice(-12)))).toEqual([]);
});

test('a release has product, count, litres, strength, alcohol for duty and recipient', async () => {
  const { duty } = await report(periodIds[0]);
  const evidence = await evidenceOf(periodIds[0]);
  const pages = await reportPages(periodIds[0]);
  const tables = (pages.content as PageNode[]).filter((each) =>
    textsOn(each)[0]?.startsWith('Released: litres and litres of pure alcohol'),
  );
  const rows = rowsOn(tables[0]).map((row) => textsOn(row).join(' | '));
  expect(duty.releases.length).toBeGreaterThan(2);
  for (const { operationId, dutyDate, count } of duty.releases) {
    const operation = evidence.operations.find(({ id }) => id === operationId);
    expect(operation).toMatchObject({ kind: 'movement', movementKind: 'release', count });
    expect(operation?.product).toMatch(/, (bottle|can|keg) of \d/);
    const row = rows.filter((each) => each.startsWith(`${dutyDate} | ${String(operation?.product)} | ${count} | `));
    expect(row).toHaveLength(1);
    expect(row[0]).toContain(`| ${String(operation?.recipient ?? operation?.sequence)}`);
  }
});

test('an operation is named with its goods, count and recipient in the annex', async () => {
  const pages = await reportPages(periodIds[0]);
  const annex = (pages.content as PageNode[]).find((each) => textsOn(each)[0] === 'B  Operations');
  const rows = rowsOn(annex).map((row) => textsOn(row));
  const evidence = await evidenceOf(periodIds[0]);
  const sample = evidence.operations.find(
    ({ movementKind, count }) => movementKind === 'sample' && count !== undefined,
  );
  const row = rows.find(([number]) => number === String(sample?.sequence));
  expect(row?.slice(2, 5)).toEqual(['sample', sample?.product, String(sample?.count)]);
  const names = new Set(rows.map((each) => each[2]));
  expect([...names]).toEqual(expect.arrayContaining(['release', 'sample', 'packaging', 'strength finding']));
  expect(names.has('movement')).toBe(false);
});

test('where no stock-take was made the page says that, and not that none differed', async () => {
  const { productsCounted } = await report(periodIds[0]);
  expect(productsCounted).toBe(0);
  const first = textsOf(await reportPages(periodIds[0]));
  expect(first).toContain('No stock-take was made in the period.');
  const counted = periodIds.slice(1);
  for (const id of counted) {
    const each = await report(id);
    const said = textsOf(await reportPages(id)).includes('No stock-take was made in the period.');
    expect(said).toBe(each.productsCounted === 0 && each.stockDifferences.length === 0);
  }
});

test('the hash is said to be of the JSON, and one factor stands beside U', async () => {
  const texts = textsOf(await reportPages(periodIds[0]));
  const [label, hash] = texts.slice(texts.indexOf('SHA-256 of the JSON report'));
  expect([label, hash]).toEqual(['SHA-256 of the JSON report', HASH]);
  expect(texts.join('\n')).toContain('U: expanded uncertainty of what was measured, k = 1.96, about 95 %.');
  expect(texts.filter((text) => /95 %\)/.test(text))).toEqual([]);
});
