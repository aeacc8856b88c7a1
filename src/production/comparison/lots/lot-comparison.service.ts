import { Injectable } from '@nestjs/common';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { terminalRule } from '../../measuring/fermentation/fermentation.reader.js';
import { malformed } from '../../shared/references.js';
import type { LotComparison, LotComparisonQuery } from './lot-comparison.dto.js';
import { differencesOf } from './lot-comparison.rules.js';
import { LotFiguresReader } from './lot-figures.reader.js';

/** Two lots side by side, with which differences are larger than their uncertainty. */
@Injectable()
export class LotComparisonService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly settings: SettingsReader,
    private readonly figures: LotFiguresReader,
  ) {}

  /** @throws ProblemException `validation-failed` for one lot twice; `not-found` */
  compare(ctx: RequestContext, { lots }: LotComparisonQuery): Promise<LotComparison> {
    const [first, second] = lots.toLowerCase().split(',');
    if (first === second) {
      throw malformed({ pointer: '/lots', rule: 'not-unique', detail: 'Name two different lots.' });
    }
    return this.database.read(ctx, async (tx) => {
      const rule = terminalRule(await this.settings.of(tx, ctx.producerId));
      const a = await this.figures.of(tx, ctx.producerId, first, rule);
      const b = await this.figures.of(tx, ctx.producerId, second, rule);
      return {
        lots: [a.lot, b.lot],
        differences: differencesOf(a.figures, b.figures, b.lot.code),
        warnings: [
          ...a.warnings,
          ...b.warnings,
          'Two lots differ by more than yeast or nutrient alone: a difference between single lots shows no cause.',
        ],
      };
    });
  }
}
