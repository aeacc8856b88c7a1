import { Injectable } from '@nestjs/common';
import { groupedNumber } from '../../platform/words.js';
import type { RequestContext } from '../../tenancy/producer-database/context.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import { productionYearDocument } from '../reporting/production-year/production-year-document.js';
import { ProductionYearReader } from '../reporting/production-year/production-year.reader.js';
import type { AttentionItem } from './attention.dto.js';

const rounded = (value: number): string => groupedNumber(Number(value.toFixed(2)));

/** Finds thresholds of yearly production that are near or exceeded. */
@Injectable()
export class ProductionAttention {
  constructor(private readonly reader: ProductionYearReader) {}

  async items(tx: Tx, ctx: RequestContext, { productionYear }: SettingsInForce, now: Date): Promise<AttentionItem[]> {
    if ((productionYear?.thresholds ?? []).length === 0) {
      return [];
    }
    const { year, thresholds } = productionYearDocument(await this.reader.input(tx, ctx, undefined, now), now);
    return thresholds
      .filter(({ state }) => state !== 'below')
      .map(({ name, measure, limit, counted, estimated, state }): AttentionItem => {
        const unit = measure === 'volume' ? 'hL' : 'hL of pure alcohol';
        const expected =
          estimated === undefined ? '' : ` The estimate for the coming year is ${rounded(estimated.value)} ${unit}.`;
        return {
          code: state === 'above' ? 'production-above-threshold' : 'production-near-threshold',
          detail: `${name}: ${rounded(counted.value)} of ${rounded(limit.value)} ${unit} were produced in the production year ${year}.${expected}`,
          settle: 'See what changes with it, relief or duty: local law decides. Then set the threshold anew.',
          links: [`/v1/production-years/${year}`, '/v1/producer'],
        };
      });
  }
}
