import { Injectable } from '@nestjs/common';
import type { PeriodRow } from '../../ledger/periods/period.reader.js';
import type { UnnamedRecipient } from '../movements/unnamed-recipients.reader.js';
import { UnnamedRecipientsReader } from '../movements/unnamed-recipients.reader.js';
import type { GaugeDifference } from '../../production/operations/gauges/gauge-differences.reader.js';
import { GaugeDifferencesReader } from '../../production/operations/gauges/gauge-differences.reader.js';
import type { FermentedLot } from '../../production/operations/material-stock/fermented-lots.reader.js';
import { FermentedLotsReader } from '../../production/operations/material-stock/fermented-lots.reader.js';
import type { MaterialOnHand } from '../../production/operations/material-stock/material-stock.reader.js';
import { MaterialStockReader } from '../../production/operations/material-stock/material-stock.reader.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';

/** Entries of a period that were stored and are hard to believe. */
export interface ClosingDoubts {
  readonly gauges: readonly GaugeDifference[];
  readonly lots: readonly FermentedLot[];
  readonly materials: readonly MaterialOnHand[];
  /** Movements without the recipient that the settings asked for. */
  readonly unnamed: readonly UnnamedRecipient[];
  /** Share of the book figure, %, up to which the difference of a gauge is usual. */
  readonly usualGaugePercent: number;
}

/** Reads the doubts about a period, with the settings that say what is usual. */
@Injectable()
export class ClosingDoubtsReader {
  constructor(
    private readonly settings: SettingsReader,
    private readonly gauges: GaugeDifferencesReader,
    private readonly lots: FermentedLotsReader,
    private readonly materials: MaterialStockReader,
    private readonly unnamed: UnnamedRecipientsReader,
  ) {}

  async of(
    tx: Tx,
    producerId: string,
    period: PeriodRow,
  ): Promise<{ readonly settings: SettingsInForce; readonly doubts: ClosingDoubts }> {
    const settings = await this.settings.of(tx, producerId);
    const usualGaugePercent = settings.usualGaugeDifference.value;
    const materials = await this.materials.belowZero(tx, producerId);
    return {
      settings,
      doubts: {
        usualGaugePercent,
        gauges: await this.gauges.of(tx, producerId, period, usualGaugePercent),
        lots: await this.lots.aboveFermentables(tx, producerId, period),
        unnamed: await this.unnamed.of(tx, producerId, period.id),
        materials: materials.filter(({ premisesId }) => premisesId === period.premisesId),
      },
    };
  }
}
