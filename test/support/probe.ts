import { Body, Controller, Get, HttpException, Module, Param, Post, Query } from '@nestjs/common';
import { MetrologyError } from '../../src/metrology/problem.js';
import type { Quantity } from '../../src/metrology/units.js';
import type { Gravity } from '../../src/alcoholometry/liquids/gravity-scales.js';
import { Access } from '../../src/platform/access.js';
import type { Page } from '../../src/platform/pagination.js';
import { PageQuery, decodeCursor, pageOf } from '../../src/platform/pagination.js';
import { Nested, NestedList, Optional } from '../../src/platform/validation/field.js';
import {
  IsDateOnly,
  IsDecimalNumber,
  IsFlag,
  IsGravity,
  IsId,
  IsInstant,
  IsListOf,
  IsOneOf,
  IsPlainText,
  IsQuantityOf,
  IsWholeNumber,
} from '../../src/platform/validation/fields.js';
import { idRule } from '../../src/platform/validation/text-rules.js';

class InnerDto {
  @IsPlainText({ max: 10 })
  label!: string;
}

/** One property for each rule, all of them optional, so that a test sends only what it is about. */
class ProbeDto {
  @Optional()
  @IsPlainText({ max: 20 })
  name?: string;

  @Optional()
  @IsPlainText({ max: 40, multiline: true })
  note?: string;

  @Optional()
  @IsQuantityOf('volume', { min: 0, aboveMin: true, max: 1_000_000, maxDecimals: 6 })
  volume?: Quantity;

  @Optional()
  @IsQuantityOf('temperature', { min: 0, max: 40 })
  temperature?: Quantity;

  @Optional()
  @IsGravity({ withSample: true })
  gravity?: Gravity;

  @Optional()
  @IsInstant()
  at?: string;

  @Optional()
  @IsDateOnly()
  day?: string;

  @Optional()
  @IsDecimalNumber({ min: 0, max: 14, maxDecimals: 2 })
  ph?: number;

  @Optional()
  @IsWholeNumber({ min: 1, max: 1000 })
  count?: number;

  @Optional()
  @IsFlag()
  degassed?: boolean;

  @Optional()
  @IsOneOf(['sugar', 'malt'])
  kind?: string;

  @Optional()
  @IsId()
  lotId?: string;

  @Optional()
  @IsListOf(idRule, { max: 3, unique: true })
  lotIds?: string[];

  @Optional()
  @Nested(() => InnerDto)
  inner?: InnerDto;

  @Optional()
  @NestedList(() => InnerDto, { min: 1, max: 100 })
  inners?: InnerDto[];
}

class NeededDto {
  @IsPlainText({ max: 20 })
  name!: string;
}

class IdParams {
  @IsId()
  id!: string;
}

const FAILURES: Readonly<Record<string, () => Error>> = {
  plain: () => new Error('select * from posting where secret_table failed at /srv/app/main.js'),
  unreachable: () => Object.assign(new Error('connect ECONNREFUSED 10.0.0.1:5432'), { code: 'ECONNREFUSED' }),
  prisma: () =>
    Object.assign(new Error('Raw query failed'), { code: 'P2010', meta: { code: '23505', message: 'ledger_pkey' } }),
  timeout: () => Object.assign(new Error('Transaction API error'), { code: 'P2028' }),
  adapter: () => Object.assign(new Error('DriverAdapterError'), { cause: { kind: 'postgres', code: '57P01' } }),
  teapot: () => new HttpException('short and stout', 418),
  metrology: () =>
    new MetrologyError('out-of-range', 'strength must lie between 0 and 100 %.', {
      pointer: 'strength',
      range: [0, 100],
      unit: '%',
    }),
};

@Access('public')
@Controller('v1/probe')
class ProbeController {
  @Post()
  echo(@Body() body: ProbeDto): ProbeDto {
    return body;
  }

  @Post('needed')
  needed(@Body() body: NeededDto): NeededDto {
    return body;
  }

  @Get('fail/:kind')
  fail(@Param('kind') kind: string): never {
    throw FAILURES[kind]();
  }

  @Get('item/:id')
  item(@Param() params: IdParams): IdParams {
    return params;
  }

  @Get('numbers')
  numbers(@Query() query: PageQuery): Page<number> {
    const after = query.cursor === undefined ? 0 : Number(decodeCursor('numbers', query.cursor, ['number'])[0]);
    const rows = Array.from({ length: 5 }, (_, index) => index + 1).filter((row) => row > after);
    return pageOf(
      'numbers',
      rows.slice(0, query.limit + 1),
      query.limit,
      (row) => [row],
      (row) => row,
    );
  }
}

@Module({ controllers: [ProbeController] })
export class ProbeModule {}
