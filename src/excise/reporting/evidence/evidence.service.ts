import { Injectable } from '@nestjs/common';
import type { Head } from '../../../ledger/books/head.js';
import { headOf } from '../../../ledger/books/head.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { PeriodReader, requireStanding } from '../../../ledger/periods/period.reader.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { evidenceDocument, figureParts } from './evidence-document.js';
import type { OperationEvidence, PeriodEvidence } from './evidence.dto.js';
import type { OperationFact } from './evidence.reader.js';
import { EvidenceReader } from './evidence.reader.js';

const idsOf = (ids: readonly (string | null)[]): string[] => [...new Set(ids.filter((id) => id !== null))];

/** The way back from a figure: operations, findings, readings, instruments, calibrations. */
@Injectable()
export class EvidenceService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly periods: PeriodReader,
    private readonly reader: EvidenceReader,
  ) {}

  operation(ctx: RequestContext, id: string): Promise<OperationEvidence> {
    return this.database.read(ctx, async (tx) => {
      const operations = await this.reader.ofOperation(tx, ctx.producerId, id);
      return operations.length === 0
        ? notFound()
        : this.#evidence(tx, ctx.producerId, operations, await headOf(tx, ctx.producerId));
    });
  }

  period(ctx: RequestContext, id: string): Promise<PeriodEvidence> {
    return this.database.read(ctx, async (tx) => {
      const period = requireStanding((await this.periods.row(tx, ctx.producerId, id)) ?? notFound());
      const frozen = await this.periods.reportBytes(tx, ctx.producerId, id);
      const head =
        frozen === undefined
          ? await headOf(tx, ctx.producerId)
          : headIn(JSON.parse(frozen) as { trail: { sequence: number; hash: string } });
      return this.ofPeriod(tx, ctx.producerId, period, head);
    });
  }

  /** Of a period as the books stood at a head: what came after a closing is not in it. */
  async ofPeriod(tx: Tx, producerId: string, period: PeriodRow, head: Head): Promise<PeriodEvidence> {
    const operations = await this.reader.ofPeriod(tx, producerId, period);
    const evidence = await this.#evidence(tx, producerId, operations, head);
    const figures = figureParts(await this.reader.figures(tx, producerId, period));
    return { periodId: period.id, figures, ...evidence };
  }

  async #evidence(
    tx: Tx,
    producerId: string,
    operations: readonly OperationFact[],
    head: Head,
  ): Promise<OperationEvidence> {
    const until = Number(head.sequence);
    const compositions = [...new Set(operations.flatMap((each) => each.compositions))];
    const findings = await this.reader.findings(tx, producerId, compositions, until);
    const findingIds = findings.map(({ id }) => id);
    const readings = await this.reader.readings(tx, producerId, findingIds, until);
    const measured = [...operations, ...readings];
    return evidenceDocument({
      head,
      operations,
      findings,
      readings,
      materialLots: await this.reader.materialLots(
        tx,
        producerId,
        operations.map(({ sequence }) => sequence),
        findings.flatMap(({ named }) => named),
      ),
      instruments: await this.reader.instruments(
        tx,
        producerId,
        idsOf(measured.map(({ instrumentId }) => instrumentId)),
        until,
      ),
      calibrations: await this.reader.calibrations(
        tx,
        producerId,
        idsOf(measured.map(({ calibrationId }) => calibrationId)),
      ),
    });
  }
}

/** The head that a frozen report prints. */
export const headIn = ({ trail }: { trail: { sequence: number; hash: string } }): Head => ({
  sequence: BigInt(trail.sequence),
  hash: trail.hash,
});
