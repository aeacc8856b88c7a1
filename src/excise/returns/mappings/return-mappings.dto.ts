import { ApiProperty } from '@nestjs/swagger';
import { ListOf } from '../../../platform/openapi/list-of.js';
import { PageQuery } from '../../../platform/pagination.js';
import { Nested, NestedList, Optional } from '../../../platform/validation/field.js';
import {
  IsFlag,
  IsId,
  IsInstant,
  IsOneOf,
  IsPattern,
  IsPlainText,
  IsWholeNumber,
} from '../../../platform/validation/fields.js';
import { SourceReference } from '../../duty/rule-sets/rule-sets.dto.js';
import type { ReturnMapping as Mapping, ReturnUnit } from '../rules/mapping.js';
import { RETURN_UNIT_NAMES } from '../rules/mapping.js';
import { IsNames, ReturnFormColumn, ReturnFormLine, ReturnFormTie, UnitRounding } from './form-lines.dto.js';

export class NewReturnMapping {
  @IsPlainText(
    { max: 120 },
    { description: 'A mapping of a name that exists is its next version.', example: 'Monthly report' },
  )
  name: string;

  @IsPlainText({ max: 200 }, { example: 'Brewer’s monthly report' })
  formTitle: string;

  @NestedList(() => SourceReference, { max: 20 }, { description: 'Where the lines are published, and of when.' })
  sources: SourceReference[];

  @Optional()
  @IsPattern(
    /^[A-Z]{3}$/,
    'a currency code of three capital letters',
    { max: 3 },
    { description: 'Of its money.', example: 'GBP' },
  )
  currency?: string;

  @IsOneOf(RETURN_UNIT_NAMES, {
    description: 'Unit of lines that have none of their own.',
    example: 'barrel-31-us-gallons',
  })
  unit: ReturnUnit;

  @Optional()
  @NestedList(
    () => UnitRounding,
    { max: 50 },
    { description: 'Rounding of lines that have none of their own, by their unit.' },
  )
  rounding?: UnitRounding[];

  @Optional()
  @NestedList(() => ReturnFormColumn, { max: 20 })
  columns?: ReturnFormColumn[];

  @NestedList(() => ReturnFormLine, { min: 1, max: 300 })
  lines: ReturnFormLine[];

  @Optional()
  @NestedList(() => ReturnFormTie, { max: 50 }, { description: 'Lines that have to be equal.' })
  ties?: ReturnFormTie[];

  @Optional()
  @IsNames('Categories of the producer that the form does not take.', 100)
  leavesOut?: string[];
}

export class ReturnMapping {
  @IsId()
  id: string;

  @IsWholeNumber(
    { min: 1, max: 2147483647 },
    { description: 'Version of the mapping of this name: 1, 2, 3…; none is ever edited.' },
  )
  number: number;

  @Nested(() => NewReturnMapping)
  mapping: NewReturnMapping;

  @IsPlainText({ max: 200 })
  advice: string;

  @IsWholeNumber({ min: 1, max: 2147483647 }, { description: 'For If-Match.' })
  version: number;

  @IsInstant()
  createdAt: string;

  @Optional()
  @IsInstant({ description: 'Left out while it is in use.' })
  retiredAt?: string;
}

export class ReturnMappingPage extends ListOf(ReturnMapping) {}

export class ReturnMappingQuery extends PageQuery {
  @Optional()
  @IsPlainText({ max: 120 }, { description: 'Only versions of the mapping of this name.' })
  name?: string;
}

export class ReturnMappingChange {
  @IsFlag({ description: 'true: it is offered no more; returns made by it stay what they were.' })
  retired: boolean;
}

export class ReturnStartingPoint {
  @IsPlainText({ max: 60 })
  key: string;

  @IsPlainText({ max: 200 })
  title: string;

  @IsPlainText({ max: 600 }, { description: 'What of it is published, and what is from memory.' })
  seen: string;

  @IsPlainText({ max: 200 })
  advice: string;

  @ApiProperty({ type: NewReturnMapping, description: 'A body for POST /v1/return-mappings.' })
  mapping: Mapping;
}

export class ReturnStartingPointPage extends ListOf(ReturnStartingPoint) {}
