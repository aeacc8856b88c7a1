import { Injectable } from '@nestjs/common';
import { headOf } from '../../../ledger/books/head.js';
import type { FlowLine } from '../../../ledger/figures/flow.reader.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { DutyInputReader } from './duty-input.reader.js';
import { EarlierInputReader } from './earlier-input.reader.js';
import { EntryReader } from './entry.reader.js';
import { headPremises, headProducer } from './report-head.js';
import { FlowInputReader } from './flow-input.reader.js';
import { lateAfterHours } from './late-after.js';
import type { ReportInput } from './report-input.js';
import { StockInputReader } from './stock-input.reader.js';

const present = (values: readonly (string | null)[]): string[] => [
  ...new Set(values.filter((value): value is string => value !== null)),
];
const corrections = (listed: readonly FlowLine[]) => listed.filter(({ kind }) => kind === 'earlier-period');
const correctedIn = (listed: readonly FlowLine[]): string[] =>
  present(corrections(listed).map(({ reverses, corrects }) => reverses ?? corrects));
const earlierPeriodsOf = (listed: readonly FlowLine[]): string[] =>
  present(corrections(listed).map(({ earlierPeriodId }) => earlierPeriodId));

/** Reads what a report is made of. Set-based: the number of queries does not grow with the postings. */
@Injectable()
export class ReportReader {
  constructor(
    private readonly earlier: EarlierInputReader,
    private readonly flows: FlowInputReader,
    private readonly stock: StockInputReader,
    private readonly duty: DutyInputReader,
    private readonly entries: EntryReader,
  ) {}

  async input(tx: Tx, ctx: RequestContext, period: PeriodRow, status: ReportInput['status']): Promise<ReportInput> {
    const { producerId } = ctx;
    const { premisesId, endsAt } = period;
    const premises = await tx.rowThere('premises', { producerId, id: premisesId });
    const earlier = await this.earlier.of(tx, producerId, period);
    const flows = await this.flows.of(tx, producerId, period, earlier.opening.source === 'first-period');
    const duty = await this.duty.of(tx, producerId, period);
    const moved = [...duty.movements, ...duty.returnedReleases, ...duty.differences, ...flows.listed];
    return {
      status,
      producer: headProducer(ctx, duty.settings),
      premises: headPremises(premises, period),
      period,
      ...earlier,
      ...flows,
      ...duty,
      ...(await this.stock.of(tx, producerId, { premisesId, at: endsAt }, moved)),
      productsCounted: await this.entries.productsCounted(tx, producerId, period),
      late: await this.entries.late(tx, producerId, period, lateAfterHours(duty.settings)),
      entryDays: await this.entries.days(tx, producerId, period, period.timeZone),
      asEntered: await this.entries.asEntered(tx, producerId, correctedIn(flows.listed)),
      declared: await this.entries.declared(tx, producerId, earlierPeriodsOf(flows.listed)),
      methods: await this.entries.methods(tx, producerId, period),
      head: await headOf(tx, producerId),
    };
  }
}
