import type { FullProducer } from './full-producer.js';

type Json = Record<string, unknown>;

const litres = (value: number) => ({ value, unit: 'L' });
const percent = (value: number) => ({ value, unit: '%' });
const occurredAt = '2026-03-20T09:00:00Z';
/** The part of an event's body that says which operation it puts right. */
export const correctsOf = ({ ids }: FullProducer): Json => ({
  operationId: ids.operations,
  reasonCode: 'misread',
  personId: ids.people,
});

/**
 * A body for each route that writes, good in itself, with every id that it can carry; the ids are those of the producer given. A route that the
 * service has and this list has not fails the tests that use it.
 */
export function writeBodies({ ids, ruleSet, tastingCode }: FullProducer): Readonly<Record<string, Json>> {
  const { premises: premisesId, people: personId, vessels: vesselId, instruments: instrumentId } = ids;
  const event = { occurredAt, personId };
  const measured = { ...event, vesselId, instrumentId, volume: litres(100) };
  const gravity = { kind: 'gravity', gravity: { value: 1.01, scale: 'sg-20-20' }, instrumentId, personId, vesselId };
  const fermentable = { materialId: ids.materials, kind: 'dextrose-anhydrous', mass: { value: 18, unit: 'kg' } };
  const plan = { kind: 'sugar-wash', volume: litres(200), fermentables: [fermentable] };
  return {
    'PATCH /v1/producer': { name: 'Renamed' },
    'POST /v1/keys': { name: 'Another', role: 'auditor' },
    'POST /v1/keys/{id}/revocation': {},
    'POST /v1/premises': { name: 'Hill', timeZone: 'Europe/London' },
    'PATCH /v1/premises/{id}': { name: 'Renamed' },
    'POST /v1/people': { name: 'B. Brewer' },
    'POST /v1/periods': { premisesId, startsOn: '2026-05-01', endsBefore: '2026-06-01' },
    'POST /v1/periods/{id}/closing': {},
    'POST /v1/periods/{id}/nil-closings': {},
    'POST /v1/periods/{id}/withdrawal': {},
    'POST /v1/undo': {},
    'POST /v1/premises/{id}/closing-down': { reference: 'NOTICE-1' },
    'POST /v1/periods/{id}/filings': { filedOn: '2026-04-01', reference: 'RET-1' },
    'POST /v1/movements/{id}/proof': { proof: 'PROOF-0001' },
    'POST /v1/people/{id}/forgetting': {},
    'POST /v1/vessels': { premisesId, name: 'FV9', kind: 'fermenter' },
    'PATCH /v1/vessels/{id}': { name: 'Renamed' },
    'POST /v1/instruments': { name: 'H9', kind: 'hydrometer', scale: 'sg-20-20' },
    'PATCH /v1/instruments/{id}': { name: 'Renamed' },
    'POST /v1/instruments/{id}/calibrations': {
      performedOn: '2026-02-10',
      validUntil: '2027-01-09',
      regions: [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0002 }],
    },
    'POST /v1/materials': { name: 'Dextrose', kind: 'sugar' },
    'PATCH /v1/materials/{id}': { name: 'Renamed' },
    'POST /v1/material-lots': {
      ...event,
      materialId: ids.materials,
      premisesId,
      code: 'NS-9',
      volume: litres(5),
    },
    'POST /v1/material-lots/{id}/counts': { ...event, quantity: litres(20), reasonCode: 'breakage' },
    'POST /v1/material-lots/{id}/write-offs': { ...event, quantity: litres(1), reasonCode: 'spoilage' },
    'POST /v1/recipes': { name: 'Other', category: 'sugar-ferment', plan },
    'PATCH /v1/recipes/{id}': { name: 'Renamed' },
    'POST /v1/recipes/{id}/versions': { plan },
    'POST /v1/tastings': {
      name: 'Two yeasts',
      method: 'triangle',
      drinks: [{ label: 'One', lotId: ids.lots }, { label: 'Two' }],
      servings: 6,
    },
    'PATCH /v1/tastings/{id}': { closed: false },
    'POST /v1/tastings/{id}/answers': { serving: 1, chosen: tastingCode, personId },
    'POST /v1/lots': { premisesId, category: 'sugar-ferment', recipeVersionId: ids['recipe-versions'] },
    'PATCH /v1/lots/{id}': { retired: true },
    'POST /v1/lots/{id}/steps': {
      kind: 'heat',
      temperature: { value: 80, unit: 'Cel' },
      duration: { value: 15, unit: 'min' },
    },
    'POST /v1/lots/{id}/readings': gravity,
    'POST /v1/readings/{id}/strike': { reasonCode: 'misread', replacement: { ...gravity, lotId: ids.lots } },
    'POST /v1/readings/{id}/confirmation': { confirm: ['gravity-rising'], personId },
    'POST /v1/readings/{id}/correction': {
      reasonCode: 'misread',
      personId,
      replacement: { ...gravity, lotId: ids.lots },
    },
    'POST /v1/lots/{id}/charges': {
      ...measured,
      materials: [{ materialLotId: ids['material-lots'], mass: { value: 1, unit: 'kg' } }],
    },
    'POST /v1/lots/{id}/spirit-charges': {
      ...event,
      vesselId: ids['empty-vessels'],
      spirits: [{ materialLotId: ids['material-lots'], volume: litres(1) }],
      targetStrength: percent(5),
    },
    'POST /v1/lots/{id}/gauges': measured,
    'POST /v1/lots/{id}/transfers': {
      ...event,
      fromVesselId: vesselId,
      toVesselId: ids['empty-vessels'],
      volume: litres(1),
    },
    'POST /v1/lots/{id}/dilutions': { ...event, vesselId, water: litres(1) },
    'POST /v1/lots/{id}/findings': {
      ...event,
      method: 'mass-balance',
      standing: 'supporting',
      compositionId: ids.compositions,
      originalReadingId: ids['original-readings'],
      finalReadingId: ids['final-readings'],
    },
    'POST /v1/lots/{id}/packagings': {
      ...event,
      vesselId,
      container: 'bottle',
      nominalVolume: { value: 330, unit: 'mL' },
      count: 1,
      emptied: false,
      declaredStrength: percent(4.8),
    },
    'POST /v1/lots/{id}/additions': {
      ...event,
      vesselId,
      purpose: 'flavouring',
      materialLotId: ids['material-lots'],
      volume: litres(0.5),
    },
    'POST /v1/lots/{id}/splits': {
      ...event,
      fromVesselId: vesselId,
      toVesselId: ids['empty-vessels'],
      volume: litres(10),
      newLotId: ids['empty-lots'],
    },
    'POST /v1/lots/{id}/yeast-crops': {
      ...event,
      vesselId,
      volume: litres(1),
      materialId: ids.materials,
      materialLotCode: 'Y-1',
    },
    'POST /v1/lots/{id}/plans': { kind: 'dilution', dilution: { vesselId, targetStrength: percent(4) } },
    'POST /v1/blends': {
      ...event,
      lotId: ids['empty-lots'],
      vesselId: ids['empty-vessels'],
      components: [
        { vesselId, volume: litres(10) },
        { vesselId: ids['other-vessels'], volume: litres(10) },
      ],
    },
    'POST /v1/packaged-lots/{id}/repackings': {
      ...event,
      count: 1,
      into: { container: 'bottle', nominalVolume: { value: 330, unit: 'mL' }, count: 1 },
    },
    'POST /v1/packaged-lots/{id}/relabellings': { ...event, count: 1, lotMark: 'OTHER' },
    'POST /v1/operations/{id}/difference': { reasonCode: 'misread', personId, correct: { volume: litres(201) } },
    'POST /v1/duty-rule-sets': ruleSet,
    'POST /v1/return-mappings': {
      name: 'Another form',
      formTitle: 'Another form',
      sources: [],
      unit: 'L',
      lines: [{ line: '1', label: 'Removed', figures: [{ figures: ['released'] }] }],
    },
    'PATCH /v1/return-mappings/{id}': { retired: true },
    'POST /v1/operations/{id}/reversal': { reasonCode: 'typing-error', personId },
    'POST /v1/openings': {
      ...event,
      premisesId,
      liquids: [
        { lotId: ids.lots, vesselId: ids['empty-vessels'], instrumentId, volume: litres(1), strength: percent(5) },
      ],
      packaged: [
        {
          lotId: ids.lots,
          container: 'bottle',
          nominalVolume: litres(1),
          count: 1,
          lotMark: 'X',
          declaredStrength: percent(5),
          packagedOn: '2026-02-20',
          strength: percent(5),
        },
      ],
    },
    'POST /v1/stock-takes': {
      ...event,
      premisesId,
      counts: [{ lotId: ids.lots, vesselId, volume: litres(98), instrumentId, reasonCode: 'evaporation' }],
    },
    'POST /v1/receipts': {
      ...event,
      kind: 'received-suspended',
      premisesId,
      supplier: 'Another producer (invented)',
      document: { number: 'DN-2', date: '2026-03-19' },
      lotId: ids['empty-lots'],
      packaged: {
        container: 'bottle',
        nominalVolume: litres(0.5),
        count: 12,
        lotMark: 'R-2',
        declaredStrength: percent(5),
      },
    },
    'POST /v1/transits': {
      ...event,
      packagedLotId: ids['packaged-lots'],
      count: 1,
      toPremisesId: ids['other-premises'],
      document: 'DOC-2',
    },
    'POST /v1/transits/{id}/arrival': { ...event, count: 6 },
    'POST /v1/empties-returns': { ...event, premisesId, serials: ['K-900'] },
    'POST /v1/sample-days': { premisesId, day: '2026-03-12', personId },
    'POST /v1/reworks': {
      ...event,
      packagedLotId: ids['packaged-lots'],
      count: 1,
      lotId: ids['empty-lots'],
      vesselId: ids['empty-vessels'],
    },
    'POST /v1/movements': {
      ...event,
      kind: 'release',
      packagedLotId: ids['packaged-lots'],
      count: 1,
    },
  };
}

/** Ids that belong to a form of the body other than the one above, with the whole body of that form. */
export function otherForms({ ids, ruleSet }: FullProducer): readonly { route: string; body: Json }[] {
  const { vessels: vesselId } = ids;
  const components = [{ vesselId, volume: litres(10) }, { vesselId: ids['other-vessels'] }];
  const addition = { vesselId, purpose: 'flavouring', materialLotId: ids['material-lots'], volume: litres(0.5) };
  const carbonation = { vesselId, temperature: { value: 4, unit: 'Cel' }, volumesOfCO2: 2.5 };
  return [
    {
      route: 'POST /v1/lots',
      body: { premisesId: ids.premises, category: 'x', recipeVersion: { recipeId: ids.recipes, number: 1 } },
    },
    {
      route: 'POST /v1/lots/{id}/findings',
      body: {
        method: 'alcohol-density',
        standing: 'supporting',
        basis: { kind: 'distilled' },
        readingId: ids.readings,
        occurredAt,
      },
    },
    {
      route: 'POST /v1/lots/{id}/findings',
      body: {
        method: 'joined',
        standing: 'supporting',
        compositionId: ids.compositions,
        findingIds: [ids.findings, ids.findings],
        occurredAt,
      },
    },
    {
      route: 'POST /v1/lots',
      body: { premisesId: ids.premises, category: 'x', personId: ids.people },
    },
    { route: 'POST /v1/duty-rule-sets', body: { ...ruleSet, personId: ids.people } },
    {
      route: 'POST /v1/periods/{id}/filings',
      body: { filedOn: '2026-04-01', reference: 'RET-2', personId: ids.people, amends: ids.periods },
    },
    { route: 'POST /v1/premises/{id}/closing-down', body: { personId: ids.people } },
    { route: 'POST /v1/lots/{id}/steps', body: { kind: 'heat', vesselId, personId: ids.people } },
    { route: 'POST /v1/undo', body: { personId: ids.people } },
    { route: 'POST /v1/movements/{id}/proof', body: { proof: 'PROOF-0001', personId: ids.people } },
    {
      route: 'POST /v1/movements',
      body: { kind: 'sample', lotId: ids.lots, vesselId, volume: litres(1), occurredAt },
    },
    {
      route: 'POST /v1/lots/{id}/plans',
      body: { kind: 'blend', blend: { vesselId: ids['empty-vessels'], components } },
    },
    {
      route: 'POST /v1/movements',
      body: { kind: 'sample', packagedLotId: ids['packaged-lots'], count: 1, premisesId: ids.premises, occurredAt },
    },
    {
      route: 'POST /v1/movements',
      body: { kind: 'sample', lotId: ids.lots, vesselId, volume: litres(1), explains: ids.operations, occurredAt },
    },
    {
      route: 'POST /v1/lots/{id}/transfers',
      body: {
        fromVesselId: vesselId,
        toVesselId: ids['empty-vessels'],
        volume: litres(1),
        explains: ids.operations,
        occurredAt,
      },
    },
    {
      route: 'POST /v1/lots/{id}/packagings',
      body: {
        vesselId,
        container: 'bottle',
        nominalVolume: { value: 330, unit: 'mL' },
        count: 1,
        emptied: false,
        declaredStrength: percent(4.8),
        explains: ids.operations,
        occurredAt,
      },
    },
    {
      route: 'POST /v1/lots/{id}/packagings',
      body: {
        vesselId,
        container: 'bottle',
        nominalVolume: { value: 330, unit: 'mL' },
        count: 1,
        declaredStrength: percent(4.8),
        doses: [{ materialLotId: ids['material-lots'], perContainer: { value: 1, unit: 'mL' } }],
        occurredAt,
      },
    },
    {
      route: 'POST /v1/movements',
      body: { kind: 'sample', materialLotId: ids['material-lots'], volume: litres(0.1), occurredAt },
    },
    {
      route: 'POST /v1/stock-takes',
      body: {
        premisesId: ids.premises,
        counts: [{ materialLotId: ids['material-lots'], volume: litres(1), instrumentId: ids.instruments }],
        occurredAt,
      },
    },
    {
      route: 'POST /v1/stock-takes',
      body: { premisesId: ids.premises, counts: [{ packagedLotId: ids['packaged-lots'], count: 1 }], occurredAt },
    },
    {
      route: 'POST /v1/receipts',
      body: {
        kind: 'imported',
        premisesId: ids.premises,
        supplier: 'Another producer (invented)',
        document: { number: 'DN-3', date: '2026-03-19' },
        lotId: ids['empty-lots'],
        bulk: { vesselId: ids['empty-vessels'], volume: litres(10) },
        strength: percent(5),
        occurredAt,
      },
    },
    {
      route: 'POST /v1/movements',
      body: {
        kind: 'transit-loss',
        lostFrom: ids.movements,
        count: 1,
        reasonCode: 'breakage',
        evidence: { document: 'D' },
        occurredAt,
      },
    },
    {
      route: 'POST /v1/transits',
      body: {
        packagedLotId: ids['packaged-lots'],
        count: 1,
        fromPremisesId: ids.premises,
        toPremisesId: ids['other-premises'],
        document: 'DOC-2',
        occurredAt,
      },
    },
    {
      route: 'POST /v1/transits',
      body: {
        lotId: ids.lots,
        vesselId,
        volume: litres(1),
        toPremisesId: ids['other-premises'],
        document: 'DOC-3',
        occurredAt,
      },
    },
    {
      route: 'POST /v1/transits/{id}/arrival',
      body: { volume: litres(1), lotId: ids['empty-lots'], vesselId: ids['empty-vessels'], occurredAt },
    },
    {
      route: 'POST /v1/reworks',
      body: {
        packagedLotId: ids['packaged-lots'],
        count: 1,
        premisesId: ids.premises,
        lotId: ids['empty-lots'],
        vesselId: ids['empty-vessels'],
        occurredAt,
      },
    },
    {
      route: 'POST /v1/operations/{id}/difference',
      body: { reasonCode: 'misread', correct: { compositionId: ids.compositions, volume: litres(1) } },
    },
    {
      route: 'POST /v1/operations/{id}/difference',
      body: { reasonCode: 'misread', correct: { packagedLotId: ids['packaged-lots'], count: 1 } },
    },
    { route: 'POST /v1/lots/{id}/plans', body: { kind: 'addition', addition } },
    { route: 'POST /v1/lots/{id}/plans', body: { kind: 'carbonation', carbonation } },
  ];
}
