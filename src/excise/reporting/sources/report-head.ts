import type { Premises as PremisesRow } from '../../../generated/prisma/client.js';
import type { PeriodDays } from '../../../ledger/periods/period-days.js';
import type { Approval } from '../../../tenancy/premises/premises.dto.js';
import { approvalsOf } from '../../../tenancy/premises/premises.dto.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';
import type { ReportPremises, ReportProducer } from '../documents/report-head.dto.js';

/** The producer as the first page names it. */
export const headProducer = (
  { producerId, producerName, simulated }: RequestContext,
  { legalName, address, taxNumber }: ProducerSettings,
): ReportProducer => ({
  id: producerId,
  name: producerName,
  simulated,
  ...(legalName === undefined ? {} : { legalName }),
  ...(address === undefined ? {} : { address }),
  ...(taxNumber === undefined ? {} : { taxNumber }),
});

const validIn =
  ({ startsOn, endsBefore }: PeriodDays) =>
  ({ validFrom, validUntil }: Approval): boolean =>
    (validFrom === undefined || validFrom < endsBefore) && (validUntil === undefined || validUntil >= startsOn);

/** The premises as the first page names them, with the approvals that were valid on a day of the period. */
export const headPremises = (
  row: Pick<PremisesRow, 'id' | 'name' | 'address' | 'approvals'>,
  period: PeriodDays,
): ReportPremises => ({
  id: row.id,
  name: row.name,
  ...(row.address === null ? {} : { address: row.address }),
  approvals: approvalsOf(row).filter(validIn(period)),
});

/** Facts of the first page that are not given, in words. */
export const missingInHead = (producer: ReportProducer, premises: ReportPremises): string[] => [
  ...(producer.legalName === undefined ? ['the legal name'] : []),
  ...(producer.address === undefined ? ['the address'] : []),
  ...(producer.taxNumber === undefined ? ['the tax number'] : []),
  ...(premises.address === undefined ? ['the address of the premises'] : []),
  ...(premises.approvals.length === 0 ? ['an approval of the premises that was valid in the period'] : []),
];
