import type { BodyExamples } from './body-examples.js';
import { litres, OTHER_LOT, OTHER_PREMISES, PACKAGED_LOT, PREMISES, sampleId } from './body-examples.js';

/** Bodies of movements, transits, stock-takes and containers. */
export const EXCISE_BODIES: BodyExamples = {
  createMovement: {
    summary: 'Two cases to a shop',
    value: {
      kind: 'release',
      packagedLotId: PACKAGED_LOT,
      count: 48,
      counterparty: 'Corner Shop (invented)',
      occurredAt: '2026-03-17T09:00:00Z',
    },
  },
  createReceipt: {
    summary: 'Ten cases from another producer under suspension, two bottles short',
    value: {
      kind: 'received-suspended',
      premisesId: PREMISES,
      supplier: 'Weir Brewery (invented)',
      document: { number: 'DN-2026-0417', date: '2026-03-18' },
      lotId: OTHER_LOT,
      packaged: {
        container: 'bottle',
        nominalVolume: { value: 500, unit: 'mL' },
        count: 238,
        documentedCount: 240,
        lotMark: 'W-2291',
        declaredStrength: { value: 4.8, unit: '%' },
      },
      strength: { value: 4.82, unit: '%' },
      expandedUncertainty: { value: 0.1, unit: '%' },
      coverageFactor: 2,
      occurredAt: '2026-03-19T09:00:00Z',
    },
  },
  proveMovement: {
    summary: 'The proof of a dispatch: 47 of 48 accepted, one refused',
    value: { proof: 'PROOF-0001', arrivedCount: 47, refusedCount: 1 },
  },
  closePremisesDown: { summary: 'After the last report', value: { reference: 'NOTICE-0007' } },
  filePeriod: {
    summary: 'The return of October',
    value: { filedOn: '2026-11-12', reference: 'RET-2026-10' },
  },
  createEmptiesReturn: {
    summary: 'Two kegs came back empty',
    value: { premisesId: PREMISES, serials: ['K-017', 'K-018'], occurredAt: '2026-03-25T09:00:00Z' },
  },
  createStockTake: {
    summary: 'Bottles, and kegs by their serials',
    value: {
      premisesId: PREMISES,
      occurredAt: '2026-03-31T18:00:00Z',
      counts: [
        { packagedLotId: PACKAGED_LOT, count: 239, reasonCode: 'breakage' },
        { packagedLotId: sampleId(21), count: 2, serials: ['K-017', 'K-018'] },
      ],
    },
  },
  createTransit: {
    summary: 'Two cases to the other premises',
    value: {
      packagedLotId: PACKAGED_LOT,
      count: 48,
      toPremisesId: OTHER_PREMISES,
      document: 'DOC-0007',
      occurredAt: '2026-03-18T10:00:00Z',
    },
  },
  createTransitArrival: {
    summary: 'One bottle broke on the way',
    value: { count: 47, reasonCode: 'breakage', occurredAt: '2026-03-18T15:00:00Z' },
  },
  createRework: {
    summary: 'A case back into a tank',
    value: {
      packagedLotId: PACKAGED_LOT,
      count: 24,
      lotId: OTHER_LOT,
      vesselId: sampleId(20),
      loss: litres(0.5),
      occurredAt: '2026-03-20T09:00:00Z',
    },
  },
  createSampleDay: {
    summary: 'What the readings of a day took out',
    value: { premisesId: PREMISES, day: '2026-03-12' },
  },
};
