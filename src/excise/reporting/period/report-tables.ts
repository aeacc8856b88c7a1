import type { PeriodReport } from '../documents/report.dto.js';
import type { ReportTable } from '../render/report-table.js';
import {
  balanceTable,
  categoriesTable,
  factsTable,
  lotsInProcessTable,
  reconciliationTable,
  weeksTable,
} from './balance-tables.js';
import { stockSumsTable, stockTable } from './stock-tables.js';
import {
  daysTable,
  deficiencyEntriesTable,
  deficiencyTable,
  flagsTable,
  groupsTable,
  roundingTable,
  ruleSetsTable,
  sumsTable,
} from './duty-tables.js';
import { receivedTable } from './received-tables.js';
import { lossSumsTable, unaccountedTable } from './loss-sum-pages.js';
import { releasesTable } from './release-tables.js';
import { correctionChangesTable } from './correction-tables.js';
import { moneyTable, returnedTable } from './money-tables.js';
import { correctingEntriesTable, earlierPeriodsTable } from './earlier-period-tables.js';
import {
  correctionsTable,
  differencesTable,
  lateTable,
  lossesTable,
  lotsProducedTable,
  stagesTable,
  tiesTable,
} from './work-tables.js';

/** The parts of a report as tables: CSV, ZIP and PDF render these. */
export const reportTables = (report: PeriodReport): ReportTable[] => {
  const { duty, deficiency } = report;
  return [
    factsTable(report),
    balanceTable(report),
    weeksTable(report),
    categoriesTable(report),
    reconciliationTable(report),
    stockTable(report),
    stockSumsTable(report),
    lotsInProcessTable(report),
    moneyTable(report),
    releasesTable(duty),
    groupsTable(duty),
    daysTable(duty),
    returnedTable(duty),
    earlierPeriodsTable(duty),
    correctingEntriesTable(duty),
    roundingTable(duty, deficiency),
    flagsTable(duty, deficiency),
    ruleSetsTable(duty),
    sumsTable(duty),
    deficiencyTable(deficiency),
    deficiencyEntriesTable(deficiency),
    stagesTable(report),
    tiesTable(report.ties),
    receivedTable(report),
    lotsProducedTable(report),
    differencesTable(report),
    lateTable(report),
    lossesTable(report),
    unaccountedTable(report),
    lossSumsTable(report),
    correctionsTable(report),
    correctionChangesTable(report),
  ];
};
