import { Injectable } from '@nestjs/common';
import { Prisma } from '../../../generated/prisma/client.js';
import type { Span } from '../../../ledger/figures/span.js';
import { spanTable } from '../../../ledger/figures/span.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';

/** A sum of postings of one category, stage, duty status and kind of container; the effect on stock. */
export interface StageFigureRow {
  /** `change` of the stock accounts themselves, `line` by nominal kind, `moved` from stage to stage. */
  readonly role: 'change' | 'line' | 'moved';
  /** Line of the report; work that moved stock: `packed` by a run, `repacked`, `unpacked` into a vessel, or `moved`; else empty. */
  readonly kind: string;
  readonly category: string;
  readonly stage: string;
  readonly dutyStatus: string;
  readonly direction: 'in' | 'out';
  readonly container: string | null;
  readonly nominalLitres: string | null;
  readonly litres: string;
  readonly lpa: string;
}

const IN_KEGS = Prisma.sql`('keg', 'cask')`;

/** Sums the postings of a span by stage, with what a return tells apart: packed in kegs, otherwise packed, and the packing run between. */
@Injectable()
export class StageFiguresReader {
  /**
   * An event is an operation with what reverses and corrects it; its net effect decides the direction. A line stands at the stage that its subject names: a run's own
   * losses at `racking` or `bottling`. All postings of an event at one stage add up to what it moved to or from the other stages. A run passes
   * its containers' contents on: in from the vessel, out into the containers. Containers that are opened into a vessel move their contents; the report has them on the
   * line of what is used as material, where they cancel out.
   */
  of(tx: Tx, producerId: string, span: Span): Promise<StageFigureRow[]> {
    return tx.$queryRaw<StageFigureRow[]>`
      WITH raw AS MATERIALIZED (
        SELECT coalesce(r.corrects, o.reverses, o.corrects, o.id) AS event, coalesce(r.kind, o.kind) AS work, a.side, a.stage AS account_stage,
               CASE WHEN a.kind <> 'stock-difference' THEN a.kind
                    WHEN sum(p.litres) OVER (PARTITION BY a.kind, coalesce(v.corrects, v.explains, v.id, o.corrects, o.explains, o.id)) > 0
                    THEN 'stock-shortage' ELSE 'stock-surplus' END AS kind, a.duty_status,
               coalesce(p.category, '') AS category, coalesce(a.packaged_lot_id, p.packaged_lot_id) AS packaged_lot_id, p.material_lot_id, p.litres,
               p.lpa_fermented + p.lpa_added AS lpa
          FROM ${spanTable([span])} JOIN account a ON a.premises_id = span.premises_id
          JOIN posting p ON p.producer_id = a.producer_id AND p.account_id = a.id
          JOIN operation o ON o.producer_id = p.producer_id AND o.sequence = p.operation_sequence
          LEFT JOIN operation r ON r.producer_id = o.producer_id AND r.id = coalesce(o.reverses, o.corrects)
          LEFT JOIN operation v ON v.producer_id = o.producer_id AND v.id = o.reverses
         WHERE a.producer_id = ${producerId}::uuid AND p.occurred_at >= span.starts_at AND p.occurred_at < span.ends_at
           AND NOT (span.is_first AND coalesce(v.kind, o.kind) = 'opening')),
      run AS (
        SELECT k.operation_id AS event, k.container, k.nominal_litres FROM packaged_lot k
         WHERE k.producer_id = ${producerId}::uuid AND k.operation_id IN (SELECT event FROM raw WHERE work = 'packaging')),
      line AS MATERIALIZED (
        SELECT w.event, CASE WHEN w.work = 'rework' AND w.kind = 'used-as-material' THEN 'pass' ELSE w.side END AS side, w.kind, CASE w.work WHEN 'packaging' THEN 'packed' WHEN 'repacking' THEN 'repacked' WHEN 'rework' THEN 'unpacked' ELSE 'moved' END AS work,
               w.duty_status, w.category, w.litres, w.lpa, run.event IS NOT NULL AS in_run,
               coalesce(run.container, k.container) AS container, coalesce(run.nominal_litres, k.nominal_litres) AS nominal_litres,
               CASE WHEN w.side = 'stock' AND w.account_stage <> 'packed' THEN w.account_stage
                    WHEN w.side = 'stock' THEN CASE WHEN k.container IN ${IN_KEGS} THEN 'keg' ELSE 'packed' END
                    WHEN w.material_lot_id IS NOT NULL THEN 'materials'
                    WHEN run.event IS NOT NULL THEN CASE WHEN run.container IN ${IN_KEGS} THEN 'racking' ELSE 'bottling' END
                    WHEN k.id IS NULL THEN 'cellar'
                    WHEN k.container IN ${IN_KEGS} THEN 'keg' ELSE 'packed' END AS stage
          FROM raw w LEFT JOIN run ON run.event = w.event
          LEFT JOIN packaged_lot k ON k.producer_id = ${producerId}::uuid AND k.id = w.packaged_lot_id),
      part AS (
        SELECT event, 'change' AS role, '' AS kind, category, stage, duty_status, CASE WHEN stage IN ('keg', 'packed') THEN container END AS container,
               CASE WHEN stage IN ('keg', 'packed') THEN nominal_litres END AS nominal_litres, sum(litres) AS l, sum(lpa) AS a
          FROM line WHERE side = 'stock' GROUP BY event, category, stage, duty_status, 7, 8
        UNION ALL
        SELECT event, 'line', kind, category, stage, duty_status, container, nominal_litres, -sum(litres), -sum(lpa)
          FROM line WHERE side = 'nominal' GROUP BY event, kind, category, stage, duty_status, container, nominal_litres
        UNION ALL
        SELECT event, 'moved', min(work), category, stage, duty_status, min(container), min(nominal_litres), sum(litres), sum(lpa)
          FROM line WHERE side <> 'pass' AND NOT (in_run AND stage IN ('racking', 'bottling')) GROUP BY event, category, stage, duty_status
        UNION ALL
        SELECT event, 'moved', min(work), category, CASE WHEN min(container) IN ${IN_KEGS} THEN 'racking' ELSE 'bottling' END, duty_status, min(container),
               min(nominal_litres), -sum(litres), -sum(lpa)
          FROM line WHERE in_run AND stage IN ('cellar', 'keg', 'packed') GROUP BY event, category, stage, duty_status)
      SELECT role, kind, category, stage, duty_status AS "dutyStatus", CASE WHEN l > 0 OR l = 0 AND a > 0 THEN 'in' ELSE 'out' END AS direction, container,
             trim_scale(nominal_litres)::text AS "nominalLitres", sum(l)::text AS litres, sum(a)::text AS lpa
        FROM part WHERE l <> 0 OR a <> 0
       GROUP BY role, kind, category, stage, duty_status, 6, container, nominal_litres
       ORDER BY role, kind COLLATE "C", category COLLATE "C", stage COLLATE "C", duty_status COLLATE "C", 6, container COLLATE "C", nominal_litres`;
  }
}
