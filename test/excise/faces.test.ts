import { createHash } from 'node:crypto';
import { inflateRawSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { sumOf } from '../../src/metrology/decimals.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { litresOf } from '../../src/ledger/books/litres.dto.js';
import type { Figures, Litres } from '../../src/ledger/books/litres.dto.js';
import type { OperationEvidence, PeriodEvidence } from '../../src/excise/reporting/evidence/evidence.dto.js';
import { fixed, runs, words } from '../../src/excise/reporting/render/figures-text.js';
import { table } from '../../src/excise/reporting/render/page.js';
import { definition as reportPdf, productBars } from '../../src/excise/reporting/period/report-pdf.js';
import type { PeriodReport } from '../../src/excise/reporting/documents/report.dto.js';
import { openStock } from '../support/books.js';
import { Floor } from '../support/floor.js';
import { TestService } from '../support/service.js';
import { playedMonths } from './faces-world.js';

let service: TestService;
let clock: SteppableClock;
let key: string;
let periodIds: readonly string[];
beforeAll(async () => {
  clock = new SteppableClock(new Date('2026-01-01T00:00:00Z'));
  service = await TestService.start({ clock });
  const played = await playedMonths(service, clock, new Date('2026-05-20T12:00:00Z'));
  key = played.key;
  periodIds = played.world.site.periodIds;
}, 120_000);
afterAll(() => service.stop());

const sha256 = (bytes: Buffer): string => createHash('sha256').update(bytes).digest('hex');

/** The bytes as they came. */
async function bytesOf(path: string, withKey = key): Promise<{ body: Buffer; headers: Record<string, string> }> {
  const response = await service
    .call('get', path, { key: withKey })
    .buffer(true)
    .parse((res, done) => {
      const chunks: Buffer[] = [];
      res.on('data', (chunk: Buffer) => chunks.push(chunk));
      res.on('end', () => done(null, Buffer.concat(chunks)));
    });
  expect(response.status).toBe(200);
  return { body: response.body as Buffer, headers: response.headers as Record<string, string> };
}

const json = async <T>(path: string): Promise<T> => (await service.expect(200, 'get', path, { key })).body as T;
const report = (id: string) => `/v1/periods/${id}/report`;

/** Names and texts of a ZIP by its central directory. */
function unzipped(zip: Buffer): Map<string, string> {
  const files = new Map<string, string>();
  for (let at = zip.indexOf('PK\x01\x02', 0, 'latin1'); at >= 0; at = zip.indexOf('PK\x01\x02', at + 4, 'latin1')) {
    const [method, packed] = [zip.readUInt16LE(at + 10), zip.readUInt32LE(at + 20)];
    const [nameLength, offset] = [zip.readUInt16LE(at + 28), zip.readUInt32LE(at + 42)];
    const name = zip.toString('utf8', at + 46, at + 46 + nameLength);
    const start = offset + 30 + zip.readUInt16LE(offset + 26) + zip.readUInt16LE(offset + 28);
    const data = zip.subarray(start, start + packed);
    files.set(name, (method === 8 ? inflateRawSync(data) : data).toString('utf8'));
  }
  return files;
}

const rowsOf = (csv: string | undefined): Record<string, string>[] =>
  parse(csv ?? '', { columns: true }) as Record<string, string>[];

test('the PDF of a closed report: a document of several pages, the same bytes whenever it is asked for', async () => {
  const { body, headers } = await bytesOf(`${report(periodIds[0])}?format=pdf`);
  expect(headers['content-type']).toBe('application/pdf');
  expect(body.subarray(0, 5).toString()).toBe('%PDF-');
  expect(body.toString('latin1').trimEnd().endsWith('%%EOF')).toBe(true);
  const [, pages] = /\/Type \/Pages\s+\/Count (\d+)/.exec(body.toString('latin1')) ?? [];
  expect(Number(pages)).toBeGreaterThan(4);
  const document = await bytesOf(`${report(periodIds[0])}?format=json`);
  expect(headers['report-hash']).toBe(sha256(document.body));
  const accepted = await service.call('get', report(periodIds[0]), { key, headers: { accept: 'application/pdf' } });
  expect(accepted.headers['content-type']).toBe('application/pdf');

  const instruments = await json<{ items: { id: string; name: string }[] }>('/v1/instruments');
  const { id } = instruments.items[0];
  const { etag } = (await service.expect(200, 'get', `/v1/instruments/${id}`, { key })).headers as { etag: string };
  await service.expect(200, 'patch', `/v1/instruments/${id}`, {
    key,
    body: { name: 'Renamed', serialNumber: 'OTHER' },
    headers: { 'if-match': etag },
  });
  const lots = await json<{ items: { id: string }[] }>('/v1/lots');
  await service.expect(201, 'post', `/v1/lots/${lots.items[0].id}/readings`, {
    key,
    body: { kind: 'gravity', gravity: { value: 0.997, scale: 'sg-20-20' } },
  });
  clock.set(new Date(clock.now().getTime() + 3_600_000));
  for (const format of ['pdf', 'zip', 'csv', 'json']) {
    const path = `${report(periodIds[0])}?format=${format}`;
    const [first, second] = [await bytesOf(path), await bytesOf(path)];
    expect(sha256(second.body)).toBe(sha256(first.body));
  }
  expect(sha256((await bytesOf(`${report(periodIds[0])}?format=pdf`)).body)).toBe(sha256(body));
});

test('what the PDF is made of: hash, head, mark of the simulation, every line, numbered references', async () => {
  const document = await json<PeriodReport>(report(periodIds[0]));
  const evidence = await json<PeriodEvidence>(`/v1/periods/${periodIds[0]}/evidence`);
  const hash = 'a'.repeat(64);
  const { content } = reportPdf({ report: document, hash, evidence, at: new Date('2026-04-02T10:00:00Z') });
  const text = JSON.stringify(content).replaceAll('\u200b', '');
  for (const part of [
    hash,
    document.trail.hash,
    'SIMULATION: invented data',
    document.producer.name,
    document.premises.name,
    ...document.statement,
    ...document.duty.releases.map(({ lotMark }) => lotMark),
    ...evidence.instruments.map(({ name }) => name),
    ...evidence.calibrations.map(({ certificate }) => certificate ?? ''),
  ]) {
    expect(text).toContain(part);
  }
  const filled = document.lines.filter(
    ({ litres, litresOfPureAlcohol }) => litres.value !== 0 || litresOfPureAlcohol.value !== 0,
  );
  for (const { line, litresOfPureAlcohol, expandedUncertainty } of filled) {
    expect(text).toContain(`"text":"${words(line)}"`);
    // Two digits of the uncertainty, and the figure to their last place: JCGM 100:2008, 7.2.6.
    const u = litresOf(expandedUncertainty.litresOfPureAlcohol).toNumber();
    if (u !== 0) {
      const places = Math.max(0, 1 - Number(u.toExponential(1).split('e')[1]));
      expect(text).toContain(`"text":"${fixed(litresOf(litresOfPureAlcohol), Math.min(6, places))}"`);
      expect(text).toContain(`"text":"${fixed(u, Math.min(6, places))}"`);
    }
  }
  expect(text.match(/<svg/g)).toHaveLength(2);
});

test('opening, in, out and adjusted make closing, and the weeks make each of them, to the last decimal', async () => {
  for (const id of periodIds.slice(0, 2)) {
    const { opening, closing, turnover } = await json<PeriodReport>(report(id));
    const measures: ((figure: Figures) => Litres)[] = [
      ({ litres }) => litres,
      ({ fermented }) => fermented,
      ({ added }) => added,
    ];
    for (const measure of measures) {
      const of = (figure: Figures) => litresOf(measure(figure));
      const sums = [turnover.in, turnover.out, turnover.adjusted].map(of);
      expect(sumOf([of(opening), ...sums]).toFixed()).toBe(of(closing).toFixed());
      for (const direction of ['in', 'out', 'adjusted'] as const) {
        const weeks = turnover.weeks.map((week) => of(week[direction]));
        expect(sumOf(weeks).toFixed()).toBe(of(turnover[direction]).toFixed());
      }
    }
    expect(turnover.in.expandedUncertainty.litresOfPureAlcohol.value).toBeGreaterThan(0);
    expect(turnover.out.litresOfPureAlcohol.value).toBeLessThan(0);
  }
  const { turnover } = await json<PeriodReport>(report(periodIds[0]));
  expect(turnover.weeks.map(({ startsOn }) => startsOn)).toEqual([
    '2026-03-01',
    '2026-03-02',
    '2026-03-09',
    '2026-03-16',
    '2026-03-23',
    '2026-03-30',
  ]);
});

test('the ZIP has a table a file, with the figures of the document', async () => {
  const { body, headers } = await bytesOf(`${report(periodIds[0])}?format=zip`);
  expect(headers['content-type']).toBe('application/zip');
  const files = unzipped(body);
  expect([...files.keys()]).toEqual([
    'report.csv',
    'balance.csv',
    'weeks.csv',
    'categories.csv',
    'reconciliation.csv',
    'stock.csv',
    'stock-sums.csv',
    'lots-in-process.csv',
    'indicated-duty.csv',
    'releases.csv',
    'duty-groups.csv',
    'duty-days.csv',
    'duty-on-returns.csv',
    'earlier-period-duty.csv',
    'earlier-period-entries.csv',
    'duty-rounding.csv',
    'duty-flags.csv',
    'duty-rule-sets.csv',
    'duty-sums.csv',
    'deficiency.csv',
    'deficiency-entries.csv',
    'stages.csv',
    'ties.csv',
    'received.csv',
    'lots-produced.csv',
    'stock-differences.csv',
    'late-entries.csv',
    'losses.csv',
    'unaccounted.csv',
    'losses-over-periods.csv',
    'corrections.csv',
    'correction-changes.csv',
    'evidence-figures.csv',
    'evidence-operations.csv',
    'evidence-findings.csv',
    'evidence-readings.csv',
    'evidence-instruments.csv',
    'evidence-calibrations.csv',
  ]);
  const document = await json<PeriodReport>(report(periodIds[0]));
  const balance = rowsOf(files.get('balance.csv'));
  // Every line with the sums of its group; nothing went from one balance into the other.
  const lines = document.lines.filter(({ line }) => line !== 'used-as-material');
  const sums = ['opening', 'in', 'out', 'adjusted', 'closing', 'duty-status-moves'];
  expect(balance.map(({ line }) => line).sort()).toEqual([...lines.map(({ line }) => line), ...sums].sort());
  expect([balance[0].line, balance.at(-1)?.line]).toEqual(['opening', 'closing']);
  // The first period opens with the opening stock; nothing corrected it.
  expect(balance[0].litres).toBe(litresOf(document.opening.litres).toFixed());
  for (const { line, litres, litresOfPureAlcohol } of lines.filter((each) => each.line !== 'opening')) {
    const row = balance.find((each) => each.line === line);
    expect([row?.litres, row?.litres_of_pure_alcohol]).toEqual([
      litresOf(litres).toFixed(),
      litresOf(litresOfPureAlcohol).toFixed(),
    ]);
  }
  expect(balance.find(({ line }) => line === 'released')?.litres).toMatch(/^-\d/);
  expect(rowsOf(files.get('releases.csv'))).toHaveLength(document.duty.releases.length);
  expect(files.get('balance.csv')?.split('\r\n').length).toBe(document.lines.length - 1 + 6 + 2);
});

test('a text that a spreadsheet would take for a formula stays a text in every file of the ZIP', async () => {
  const floor = await Floor.open(service, [['2026-04-01', '2026-05-01']]);
  const mark = '=HYPERLINK("http://x","y")';
  const { packaged } = await openStock(
    floor,
    '2026-04-01T08:00:00Z',
    [],
    [{ mark, category: 'beer', count: 100, nominalLitres: 0.33, declaredPercent: 4.5, percent: 4.5, strengthU: 0.1 }],
  );
  await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packaged[0],
    count: 10,
    occurredAt: '2026-04-02T12:00:00Z',
  });
  const { items } = (await floor.get('/v1/periods')) as { items: { id: string }[] };
  const files = unzipped((await bytesOf(`${report(items[0].id)}?format=zip`, floor.key)).body);
  expect(rowsOf(files.get('releases.csv')).map(({ lot_mark }) => lot_mark)).toEqual([`'${mark}`]);
  for (const csv of files.values()) {
    const cells = (parse(csv) as string[][]).flat();
    expect(cells.filter((cell) => /^[=+@\t\r]|^-(?!\d)/.test(cell))).toEqual([]);
  }
});

test('from a figure of the report down to one reading of one hydrometer, by links alone', async () => {
  const { lines } = await json<PeriodReport>(report(periodIds[0]));
  const released = lines.find(({ line }) => line === 'released');
  const operations = await json<{ items: { evidence: string; kind: string }[] }>(String(released?.operations));
  expect(operations.items.length).toBeGreaterThan(0);
  const evidence = await json<OperationEvidence>(operations.items[0].evidence);
  const [operation] = evidence.operations;
  expect(operation.kind).toBe('movement');
  const finding = evidence.findings.find(({ id }) => id === operation.findings[0]);
  expect(await json(String(finding?.finding))).toMatchObject({ id: finding?.id, standing: 'of-record' });
  const final = finding?.readings.find(({ use }) => use === 'final');
  const reading = await json<{ kind: string; instrumentId: string; personId: string }>(String(final?.reading));
  expect(reading.kind).toBe('gravity');
  const instrument = await json<{ id: string; kind: string }>(String(final?.measuredBy?.instrument));
  expect(instrument).toMatchObject({ id: reading.instrumentId, kind: 'hydrometer' });
  const calibrations = await json<{ items: { id: string; certificate: string }[] }>(
    String(final?.measuredBy?.calibration),
  );
  expect(calibrations.items.map(({ id }) => id)).toContain(final?.measuredBy?.calibrationId);
  const [read] = evidence.readings.filter(({ id }) => id === final?.readingId);
  expect(await json(String(read.person))).toMatchObject({ id: reading.personId });
  expect(await json(operation.operation)).toMatchObject({ id: operation.id });
});

test('the evidence of a period: each figure leads to operations that are there, each of those to findings that are there', async () => {
  const evidence = await json<PeriodEvidence>(`/v1/periods/${periodIds[0]}/evidence`);
  const numbers = new Set(evidence.operations.map(({ sequence }) => sequence));
  const findings = new Set(evidence.findings.map(({ id }) => id));
  const readings = new Set(evidence.readings.map(({ id }) => id));
  expect(evidence.figures.flatMap(({ operations }) => operations).filter((each) => !numbers.has(each))).toEqual([]);
  expect(evidence.operations.flatMap((each) => each.findings).filter((id) => !findings.has(id))).toEqual([]);
  const named = evidence.findings.flatMap((each) => each.readings.map(({ readingId }) => readingId));
  expect(named.filter((id) => !readings.has(id))).toEqual([]);
  const released = evidence.figures.find(({ figure, line }) => figure === 'line' && line === 'released');
  const document = await json<PeriodReport>(report(periodIds[0]));
  const sequenceOf = new Map(evidence.operations.map(({ id, sequence }) => [id, sequence]));
  expect(released?.operations).toEqual(
    document.duty.releases.map(({ operationId }) => sequenceOf.get(operationId)).sort((a, b) => Number(a) - Number(b)),
  );
  const effect = sumOf(evidence.operations.map(({ litresOfPureAlcohol }) => litresOf(litresOfPureAlcohol)));
  const { opening, closing } = document;
  expect(effect.toFixed()).toBe(
    litresOf(closing.litresOfPureAlcohol).minus(litresOf(opening.litresOfPureAlcohol)).toFixed(),
  );
});

test('bars by product carry all of the alcohol in stock; many small ones stand together', async () => {
  const document = await json<PeriodReport>(report(periodIds[1]));
  const total = productBars(document).reduce((sum, { litres }) => sum + litres, 0);
  expect(total).toBeCloseTo(document.closing.litresOfPureAlcohol.value, 2);
  const [item] = document.stock.items;
  const many = Array.from({ length: 40 }, (_, index) => ({
    ...item,
    kind: 'material',
    description: `Spirit ${index}`,
  }));
  const bars = productBars({ ...document, stock: { ...document.stock, items: many } });
  expect(bars).toHaveLength(14);
  expect(bars.at(-1)?.product).toBe('27 others');
});

test('numbers and words as they are printed; a table that runs over the edge is refused', () => {
  expect([fixed('-1234.5', 3), fixed('1234567.0000005', 6), fixed('-0.0000001', 3)]).toEqual([
    '\u22121\u00a0234.500',
    '1\u00a0234\u00a0567.000000',
    '0.000',
  ]);
  expect(runs([9, 3, 4, 5, 11, 12, 3])).toBe('3–5, 9, 11, 12');
  expect([words('re-measurement'), words('yeast-and-trub')]).toEqual(['re-measurement', 'yeast and trub']);
  const columns = Array.from({ length: 9 }, () => ({ head: 'x', width: 80 }));
  expect(() => table(columns, [columns.map(() => 'x')])).toThrow(RangeError);
});
