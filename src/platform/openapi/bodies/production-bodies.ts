import type { BodyExamples } from './body-examples.js';
import {
  celsius,
  FERMENTER,
  FLAVOURING_LOT,
  gravity,
  HYDROMETER,
  litres,
  LOT,
  OTHER_LOT,
  percent,
  PERSON,
  PREMISES,
  sampleId,
  SPIRIT_LOT,
  SUGAR,
  SUGAR_LOT,
  TANK,
  YEAST,
} from './body-examples.js';

const READING = {
  kind: 'gravity',
  gravity: gravity(1.012),
  sampleTemperature: celsius(19.5),
  instrumentId: HYDROMETER,
  vesselId: FERMENTER,
  takenAt: '2026-03-09T08:00:00Z',
};

/** Bodies of readings, findings and the work in the cellar. */
export const PRODUCTION_BODIES: BodyExamples = {
  receiveMaterialLot: {
    summary: '25 kg of sugar',
    value: {
      materialId: SUGAR,
      premisesId: PREMISES,
      code: 'SU-2026-03',
      supplier: 'Sugar merchant (invented)',
      document: { number: 'INV-2026-118', date: '2026-02-27' },
      mass: { value: 25, unit: 'kg' },
      occurredAt: '2026-03-01T09:00:00Z',
    },
  },
  countMaterialLot: {
    summary: 'What is left of the sugar',
    value: { quantity: { value: 6.5, unit: 'kg' }, reasonCode: 'breakage', occurredAt: '2026-03-31T17:00:00Z' },
  },
  writeOffMaterialLot: {
    summary: 'Sugar that got wet',
    value: { quantity: { value: 1, unit: 'kg' }, reasonCode: 'spoilage', occurredAt: '2026-03-20T09:00:00Z' },
  },
  confirmReading: {
    summary: 'Read again: the gravity did rise',
    value: { confirm: ['gravity-rising'], personId: PERSON },
  },
  createReading: { summary: 'A gravity by hydrometer', value: READING },
  strikeReading: {
    summary: 'Misread, and entered again',
    value: { reasonCode: 'misread', replacement: { ...READING, gravity: gravity(1.021) } },
  },
  correctReading: {
    summary: 'What would follow from the right value, before it is done',
    value: { reasonCode: 'misread', dryRun: true, replacement: { ...READING, gravity: gravity(1.021) } },
  },
  enterStep: {
    summary: 'Heated to 80 °C for 15 minutes',
    value: { kind: 'heat', temperature: celsius(80), duration: { value: 15, unit: 'min' }, vesselId: FERMENTER },
  },
  chargeWash: {
    summary: '200 L of wash with its sugar',
    value: {
      vesselId: FERMENTER,
      volume: litres(200),
      materials: [{ materialLotId: SUGAR_LOT, mass: { value: 18, unit: 'kg' } }],
      occurredAt: '2026-03-02T10:00:00Z',
    },
  },
  chargeSpirit: {
    summary: 'Spirit brought to 5 % vol with water',
    value: {
      vesselId: TANK,
      spirits: [{ materialLotId: SPIRIT_LOT, volume: litres(10) }],
      targetStrength: percent(5),
      occurredAt: '2026-03-02T10:00:00Z',
    },
  },
  gaugeVessel: {
    summary: 'By the sight glass',
    value: { vesselId: FERMENTER, volume: litres(196.5), temperature: celsius(19), occurredAt: '2026-03-12T09:00:00Z' },
  },
  transferLot: {
    summary: 'Off the yeast into a bright tank',
    value: {
      fromVesselId: FERMENTER,
      toVesselId: TANK,
      loss: litres(2),
      occurredAt: '2026-03-14T09:00:00Z',
      personId: PERSON,
    },
  },
  diluteLot: {
    summary: 'Water to 4.5 % vol',
    value: { vesselId: TANK, targetStrength: percent(4.5), occurredAt: '2026-03-14T12:00:00Z' },
  },
  findStrength: {
    summary: 'Of record, from the two gravities',
    value: { method: 'mass-balance', occurredAt: '2026-03-12T10:00:00Z' },
  },
  addToLot: {
    summary: 'Half a litre of flavouring',
    value: {
      vesselId: TANK,
      purpose: 'flavouring',
      materialLotId: FLAVOURING_LOT,
      volume: litres(0.5),
      occurredAt: '2026-03-15T09:00:00Z',
    },
  },
  blendLots: {
    summary: 'Two tanks into a third',
    value: {
      lotId: OTHER_LOT,
      vesselId: sampleId(20),
      components: [
        { vesselId: FERMENTER, volume: litres(60) },
        { vesselId: TANK, volume: litres(40) },
      ],
      occurredAt: '2026-03-15T10:00:00Z',
    },
  },
  splitLot: {
    summary: 'A tenth for another flavour',
    value: {
      fromVesselId: TANK,
      toVesselId: sampleId(20),
      volume: litres(20),
      newLotId: OTHER_LOT,
      occurredAt: '2026-03-15T10:00:00Z',
    },
  },
  cropYeast: {
    summary: 'A litre for the next lot',
    value: {
      vesselId: FERMENTER,
      volume: litres(1),
      materialId: YEAST,
      materialLotCode: 'Y-2026-03',
      occurredAt: '2026-03-14T09:30:00Z',
    },
  },
  planForLot: {
    summary: 'The water for 4.5 % vol, computed and kept',
    value: { kind: 'dilution', dilution: { vesselId: TANK, targetStrength: percent(4.5) } },
  },
  packLot: {
    summary: 'Bottles with a dose of flavouring each',
    value: {
      vesselId: TANK,
      container: 'bottle',
      nominalVolume: { value: 330, unit: 'mL' },
      count: 580,
      declaredStrength: percent(4.8),
      meanFill: { value: 328, unit: 'mL' },
      doses: [{ materialLotId: FLAVOURING_LOT, perContainer: { value: 2, unit: 'mL' } }],
      occurredAt: '2026-03-16T09:00:00Z',
    },
  },
  repack: {
    summary: 'A keg into bottles',
    value: {
      count: 1,
      serials: ['K-017'],
      into: { container: 'bottle', nominalVolume: { value: 330, unit: 'mL' }, count: 90 },
      occurredAt: '2026-03-20T09:00:00Z',
    },
  },
  relabel: {
    summary: 'Another declared strength',
    value: { count: 120, declaredStrength: percent(4.5), occurredAt: '2026-03-20T09:00:00Z' },
  },
  openBooks: {
    summary: 'What a producer has when it begins',
    value: {
      premisesId: PREMISES,
      occurredAt: '2026-03-01T00:00:00Z',
      liquids: [{ lotId: LOT, vesselId: TANK, volume: litres(180), strength: percent(5) }],
      packaged: [
        {
          lotId: OTHER_LOT,
          container: 'bottle',
          nominalVolume: { value: 330, unit: 'mL' },
          count: 240,
          lotMark: 'L-260201',
          declaredStrength: percent(4.8),
          packagedOn: '2026-02-20',
        },
      ],
    },
  },
  postDifference: {
    summary: 'The charge was 201 L',
    value: { reasonCode: 'misread', correct: { volume: litres(201) } },
  },
  reverseOperation: { summary: 'It did not happen', value: { reasonCode: 'did-not-happen' } },
  undoLastEntry: { summary: 'The last entry of a person', value: { personId: PERSON } },
};
