import type { Producer as ProducerRow } from '../../generated/prisma/client.js';
import { Nested, NestedList, Optional } from '../../platform/validation/field.js';
import {
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../platform/validation/fields.js';
import { CHARGEABLE_LINES, ChargeableLoss } from './chargeable-loss.dto.js';

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

/** Settings that rooms further on need; the producer's own choices, never advice. */
export class ProducerSettings {
  @IsDecimalNumber(
    { min: 0.01, max: 5, maxDecimals: 3 },
    { description: 'Label tolerance, % vol either way.', example: 0.3 },
  )
  labelTolerancePercent: number;

  @IsDecimalNumber(
    { min: 0.001, max: 0.5, maxDecimals: 3 },
    { description: 'Allowed risk of a conformity decision.', example: 0.05 },
  )
  allowedRisk: number;

  @IsQuantityOf(
    'volume',
    { min: 0, max: 10, maxDecimals: 6 },
    { description: 'What one reading takes out of the vessel.' },
  )
  sampleVolume: { value: number; unit: string };

  @IsWholeNumber({ min: 6, max: 30 }, { description: 'Years that records are kept at the least.', example: 6 })
  retentionYears: number;

  @Optional()
  @IsFlag({
    description: 'Whether a period may be closed with a stock-take difference that has no reason; true if left out.',
  })
  allowUnexplainedDifferences?: boolean;

  @Optional()
  @IsWholeNumber(
    { min: 1, max: 365 },
    { description: 'Days after an event from which its entry counts as late; 1 if left out.', example: 1 },
  )
  lateAfterDays?: number;

  @Optional()
  @NestedList(
    () => ChargeableLoss,
    { max: CHARGEABLE_LINES.length },
    {
      description:
        'Which losses the producer’s rules make chargeable beyond an allowance, each line once; unexplained shortages of stock-takes if left out.',
    },
  )
  chargeableLosses?: ChargeableLoss[];
}

export const DEFAULT_SETTINGS: ProducerSettings = {
  labelTolerancePercent: 0.3,
  allowedRisk: 0.05,
  sampleVolume: { value: 0, unit: 'mL' },
  retentionYears: 6,
  allowUnexplainedDifferences: true,
  // The next business day is common practice, no source.
  lateAfterDays: 1,
  // An unexplained shortage is taxed in most of the countries compared in test/reference/excise/movement-kinds.csv.
  chargeableLosses: [{ line: 'stock-difference', onlyWithoutReason: true }],
};

type SettingsJson = Omit<ProducerSettings, 'chargeableLosses'> & {
  chargeableLosses?: { line: string; onlyWithoutReason?: boolean; allowancePercent?: number }[];
};

/** The settings as plain data, as they are kept. */
export const settingsJson = ({ chargeableLosses, ...settings }: ProducerSettings): SettingsJson => ({
  ...settings,
  ...(chargeableLosses === undefined ? {} : { chargeableLosses: chargeableLosses.map((each) => ({ ...each })) }),
});

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

export const toProducer = (row: ProducerRow): Producer => ({
  id: row.id,
  name: row.name,
  simulated: row.simulated,
  settings: row.settings as unknown as ProducerSettings,
  version: row.version,
  createdAt: row.createdAt.toISOString(),
});
