import type { Prisma, Producer as ProducerRow } from '../../generated/prisma/client.js';
import type { Quantity } from '../../metrology/units.js';
import { Nested, Optional } from '../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../platform/validation/fields.js';
import { fromJson, toJson } from '../settings/stored-json.js';
import type { LossSumLimits } from './loss-sum-limits.dto.js';
import { LOSS_REASONS } from '../reasons/reason-codes.js';
import { LossSettings } from './loss-settings.dto.js';
import { ProducerDisplayUnits } from './display-units.dto.js';

export class NewProducer {
  @IsPlainText({ max: 120 }, { example: 'Mill Lane Drinks (invented)' })
  name: string;
}

export class CreatedProducer {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;
}

export class CreatedProducerWithKey {
  @Nested(() => CreatedProducer)
  producer: CreatedProducer;

  @IsPlainText({ max: 100 }, { description: 'The first key, shown this once.' })
  key: string;
}

/** Answers of a setting to a movement without its recipient. */
const RECIPIENT_RULES = ['no', 'flag', 'refuse'] as const;

/** Settings of a producer: its own choices, never advice. */
export class ProducerSettings extends LossSettings {
  @IsQuantityOf(
    'volume',
    { min: 0, max: 10, maxDecimals: 6 },
    { description: 'Volume that one reading takes out of the vessel.' },
  )
  sampleVolume: Quantity;

  @IsWholeNumber(
    { min: 2, max: 30 },
    {
      description:
        'Years that records are kept at the least, counted from the last day of the period; local law decides. Published rules: 2 to 10 years.',
      example: 6,
    },
  )
  retentionYears: number;

  @Optional()
  @IsFlag({
    description:
      'True if a period may be closed with a stock-take difference that has no reason; true if it is left out.',
  })
  allowUnexplainedDifferences?: boolean;

  @Optional()
  @IsFlag({
    description:
      'True if a period may be closed while a release lacks its duty because the rules have no rate, band or category for it; false if left out. A rate that is entered later gives the money in a later report.',
  })
  allowIncompleteDuty?: boolean;

  @Optional()
  @IsDecimalNumber(
    { min: 0.05, max: 2, maxDecimals: 3 },
    {
      description: 'A ferment is terminal once its gravity changes by no more than this, °P; 0.25 if left out.',
      example: 0.25,
    },
  )
  terminalChangePlato?: number;

  @Optional()
  @IsWholeNumber(
    { min: 6, max: 336 },
    { description: 'Hours over which that has to hold; 48 if left out.', example: 48 },
  )
  terminalAfterHours?: number;

  @Optional()
  @IsWholeNumber(
    { min: 1, max: 720 },
    { description: 'Hours after a gravity at which the next one of a ferment is due; 48 if left out.', example: 48 },
  )
  gravityEveryHours?: number;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: 365 },
    { description: 'Days ahead from which the end of a calibration is announced; 30 if left out.', example: 30 },
  )
  calibrationNoticeDays?: number;

  @Optional()
  @IsWholeNumber(
    { min: 0, max: 365 },
    {
      description: 'Days after an export or a dispatch under suspension at which its proof is missed; 30 if left out.',
      example: 30,
    },
  )
  proofDueDays?: number;

  @Optional()
  @IsOneOf(RECIPIENT_RULES, {
    description:
      'Whether releases above `retailVolume`, dispatches, exports and packed samples need their recipient in `counterparty`: `flag` marks an entry without it and lists it, `refuse` refuses it; `no` if left out.',
  })
  recipientRequired?: (typeof RECIPIENT_RULES)[number];

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 6 },
    {
      description: 'Largest volume of one release that counts as retail and needs no recipient; 20 L if left out.',
      example: { value: 20, unit: 'L' },
    },
  )
  retailVolume?: Quantity;

  @Optional()
  @IsFlag({
    description: 'True if a return has to name in `returnOf` the movement by which it went out; false if left out.',
  })
  returnOfRequired?: boolean;

  @Optional()
  @Nested(() => ProducerDisplayUnits, {
    description: 'Units in which every answer gives its quantities too, as `alsoIn`; none if left out.',
  })
  displayUnits?: ProducerDisplayUnits;
}

/** Settings with the defaults of those that were left out and that have one. */
export interface SettingsInForce extends ProducerSettings {
  readonly gravityEveryHours: number;
  readonly calibrationNoticeDays: number;
  readonly proofDueDays: number;
  readonly recipientRequired: (typeof RECIPIENT_RULES)[number];
  readonly retailVolume: Quantity;
  readonly returnOfRequired: boolean;
  readonly filingNoticeDays: number;
  readonly usualGaugeDifference: Quantity;
  readonly usualPackagingLoss: Quantity;
  readonly lossesOverPeriods: LossSumLimits;
}

export const DEFAULT_SETTINGS: SettingsInForce = {
  labelTolerance: { value: 0.3, unit: '%' },
  allowedRisk: 0.05,
  sampleVolume: { value: 0, unit: 'mL' },
  retentionYears: 6,
  allowUnexplainedDifferences: true,
  allowIncompleteDuty: false,
  // The next business day is common practice, no source.
  lateAfterDays: 1,
  // About one point of SG over two days is common practice, no source.
  terminalChangePlato: 0.25,
  terminalAfterHours: 48,
  // A reading every other day, a month's notice and a month for a proof are common practice, no source.
  gravityEveryHours: 48,
  calibrationNoticeDays: 30,
  proofDueDays: 30,
  recipientRequired: 'no',
  // Common practice, no source.
  retailVolume: { value: 20, unit: 'L' },
  returnOfRequired: false,
  // A week, common practice, no source.
  filingNoticeDays: 7,
  // NIST/SEMATECH e-Handbook, 6.3.2.3: k = 0.5 with h = 4 or 5.
  lossesOverPeriods: { referenceValue: 0.5, decisionLimit: 5 },
  // Both common practice, no source.
  usualGaugeDifference: { value: 5, unit: '%' },
  usualPackagingLoss: { value: 3, unit: '%' },
  // An unexplained shortage is taxed in most of the countries compared in test/reference/excise/movement-kinds.csv.
  // Which reasons explain one is common practice, no source; theft is often taxed, and a text alone proves nothing.
  chargeableLosses: [
    { line: 'stock-difference', freeReasons: LOSS_REASONS.filter((code) => code !== 'theft' && code !== 'other') },
  ],
};

export class ProducerChange {
  @Optional()
  @IsPlainText({ max: 120 })
  name?: string;

  @Optional()
  @Nested(() => ProducerSettings)
  settings?: ProducerSettings;
}

export class Producer {
  @IsId()
  id: string;

  @IsPlainText({ max: 120 })
  name: string;

  @IsFlag({ description: 'Made by a simulation: none of its data are real.' })
  simulated: boolean;

  @Nested(() => ProducerSettings)
  settings: ProducerSettings;

  @IsWholeNumber({ min: 1, max: 2147483647 })
  version: number;

  @IsInstant()
  createdAt: string;
}

/** Settings as they are stored, with the defaults for those that were never chosen. */
export const storedSettings = ({ settings }: Pick<ProducerRow, 'settings'>): SettingsInForce => ({
  ...DEFAULT_SETTINGS,
  ...fromJson(ProducerSettings, 'producer.settings', {
    ...toJson(DEFAULT_SETTINGS),
    ...(settings as Prisma.JsonObject),
  }),
});

export const toProducer = (row: ProducerRow): Producer => ({
  id: row.id,
  name: row.name,
  simulated: row.simulated,
  settings: storedSettings(row),
  version: row.version,
  createdAt: row.createdAt.toISOString(),
});
