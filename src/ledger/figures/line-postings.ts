import { Prisma } from '../../generated/prisma/client.js';
import { linesOfGroup } from './report-lines.js';
import type { Span } from './span.js';
import { openingStock, spanTable } from './span.js';

/**
 * Every posting on nominal accounts in the spans, with its line of the report (`kind`), the group of the line (`grp`) and the event that it belongs
 * to: an operation with what reverses it. A difference of a stock-take is a surplus or a shortage by the sum of the count with what corrects and
 * explains it. Opening stock of a first period is not among them: it is there before the period begins.
 */
export const linePostings = (producerId: string, spans: readonly Span[]): Prisma.Sql => Prisma.sql`
  SELECT z.*, CASE WHEN z.kind = ANY (${linesOfGroup('in')}) THEN 'in' WHEN z.kind = ANY (${linesOfGroup('out')}) THEN 'out' ELSE 'adjusted' END AS grp
    FROM (
      SELECT p.producer_id, p.operation_sequence, p.line, p.litres, p.lpa_fermented AS fermented, p.lpa_added AS added,
             a.premises_id, a.duty_status, coalesce(p.category, '') AS category, o.occurred_at, coalesce(o.reverses, o.id) AS event,
             CASE WHEN a.kind <> 'stock-difference' THEN a.kind
                  WHEN sum(p.litres) OVER (PARTITION BY a.kind, coalesce(r.corrects, r.explains, r.id, o.corrects, o.explains, o.id)) > 0
                  THEN 'stock-shortage' ELSE 'stock-surplus' END AS kind
        FROM ${spanTable(spans)} JOIN account a ON a.premises_id = span.premises_id
        JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
        JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
        LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = o.reverses
       WHERE a.producer_id = ${producerId}::uuid AND a.side = 'nominal' AND p.occurred_at >= span.starts_at AND p.occurred_at < span.ends_at
         AND NOT ${openingStock}) z`;
