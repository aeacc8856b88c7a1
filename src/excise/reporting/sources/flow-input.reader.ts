import { Injectable } from '@nestjs/common';
import { FlowReader } from '../../../ledger/figures/flow.reader.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ConsignmentReader } from './consignment.reader.js';
import { LISTED_LINES } from '../documents/loss-lines.js';
import { ReceivedReader } from './received.reader.js';
import type { ReportInput } from './report-input.js';
import { StageReader } from './stage.reader.js';
import { TurnoverReader } from './turnover.reader.js';

/** Input of the flows of a report. */
export type FlowInput = Pick<
  ReportInput,
  | 'flows'
  | 'statusFlows'
  | 'turnover'
  | 'listed'
  | 'received'
  | 'stageFlows'
  | 'stageFigures'
  | 'works'
  | 'consignments'
  | 'premisesNames'
>;

/** Reads what flowed in a period: by line, in and out, from stage to stage and between premises. */
@Injectable()
export class FlowInputReader {
  constructor(
    private readonly flows: FlowReader,
    private readonly turnover: TurnoverReader,
    private readonly stages: StageReader,
    private readonly consignments: ConsignmentReader,
    private readonly received: ReceivedReader,
  ) {}

  /** @param isFirst the first period of its premises */
  async of(tx: Tx, producerId: string, period: PeriodRow, isFirst: boolean): Promise<FlowInput> {
    const spans = [{ ...period, isFirst }];
    const all = await tx.rows('premises', { producerId });
    // Both ends of a consignment are looked at between the same instants, whatever the other premises' own periods are.
    const everywhere = all.map(({ id }) => ({ ...period, premisesId: id }));
    const consignments = await this.consignments.sums(tx, producerId, everywhere);
    const { flows, byStatus } = await this.flows.sums(tx, producerId, spans);
    return {
      flows,
      statusFlows: byStatus,
      turnover: await this.turnover.sums(tx, producerId, spans),
      listed: await this.flows.lines(tx, producerId, period, LISTED_LINES),
      received: await this.received.of(tx, producerId, period),
      stageFlows: await this.stages.stages(tx, producerId, spans),
      stageFigures: await this.stages.figures.of(tx, producerId, spans[0]),
      works: await this.stages.works(tx, producerId, spans),
      consignments: consignments.filter(({ fromPremisesId, toPremisesId }) =>
        [fromPremisesId, toPremisesId].includes(period.premisesId),
      ),
      premisesNames: new Map(all.map(({ id, name }) => [id, name])),
    };
  }
}
