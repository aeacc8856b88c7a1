import type { LotRecord } from '../../src/excise/reporting/lot-record/lot-record.dto.js';
import { definition as lotRecordPdf } from '../../src/excise/reporting/lot-record/lot-record-pdf.js';
import { operationWords } from '../../src/excise/reporting/lot-record/operation-words.js';
import { SteppableClock } from '../../src/platform/clock.js';
import { Floor } from '../support/floor.js';
import { problemOf } from '../support/problem.js';
import { TestService } from '../support/service.js';

let service: TestService;
let floor: Floor;
let lotId: string;
let releaseId: string;
let wrongId: string;
beforeAll(async () => {
  service = await TestService.start({ clock: new SteppableClock(new Date('2026-04-02T08:00:00Z')) });
  floor = await Floor.open(service, [
    ['2026-03-01', '2026-04-01'],
    ['2026-04-01', '2026-05-01'],
  ]);
  const recipe = await floor.post('/v1/recipes', {
    name: 'House ferment',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'dextrose-anhydrous', mass: { value: 18, unit: 'kg' } }],
      finalGravity: { value: 0.998, scale: 'sg-20-20' },
    },
  });
  const vesselId = await floor.vessel('FV 1');
  lotId = await floor.lot('sugar-ferment', {
    code: 'LOT-7',
    recipeVersion: { recipeId: recipe.id, number: 1 },
  });
  const sensor = { source: 'sensor', sampleTemperature: { value: 21, unit: 'Cel' } };
  await floor.gravity(lotId, 1.036, '2026-03-02T09:00:00Z', { sampleTemperature: { value: 22, unit: 'Cel' } });
  await floor.post(`/v1/lots/${lotId}/charges`, {
    vesselId,
    volume: { value: 200, unit: 'L' },
    occurredAt: '2026-03-02T10:00:00Z',
  });
  await floor.gravity(lotId, 1.02, '2026-03-05T09:00:00Z', sensor);
  await floor.gravity(lotId, 1.008, '2026-03-07T09:00:00Z', sensor);
  const struck = await floor.gravity(lotId, 1.2, '2026-03-08T09:00:00Z');
  await floor.post(`/v1/readings/${struck}/strike`, { reasonCode: 'misread' });
  await floor.gravity(lotId, 0.9985, '2026-03-12T09:00:00Z');
  await floor.post(`/v1/lots/${lotId}/findings`, { method: 'mass-balance', occurredAt: '2026-03-12T10:00:00Z' });
  const packed = await floor.post(`/v1/lots/${lotId}/packagings`, {
    vesselId,
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    fills: { values: [331.5, 330.2, 331.3], unit: 'mL' },
    count: 600,
    emptied: true,
    declaredStrength: { value: 4.8, unit: '%' },
    occurredAt: '2026-03-15T09:00:00Z',
  });
  const moved = (count: number, more: object = {}) => ({
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count,
    occurredAt: '2026-03-17T09:00:00Z',
    counterparty: 'A shop',
    ...more,
  });
  wrongId = String((await floor.post('/v1/movements', moved(25))).id);
  const corrects = { operationId: wrongId, reasonCode: 'wrong-count' };
  releaseId = String((await floor.post('/v1/movements', moved(24, { corrects }))).id);
});
afterAll(() => service.stop());

const record = async (): Promise<LotRecord> => (await floor.get(`/v1/lots/${lotId}/record`)) as unknown as LotRecord;

test('plan compared with what was done, each measure on one scale', async () => {
  const { plan, planComparison } = await record();
  expect(plan).toMatchObject({ recipe: 'House ferment', version: 1 });
  const by = new Map(planComparison.map((each) => [each.measure, each]));
  expect(by.get('original-gravity')?.planned).toBeCloseTo(1.034, 2);
  expect(by.get('original-gravity')?.actual).toBeCloseTo(1.036, 6);
  expect(by.get('final-gravity')).toMatchObject({ unit: 'sg-20-20' });
  expect(by.get('final-gravity')?.actual).toBeCloseTo(0.9985, 6);
  expect(by.get('volume')).toMatchObject({ planned: 200, actual: 200, unit: 'L' });
  const { items } = (await floor.get(`/v1/lots/${lotId}/findings`)) as { items: { strength: { value: number } }[] };
  expect(by.get('strength')?.actual).toBe(items[0].strength.value);
  expect(by.get('strength')?.expandedUncertainty?.value).toBeGreaterThan(0.1);
});

test('readings by hand and by sensor, the struck one among them; findings with their budgets', async () => {
  const { readings, findings } = await record();
  expect(readings.map(({ source, gravity }) => [source, gravity?.value])).toEqual([
    ['hand', 1.036],
    ['sensor', 1.02],
    ['sensor', 1.008],
    ['hand', 1.2],
    ['hand', 0.9985],
  ]);
  expect(readings.find(({ struck }) => struck !== undefined)?.gravity?.value).toBe(1.2);
  expect(findings).toHaveLength(1);
  const shares = findings[0].budget.reduce((sum, { share }) => sum + share, 0);
  expect(shares).toBeCloseTo(1, 9);
});

test('packing with its label check, movements with whom they went to, corrections with what they put right', async () => {
  const { packagings, movements, operations } = await record();
  expect(packagings).toMatchObject([
    { count: 600, nominalVolume: { value: 0.33, unit: 'L' }, meanFill: { value: 0.331, unit: 'L' }, reversed: false },
  ]);
  expect(['conforms', 'cannot-tell', 'does-not-conform']).toContain(packagings[0].labelCheck?.decision);
  expect(
    movements.map(({ operationId, count, counterparty, reversed }) => [operationId, count, counterparty, reversed]),
  ).toEqual([
    [wrongId, 25, 'A shop', true],
    [releaseId, 24, 'A shop', false],
  ]);
  const reversal = operations.find(({ reverses }) => reverses === wrongId);
  expect(reversal).toMatchObject({ kind: 'reversal', reasonCode: 'wrong-count', litres: { value: 8.25 } });
  expect(operations.find(({ id }) => id === wrongId)?.reversedBy).toBe(reversal?.id);
  expect(operations.find(({ id }) => id === releaseId)?.corrects).toBe(wrongId);
  const packaging = operations.find(({ kind }) => kind === 'packaging');
  expect(packaging?.description).toBe('FV 1, 600 × 0.33 L');
  const evidence = await floor.get(String(packaging?.evidence));
  expect(evidence).toMatchObject({ findings: [{ standing: 'of-record', lotCode: 'LOT-7' }] });
});

test('as a PDF: the same bytes while nothing is written, other bytes afterwards', async () => {
  const pdf = () => service.call('get', `/v1/lots/${lotId}/record?format=pdf`, { key: floor.key });
  const [first, second] = [await pdf(), await pdf()];
  expect(first.status).toBe(200);
  expect(first.headers['content-type']).toBe('application/pdf');
  expect((first.body as Buffer).subarray(0, 5).toString()).toBe('%PDF-');
  expect((second.body as Buffer).equals(first.body as Buffer)).toBe(true);
  expect(second.headers.etag).toBe(first.headers.etag);
  await floor.vessel('FV 2');
  const later = await pdf();
  expect(later.headers.etag).not.toBe(first.headers.etag);
});

test('what the PDF is made of: the curve of both sources, every finding, every movement', async () => {
  const made = await record();
  const at = new Date('2026-04-02T08:00:00Z');
  const text = JSON.stringify(lotRecordPdf({ record: made, hash: 'b'.repeat(64), at }).content);
  for (const part of [
    'b'.repeat(8),
    'LOT-7',
    'Readings by hand',
    'Readings by sensor',
    'STRUCK: misread',
    'gravity, sensor',
    'gravity, by hand',
    'A shop',
    'release (reversed)',
  ]) {
    expect(text).toContain(part);
  }
  expect(text).not.toContain('SIMULATION');
  const simulated = { ...made, producer: { ...made.producer, simulated: true } };
  expect(JSON.stringify(lotRecordPdf({ record: simulated, hash: 'b', at }).content)).toContain('SIMULATION');
});

test('refused: a lot that is not there, a face that is not there', async () => {
  const other = await Floor.open(service, []);
  const foreign = await service.call('get', `/v1/lots/${lotId}/record`, { key: other.key });
  expect(problemOf(foreign).code).toBe('not-found');
  const accept = { key: floor.key, headers: { accept: 'text/csv' } };
  expect(problemOf(await service.call('get', `/v1/lots/${lotId}/record`, accept)).code).toBe('not-acceptable');
  const format = await service.call('get', `/v1/lots/${lotId}/record?format=zip`, { key: floor.key });
  expect(problemOf(format).code).toBe('validation-failed');
});

test('an operation in words: names for ids, nothing of what is not there', () => {
  const names = new Map([
    ['v1', 'FV 1'],
    ['m1', 'Dextrose DX-1'],
  ]);
  const document = {
    vesselId: 'v1',
    asRead: { volume: { value: 200, unit: 'L' }, temperature: { value: 23, unit: 'Cel' } },
    materials: [{ materialLotId: 'm1', mass: { value: 20.4, unit: 'kg' } }, { materialLotId: 'gone' }],
    planId: null,
  };
  expect(operationWords(document, names)).toBe('FV 1, read as 200 L at 23 °C, Dextrose DX-1 20.4 kg');
  expect(operationWords({}, names)).toBe('');
  expect(
    operationWords({ fromVesselId: 'v1', toVesselId: 'v2', lossLitres: '0', drawnLitres: '12.500000' }, names),
  ).toBe('from FV 1, drawn 12.5 L');
});
