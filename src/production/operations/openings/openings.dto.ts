import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { idRule, textRule } from '../../../platform/validation/text-rules.js';
import { DocumentReference } from '../../shared/document.dto.js';
import { EventBody } from '../../shared/event.dto.js';
import type { WireQuantity } from '../../shared/event.dto.js';
import { StrengthCertificate } from '../../shared/strength-certificate.dto.js';
import { CONTAINERS } from '../packaging/packaging.dto.js';

const STRENGTH = { min: 0, max: 100, maxDecimals: 6 };

/** Strength as the producer states it when the books begin; no method of the service found it. */
export class StatedStrength {
  @Optional()
  @IsQuantityOf('fraction', STRENGTH, {
    description: 'Strength of record when the books begin; leave it out for liquid that still ferments.',
  })
  strength?: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'fraction',
    { min: 0, max: 10, maxDecimals: 6 },
    { description: '± 0.3 % vol rectangular if left out.' },
  )
  strengthStandardUncertainty?: WireQuantity;

  @Optional()
  @Nested(() => StrengthCertificate, { description: 'Certificate of the strength; without it the producer states it.' })
  certificate?: StrengthCertificate;

  @Optional()
  @Nested(() => DocumentReference, { description: 'Record that the stock is entered from, as the last inventory.' })
  document?: DocumentReference;

  @Optional()
  @IsDecimalNumber(
    { min: 0, max: 100, maxDecimals: 6, unit: '%' },
    { description: 'Share of the alcohol that was added, %; 0 if left out.' },
  )
  addedShare?: number;
}

export class OpeningLiquid extends StatedStrength {
  @IsId()
  lotId: string;

  @IsId()
  vesselId: string;

  @IsQuantityOf('volume', { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 }, { description: 'At 20 °C.' })
  volume: WireQuantity;

  @Optional()
  @IsQuantityOf(
    'volume',
    { min: 0, max: 100_000, maxDecimals: 9 },
    { description: 'Of the volume; ± 1 % rectangular if left out.' },
  )
  standardUncertainty?: WireQuantity;

  @Optional()
  @IsId({ description: 'Instrument by which the volume was found.' })
  instrumentId?: string;

  @Optional()
  @IsDecimalNumber(
    { min: -5, max: 60, maxDecimals: 6 },
    { description: 'Real extract, °P; a dilution or blend needs it to compute the volume.' },
  )
  realExtract?: number;
}

export class OpeningPackaged extends StatedStrength {
  @IsId()
  lotId: string;

  @IsOneOf(CONTAINERS)
  container: (typeof CONTAINERS)[number];

  @IsQuantityOf('volume', { min: 0, aboveMin: true, max: 10_000, maxDecimals: 6 })
  nominalVolume: WireQuantity;

  @IsWholeNumber({ min: 1, max: 10_000_000 })
  count: number;

  @IsPlainText({ max: 60 })
  lotMark: string;

  @IsQuantityOf('fraction', { min: 0, max: 100, maxDecimals: 3 })
  declaredStrength: WireQuantity;

  @IsDateOnly()
  packagedOn: string;
}

export class NewOpening extends EventBody {
  @IsId()
  premisesId: string;

  @Optional()
  @NestedList(() => OpeningLiquid, { max: 200 })
  liquids?: OpeningLiquid[];

  @Optional()
  @NestedList(() => OpeningPackaged, { max: 500 })
  packaged?: OpeningPackaged[];

  @Optional()
  @IsFlag({ description: 'true to open with nothing in stock.' })
  nothing?: boolean;
}

export class OpeningAnswer {
  @IsId()
  operationId: string;

  @IsInstant()
  occurredAt: string;

  @IsQuantityOf('volume')
  volume: WireQuantity;

  @IsQuantityOf('volume')
  pureAlcohol: WireQuantity;

  @IsListOf(idRule, { max: 1000 })
  compositionIds: string[];

  @IsListOf(idRule, { max: 1000 })
  packagedLotIds: string[];

  @IsListOf(textRule({ max: 500 }), { max: 100 })
  warnings: string[];
}
