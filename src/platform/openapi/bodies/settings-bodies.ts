import type { BodyExamples } from './body-examples.js';
import { litres, LOT, percent, PREMISES, RECIPE, SUGAR } from './body-examples.js';

const PLAN = {
  kind: 'sugar-wash',
  volume: litres(200),
  fermentables: [{ materialId: SUGAR, kind: 'dextrose-monohydrate', mass: { value: 18, unit: 'kg' } }],
};

/** Bodies of producers, premises, people, registers, recipes, tastings and duty rules. */
export const SETTINGS_BODIES: BodyExamples = {
  createProducer: { summary: 'A new business', value: { name: 'Mill Lane Drinks (invented)' } },
  changeProducer: { summary: 'Another name', value: { name: 'Mill Lane Drinks (invented)' } },
  issueOwnerKey: { summary: 'After the last owner key was lost', value: { name: 'Owner, again' } },
  createKey: { summary: 'A key that reads all and writes nothing', value: { name: 'Officer', role: 'auditor' } },
  createPremises: { summary: 'A site in Ireland', value: { name: 'Mill Lane', timeZone: 'Europe/Dublin' } },
  changePremises: { summary: 'Another name', value: { name: 'Mill Lane, yard' } },
  createPerson: { summary: 'Somebody who reads instruments', value: { name: 'A. Brewer (invented)' } },
  openPeriod: {
    summary: 'March 2026',
    value: { premisesId: PREMISES, startsOn: '2026-03-01', endsBefore: '2026-04-01' },
  },
  createVessel: {
    summary: 'A fermenter of 250 L',
    value: { premisesId: PREMISES, name: 'FV 1', kind: 'fermenter', capacity: litres(250) },
  },
  changeVessel: { summary: 'Its capacity put right', value: { capacity: litres(260) } },
  createInstrument: {
    summary: 'A hydrometer',
    value: { name: 'Hydrometer 2', kind: 'hydrometer', scale: 'sg-20-20', resolution: 0.001 },
  },
  changeInstrument: { summary: 'Out of use', value: { retired: true } },
  createCalibration: {
    summary: 'By a certificate, for a year',
    value: {
      performedOn: '2026-01-10',
      validUntil: '2027-01-09',
      certificate: 'C-0042',
      regions: [{ from: 0.98, to: 1.1, correction: 0, standardUncertainty: 0.0002 }],
    },
  },
  createMaterial: {
    summary: 'Dextrose',
    value: { name: 'Dextrose monohydrate', kind: 'sugar', fermentable: 'dextrose-monohydrate' },
  },
  changeMaterial: { summary: 'Another name', value: { name: 'Dextrose monohydrate, 25 kg' } },
  createRecipe: {
    summary: 'A sugar ferment of 200 L',
    value: { name: 'House ferment', category: 'sugar-ferment', plan: PLAN },
  },
  createRecipeVersion: { summary: 'A changed plan', value: { plan: { ...PLAN, volume: litres(190) } } },
  changeRecipe: { summary: 'No longer made', value: { retired: true } },
  createTasting: {
    summary: 'Triangle test of two lots',
    value: {
      name: 'Two yeasts',
      method: 'triangle',
      drinks: [{ label: 'Old yeast', lotId: LOT }, { label: 'New yeast' }],
      servings: 6,
    },
  },
  changeTasting: { summary: 'No more answers', value: { closed: true } },
  answerTasting: { summary: 'The odd one of the first serving', value: { serving: 1, chosen: '417' } },
  createLot: {
    summary: 'From the first version of a recipe',
    value: { premisesId: PREMISES, recipeVersion: { recipeId: RECIPE, number: 1 } },
  },
  changeLot: { summary: 'Nothing of it is in stock any more', value: { retired: true } },
  createReturnMapping: {
    summary: 'A form of two lines: what was released, and the stock at the end',
    value: {
      name: 'Monthly return (invented)',
      formTitle: 'Monthly return',
      sources: [],
      unit: 'hL',
      rounding: [{ unit: 'hL', mode: 'half-up', places: 2 }],
      lines: [
        { line: '1', label: 'Released', figures: [{ figures: ['released'], sign: 'minus' }] },
        { line: '2', label: 'Stock at the end', figures: [{ figures: ['stock-at-end'] }] },
      ],
    },
  },
  changeReturnMapping: { summary: 'Offer this version no more', value: { retired: true } },
  createDutyRuleSet: {
    summary: 'By the declared strength, cut to one place',
    value: {
      name: 'By the declared strength',
      validFrom: '2026-01-01',
      cadence: 'month',
      strengthForDuty: { rule: 'declared' },
      categories: [
        {
          code: 'all',
          name: 'Everything',
          basis: 'litre-of-alcohol',
          unit: 'L',
          bands: [{ code: 'all', fromStrength: percent(0) }],
          rounding: [{ name: 'strength', basis: 'strength', mode: 'cut', places: 1 }],
        },
      ],
    },
  },
};
