import { Floor } from './floor.js';
import type { TestService } from './service.js';

/** The id of one thing of each kind, under the name of its collection in the address. */
type Ids = Readonly<Record<string, string>>;

export interface FullProducer {
  readonly floor: Floor;
  readonly ids: Ids;
  /** A rule set that the service offers to start from. */
  readonly ruleSet: Record<string, unknown>;
  /** A code of the first serving of the tasting. */
  readonly tastingCode: string;
}

export const MARCH: [string, string] = ['2026-03-01', '2026-04-01'];
export const APRIL: [string, string] = ['2026-04-01', '2026-05-01'];

/** The clock of tests that use these floors: March is over, April has begun. */
export const APRIL_2 = new Date('2026-04-02T08:00:00Z');

/** A producer with one of everything, made over HTTP: what another producer must never see or change. */
export async function fullProducer(service: TestService, lotCode = 'LOT-001'): Promise<FullProducer> {
  const floor = await Floor.open(service, [MARCH, APRIL]);
  const made = async (path: string, body: Record<string, unknown>) => String((await floor.post(path, body)).id);
  const key = await made('/v1/keys', { name: 'Audit', role: 'auditor' });
  const person = await made('/v1/people', { name: 'A. Brewer' });
  const instrument = await made('/v1/instruments', { name: 'H1', kind: 'hydrometer', scale: 'sg-20-20' });
  const calibration = await made(`/v1/instruments/${instrument}/calibrations`, {
    performedOn: '2026-01-10',
    validUntil: '2027-01-09',
    regions: [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0002 }],
  });
  const material = await made('/v1/materials', {
    name: 'Neutral spirit',
    kind: 'spirit',
    strength: { value: 96, unit: '%' },
  });
  const materialLot = await made('/v1/material-lots', {
    materialId: material,
    premisesId: floor.premisesId,
    code: 'NS-1',
    volume: { value: 25, unit: 'L' },
    occurredAt: '2026-03-01T09:00:00Z',
  });
  const recipe = await floor.post('/v1/recipes', {
    name: 'House ferment',
    category: 'sugar-ferment',
    plan: {
      kind: 'sugar-wash',
      volume: { value: 200, unit: 'L' },
      fermentables: [{ kind: 'dextrose-anhydrous', mass: { value: 18, unit: 'kg' } }],
    },
  });
  const fermenter = await floor.vessel('FV1');
  const tank = await floor.vessel('BT1', 'bright-tank');
  const lot = await floor.lot('sugar-ferment', { code: lotCode });
  const original = await floor.gravity(lot, 1.036, '2026-03-02T09:00:00Z', {
    instrumentId: instrument,
    personId: person,
  });
  await floor.post(`/v1/lots/${lot}/charges`, {
    vesselId: fermenter,
    volume: { value: 200, unit: 'L' },
    occurredAt: '2026-03-02T10:00:00Z',
  });
  const final = await floor.gravity(lot, 0.9985, '2026-03-12T09:00:00Z');
  const finding = await floor.post(`/v1/lots/${lot}/findings`, {
    method: 'mass-balance',
    occurredAt: '2026-03-12T10:00:00Z',
    note: 'found in the morning',
  });
  const spare = await floor.gravity(lot, 0.9984, '2026-03-12T11:00:00Z');
  await floor.post(`/v1/lots/${lot}/transfers`, {
    fromVesselId: fermenter,
    toVesselId: tank,
    loss: { value: 2, unit: 'L' },
    occurredAt: '2026-03-14T09:00:00Z',
  });
  const packed = await floor.post(`/v1/lots/${lot}/packagings`, {
    vesselId: tank,
    container: 'bottle',
    nominalVolume: { value: 330, unit: 'mL' },
    count: 300,
    emptied: false,
    declaredStrength: { value: 4.8, unit: '%' },
    occurredAt: '2026-03-15T09:00:00Z',
  });
  const struck = await floor.gravity(lot, 1.2, '2026-03-16T09:00:00Z');
  await floor.post(`/v1/readings/${struck}/strike`, { reasonCode: 'misread' });
  const otherVessel = await floor.vessel('FV2');
  await floor.finishedLot(otherVessel, {
    litres: 50,
    original: 1.04,
    final: 0.998,
    day: '2026-03-03',
    finishedDay: '2026-03-13',
  });
  const emptyLot = await floor.lot();
  const plan = await floor.post(`/v1/lots/${lot}/plans`, {
    kind: 'dilution',
    dilution: { vesselId: tank, targetStrength: { value: 4, unit: '%' } },
  });
  const movement = await floor.post('/v1/movements', {
    kind: 'release',
    packagedLotId: packed.packagedLotId,
    count: 24,
    occurredAt: '2026-03-17T09:00:00Z',
    personId: person,
  });
  const otherPremises = await made('/v1/premises', { name: 'Hill', timeZone: 'Europe/London' });
  const stockTake = await made('/v1/stock-takes', {
    premisesId: floor.premisesId,
    counts: [{ packagedLotId: packed.packagedLotId, count: 276 }],
    occurredAt: '2026-03-18T09:00:00Z',
  });
  const transit = await made('/v1/transits', {
    packagedLotId: packed.packagedLotId,
    count: 6,
    toPremisesId: otherPremises,
    document: 'DOC-1',
    occurredAt: '2026-03-18T10:00:00Z',
  });
  const receipt = await made('/v1/receipts', {
    kind: 'received-suspended',
    premisesId: floor.premisesId,
    supplier: 'Another producer (invented)',
    document: { number: 'DN-1', date: '2026-03-18' },
    lotId: await floor.lot('beer'),
    packaged: {
      container: 'bottle',
      nominalVolume: { value: 500, unit: 'mL' },
      count: 24,
      lotMark: 'R-1',
      declaredStrength: { value: 5, unit: '%' },
    },
    occurredAt: '2026-03-18T11:00:00Z',
  });
  const offered = (await floor.get('/v1/duty-rule-sets/starting-points')).items as {
    ruleSet: Record<string, unknown>;
  }[];
  const ruleSet = offered[0].ruleSet;
  const dutyRuleSet = await made('/v1/duty-rule-sets', ruleSet);
  const returnMapping = await made('/v1/return-mappings', {
    name: 'A form',
    formTitle: 'A form',
    sources: [],
    unit: 'L',
    lines: [{ line: '1', label: 'Removed', figures: [{ figures: ['released'] }] }],
  });
  const tasting = await floor.post('/v1/tastings', {
    name: 'Two lots',
    method: 'paired',
    question: 'Which one is sweeter?',
    drinks: [{ label: 'One' }, { label: 'Two' }],
    servings: 2,
  });
  const [{ codes }] = tasting.servings as { codes: string[] }[];
  const periods = (await floor.get('/v1/periods')).items as { id: string; startsOn: string }[];
  return {
    floor,
    ruleSet,
    tastingCode: codes[0],
    ids: {
      producers: floor.producerId,
      keys: key,
      people: person,
      premises: floor.premisesId,
      instruments: instrument,
      calibrations: calibration,
      materials: material,
      'material-lots': materialLot,
      recipes: String(recipe.id),
      'recipe-versions': String((recipe.latest as { id: string }).id),
      vessels: tank,
      'empty-vessels': fermenter,
      'other-vessels': otherVessel,
      lots: lot,
      'empty-lots': emptyLot,
      plans: String(plan.id),
      readings: spare,
      'original-readings': original,
      'final-readings': final,
      findings: String(finding.id),
      compositions: String(packed.compositionId),
      'packaged-lots': String(packed.packagedLotId),
      operations: String(packed.operationId),
      movements: String(movement.id),
      'other-premises': otherPremises,
      'stock-takes': stockTake,
      transits: transit,
      receipts: receipt,
      'duty-rule-sets': dutyRuleSet,
      'return-mappings': returnMapping,
      tastings: String(tasting.id),
      periods: periods[0].id,
    },
  };
}
