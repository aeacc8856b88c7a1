import type { Driver } from './driver.js';
import { ofMaterial } from './material-requests.js';
import { ownerField } from './owners.js';
import type { Json } from './request-parts.js';
import { addition, bySerial, CELSIUS, counted, litres, percent, SURE, wayOut } from './request-parts.js';
import { unitOf } from './plain.js';
import type { Event } from './step.js';
import { bulkOnTheWay } from './way-requests.js';
import { siteOfVessel } from './words.js';

/** The request that a step is: its path and its body. */
export async function requestOf(step: Event, name: string, driver: Driver): Promise<readonly [string, Json]> {
  const occurredAt = driver.timeOf(step.at);
  const ofLot = (lot: string, what: string): string => `/v1/lots/${driver.id(lot)}/${what}`;
  switch (step.kind) {
    case 'charge':
    case 'gauge':
      return [
        ofLot(step.lot, step.kind === 'charge' ? 'charges' : 'gauges'),
        {
          vesselId: driver.id(step.vessel),
          volume: litres(step.litres),
          temperature: CELSIUS,
          standardUncertainty: { value: SURE, unit: 'L' },
          ...(step.kind === 'gauge' && step.reason === true ? { reasonCode: 'measuring-error' } : {}),
          occurredAt,
        },
      ];
    case 'receipt':
      return [
        '/v1/material-lots',
        {
          materialId: await driver.spirit(),
          premisesId: driver.premises('here'),
          code: name,
          ...ownerField(step.owner),
          dutyStatus: step.duty,
          volume: litres(step.litres),
          strength: percent(step.strength),
          strengthStandardUncertainty: { value: SURE, unit: '%' },
          occurredAt,
        },
      ];
    case 'spirit':
      return [
        ofLot(step.lot, 'spirit-charges'),
        {
          vesselId: driver.id(step.vessel),
          spirits: step.spirits.map((each) => ({
            materialLotId: driver.id(`material/${each.material}`),
            volume: litres(each.litres),
          })),
          water: litres(step.water),
          waterStandardUncertainty: { value: SURE, unit: 'L' },
          occurredAt,
        },
      ];
    case 'find':
      return [
        ofLot(step.lot, 'findings'),
        {
          method: 'certificate',
          standing: step.standing,
          compositionId: driver.id(`composition/${step.composition}`),
          certificate: {
            strength: percent(step.strength),
            expandedUncertainty: { value: 2 * SURE, unit: '%' },
            coverageFactor: 2,
          },
          occurredAt,
        },
      ];
    case 'transfer':
      return [
        ofLot(step.lot, 'transfers'),
        {
          fromVesselId: driver.id(step.from),
          toVesselId: driver.id(step.to),
          volume: litres(step.litres),
          loss: litres(step.loss),
          occurredAt,
        },
      ];
    case 'dilute':
      return [
        ofLot(step.lot, 'dilutions'),
        {
          vesselId: driver.id(step.vessel),
          water: litres(step.water),
          waterStandardUncertainty: { value: SURE, unit: 'L' },
          occurredAt,
        },
      ];
    case 'blend':
      return [
        '/v1/blends',
        {
          lotId: driver.id(step.lot),
          vesselId: driver.id(step.vessel),
          components: step.components.map((each) => ({
            vesselId: driver.id(each.vessel),
            ...(each.litres === undefined ? {} : { volume: litres(each.litres) }),
          })),
          ...(step.wash === undefined
            ? {}
            : {
                wash: {
                  volume: litres(step.wash.litres),
                  gravity: { value: step.wash.plato, scale: 'plato' },
                  temperature: CELSIUS,
                  standardUncertainty: { value: SURE, unit: 'L' },
                },
              }),
          ...(step.water === undefined
            ? {}
            : { water: litres(step.water), waterStandardUncertainty: { value: SURE, unit: 'L' } }),
          occurredAt,
        },
      ];
    case 'add':
      return [
        ofLot(step.lot, 'additions'),
        {
          vesselId: driver.id(step.vessel),
          ...(await addition(step.added, driver)),
          standardUncertainty: { value: SURE, unit: 'kilograms' in step.added ? 'kg' : 'L' },
          occurredAt,
        },
      ];
    case 'split':
      return [
        ofLot(step.lot, 'splits'),
        {
          fromVesselId: driver.id(step.from),
          toVesselId: driver.id(step.to),
          newLotId: driver.id(step.newLot),
          ...(step.litres === undefined ? {} : { volume: litres(step.litres) }),
          occurredAt,
        },
      ];
    case 'crop':
      return [
        ofLot(step.lot, 'yeast-crops'),
        {
          vesselId: driver.id(step.vessel),
          volume: litres(step.litres),
          materialId: await driver.yeast(),
          materialLotCode: name,
          occurredAt,
        },
      ];
    case 'pack':
      return [
        ofLot(step.lot, 'packagings'),
        {
          vesselId: driver.id(step.vessel),
          container: step.serials === undefined ? 'bottle' : 'keg',
          nominalVolume: litres(step.nominal),
          count: step.count,
          ...bySerial(step),
          declaredStrength: percent('5'),
          ...(step.fill === undefined ? {} : { meanFill: litres(step.fill) }),
          ...(step.loss === undefined ? { emptied: true } : { loss: litres(step.loss) }),
          ...(step.reason === true ? { reasonCode: 'counting-error' } : {}),
          ...(step.sugarGramsPerLitre === undefined
            ? {}
            : { conditioning: { sugar: 'sucrose', gramsPerLitre: step.sugarGramsPerLitre } }),
          occurredAt,
        },
      ];
    case 'repack':
      return [
        `/v1/packaged-lots/${driver.id(`packaged/${step.packaged}`)}/repackings`,
        {
          count: step.count,
          into: { container: 'can', nominalVolume: litres(step.nominal), count: step.filled },
          occurredAt,
        },
      ];
    case 'relabel':
      return [
        `/v1/packaged-lots/${driver.id(`packaged/${step.packaged}`)}/relabellings`,
        {
          count: step.count,
          lotMark: name,
          ...(step.category === undefined ? {} : { category: step.category }),
          occurredAt,
        },
      ];
    case 'rework':
      return [
        '/v1/reworks',
        {
          packagedLotId: driver.id(`packaged/${step.packaged}`),
          ...counted(step),
          lotId: driver.id(step.lot),
          vesselId: driver.id(step.vessel),
          loss: litres(step.loss),
          occurredAt,
        },
      ];
    case 'move-bulk':
      return [
        '/v1/movements',
        {
          ...wayOut(step, driver),
          lotId: driver.id(step.lot),
          vesselId: driver.id(step.vessel),
          volume: litres(step.litres),
          occurredAt,
        },
      ];
    case 'move-packed':
    case 'return':
      return [
        '/v1/movements',
        {
          ...(step.kind === 'return' ? { kind: 'return', counterparty: 'A shop (invented)' } : wayOut(step, driver)),
          packagedLotId: driver.id(`packaged/${step.packaged}`),
          ...counted(step),
          ...(step.site === 'here' ? {} : { premisesId: await driver.otherPremises() }),
          dutyStatus: step.duty,
          occurredAt,
        },
      ];
    case 'count':
      return [
        '/v1/stock-takes',
        {
          premisesId: step.site === 'here' ? driver.premises('here') : await driver.otherPremises(),
          counts: [
            {
              packagedLotId: driver.id(`packaged/${step.packaged}`),
              count: step.count,
              ...bySerial(step),
              dutyStatus: step.duty,
              reasonCode: 'counting-error',
            },
          ],
          occurredAt,
        },
      ];
    case 'count-bulk':
      return [
        '/v1/stock-takes',
        {
          premisesId: driver.premises(siteOfVessel(step.vessel)),
          counts: [
            {
              lotId: driver.id(step.lot),
              vesselId: driver.id(step.vessel),
              volume: litres(step.litres),
              temperature: CELSIUS,
              standardUncertainty: { value: SURE, unit: 'L' },
              reasonCode: 'counting-error',
            },
          ],
          occurredAt,
        },
      ];
    case 'plain-entry':
      return [
        `/v1/material-lots/${await driver.plain(step.stuff, step.owner)}/${step.what === 'counted' ? 'counts' : 'write-offs'}`,
        {
          quantity: { value: Number(step.quantity), unit: unitOf(step.stuff) },
          reasonCode: 'recording-error',
          occurredAt,
        },
      ];
    case 'move-material':
    case 'count-material':
      return ofMaterial(step, driver);
    case 'send': {
      const there = await driver.otherPremises();
      return [
        '/v1/transits',
        {
          packagedLotId: driver.id(`packaged/${step.packaged}`),
          count: step.count,
          ...bySerial(step),
          fromPremisesId: step.from === 'here' ? driver.premises('here') : there,
          toPremisesId: step.to === 'here' ? driver.premises('here') : there,
          document: 'DOC-2',
          dutyStatus: step.duty,
          occurredAt,
        },
      ];
    }
    case 'arrive':
      return [
        `/v1/transits/${driver.id(`operation/${step.transit}`)}/arrival`,
        { count: step.count, ...bySerial(step), reasonCode: 'breakage', occurredAt },
      ];
    case 'empties':
      return [
        '/v1/empties-returns',
        {
          premisesId: step.site === 'here' ? driver.premises('here') : await driver.otherPremises(),
          serials: step.serials,
          occurredAt,
        },
      ];
    case 'send-bulk':
    case 'arrive-bulk':
      return bulkOnTheWay(step, driver);
    case 'opening':
      return [
        '/v1/openings',
        {
          premisesId: driver.premises('here'),
          ...(step.liquid === undefined
            ? {}
            : {
                liquids: [
                  {
                    lotId: driver.id(step.liquid.lot),
                    vesselId: driver.id(step.liquid.vessel),
                    volume: litres(step.liquid.litres),
                    standardUncertainty: { value: SURE, unit: 'L' },
                    ...(step.liquid.strength === undefined ? {} : { strength: percent(step.liquid.strength) }),
                    strengthStandardUncertainty: { value: SURE, unit: '%' },
                    addedShare: Number(step.liquid.addedShare),
                  },
                ],
              }),
          packaged: [
            {
              lotId: driver.id(step.packaged.lot),
              container: 'bottle',
              nominalVolume: litres(step.packaged.nominal),
              count: step.packaged.count,
              lotMark: name,
              declaredStrength: percent(step.packaged.strength),
              strengthStandardUncertainty: { value: SURE, unit: '%' },
              packagedOn: '2026-02-01',
            },
          ],
          occurredAt,
        },
      ];
  }
}
