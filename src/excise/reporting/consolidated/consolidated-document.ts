import { DUTY_STATUSES, byNameAndStatus, fromStatusKey, statusKey } from '../../../ledger/figures/by-status.js';
import { REPORT_LINES } from '../../../ledger/figures/report-lines.js';
import type { FlowRow } from '../../../ledger/figures/flow.reader.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount, minus, NOTHING, plus } from '../../../ledger/books/amount.js';
import type { Figures } from '../../../ledger/books/litres.dto.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import type { Figure } from '../../../ledger/figures/figure.js';
import { figureOf, toFigures, NO_FIGURE, reconcile, sumOfAmounts } from '../../../ledger/figures/figure.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import type { StockSumRow } from '../../../ledger/figures/stock-at.reader.js';
import { VERSION } from '../../../platform/version.js';
import { dutyBalances } from '../parts/balances-part.js';
import { reconciliationOf } from '../parts/reconciliation.js';
import { inBalances } from '../parts/stock-part.js';
import { BASIS, STATEMENT } from '../period/report-document.js';
import { tieAmount } from '../parts/ties-part.js';
import { turnoverOf } from '../parts/turnover-part.js';
import { movesPart } from './between-premises.js';
import { consolidatedDeficiency, consolidatedDuty, consolidatedMoney } from './consolidated-duty.js';
import type { ConsolidatedLine, ConsolidatedPremises, ConsolidatedReport, ReportsTies } from './consolidated.dto.js';
import type { ConsolidatedInput, StockEnd } from './consolidated.reader.js';
import type { PeriodPart } from './period-parts.js';
import type { SpannedPremises } from './span-periods.js';

const amountOf = ({ litres, fermented, added }: Pick<Figures, 'litres' | 'fermented' | 'added'>): Amount => ({
  litres: litresOf(litres),
  fermented: litresOf(fermented),
  added: litresOf(added),
});

const figureIn = (sums: readonly StockSumRow[], match: (row: StockSumRow) => boolean): Figure => {
  const row = sums.find(match);
  return row === undefined ? NO_FIGURE : figureOf(row);
};

const ofBalances = ({ accounts }: StockEnd, premisesId?: string): Amount =>
  sumOfAmounts(
    accounts
      .filter((row) => premisesId === undefined || row.premisesId === premisesId)
      .map((row) => amount(row.litres, row.fermented, row.added)),
  );

/** Opening stock of the first report of each of the premises; its uncertainty is that of the books at that moment. */
function openingOf({ reports, start }: ConsolidatedInput, of: readonly SpannedPremises[]): Figure {
  const firsts = of.flatMap(({ periods }) => periods.slice(0, 1).map(({ id }) => id));
  const total = sumOfAmounts(
    reports.filter(({ period }) => firsts.includes(period.id)).map(({ opening }) => amountOf(opening)),
  );
  const [one, more] = of;
  const spread =
    more === undefined && one !== undefined
      ? figureIn(start.sums, ({ level, premisesId }) => level === 'premises' && premisesId === one.id)
      : figureIn(start.sums, ({ level }) => level === 'total');
  return { ...spread, amount: total };
}

const closingTotal = ({ end }: ConsolidatedInput): Figure => ({
  ...figureIn(end.sums, ({ level }) => level === 'total'),
  amount: ofBalances(end),
});

function premisesPart(input: ConsolidatedInput): ConsolidatedPremises[] {
  const { span, end, reports } = input;
  return span.premises.map((each) => ({
    approvals: [],
    ...reports.findLast(({ period }) => period.premisesId === each.id)?.head.premises,
    id: each.id,
    name: each.name,
    ...(each.books === undefined
      ? {}
      : {
          timeZone: each.books.timeZone,
          startsAt: each.books.startsAt.toISOString(),
          endsAt: each.books.endsAt.toISOString(),
        }),
    coversSpan: each.coversSpan,
    periods: each.periods.map((period) => ({
      id: period.id,
      startsOn: period.startsOn,
      endsBefore: period.endsBefore,
      state: period.reportId === null ? ('open' as const) : ('closed' as const),
      ...(period.reportHash === null || period.closedAt === null
        ? {}
        : { reportHash: period.reportHash, closedAt: period.closedAt.toISOString() }),
      report: `/v1/periods/${period.id}/report`,
    })),
    opening: toFigures(openingOf({ ...input }, [each])),
    closing: toFigures({
      ...figureIn(end.sums, ({ level, premisesId }) => level === 'premises' && premisesId === each.id),
      amount: ofBalances(end, each.id),
    }),
  }));
}

function linesPart({ flows, byPremises }: ConsolidatedInput): ConsolidatedLine[] {
  const total = new Map(flows.filter(({ category }) => category === null).map((row) => [row.kind, figureOf(row)]));
  return REPORT_LINES.map((line) => ({
    line,
    ...toFigures(total.get(line) ?? NO_FIGURE),
    byPremises: byPremises
      .filter(({ kind }) => kind === line)
      .map((row) => ({ premisesId: row.premisesId, ...toFigures(figureOf(row)) })),
  }));
}

function categoriesPart({ flows, start, end }: ConsolidatedInput): ConsolidatedReport['categories'] {
  const keyOf = ({ category, dutyStatus }: Pick<FlowRow, 'category' | 'dutyStatus'>): string =>
    statusKey(category ?? '', dutyStatus ?? '');
  const keys = new Set([
    ...flows.filter(({ category }) => category !== null).map(keyOf),
    ...[...start.sums, ...end.sums].filter(({ level }) => level === 'category').map(keyOf),
  ]);
  return [...keys].sort(byNameAndStatus).map((key) => {
    const { name, dutyStatus } = fromStatusKey(key);
    const at = ({ sums }: StockEnd) => figureIn(sums, (row) => row.level === 'category' && keyOf(row) === key);
    const [opening, closing] = [at(start), at(end)];
    const own = new Map(
      flows.filter((row) => row.category !== null && keyOf(row) === key).map((row) => [row.kind, figureOf(row)]),
    );
    const lines = REPORT_LINES.flatMap((line) => {
      const figure = own.get(line);
      return figure === undefined ? [] : [{ line, ...toFigures(figure) }];
    });
    const flowed = sumOfAmounts([...own.values()].map((figure) => figure.amount));
    return {
      category: name,
      dutyStatus,
      opening: toFigures(opening),
      lines,
      closing: toFigures(closing),
      balances: reconcile(opening.amount, flowed, closing.amount).balances,
    };
  });
}

/** Each figure of the books over the span beside what the reports of the periods say of it. */
function reportsPart(input: ConsolidatedInput, opening: Figure): ReportsTies {
  const { reports, flows, start, end, span } = input;
  const lasts = span.premises.flatMap(({ periods }) => periods.slice(-1).map(({ id }) => id));
  const books = new Map(
    flows.filter(({ category }) => category === null).map((row) => [row.kind, figureOf(row).amount]),
  );
  const lineOf = (line: string): Amount =>
    sumOfAmounts(reports.flatMap(({ lines }) => lines.filter((each) => each.line === line).map(amountOf)));
  const closing = sumOfAmounts(
    reports.filter(({ period }) => lasts.includes(period.id)).map((each) => amountOf(each.closing)),
  );
  const pairs: [string, Amount, Amount][] = [
    ['opening stock', opening.amount, ofBalances(start)],
    ...REPORT_LINES.map((line): [string, Amount, Amount] => [line, lineOf(line), books.get(line) ?? NOTHING]),
    ['closing stock', closing, ofBalances(end)],
  ];
  const figures = pairs.map(([line, reported, held]) => ({
    line,
    reports: tieAmount(reported),
    books: tieAmount(held),
    difference: tieAmount(minus(held, reported)),
  }));
  return { figures, balances: pairs.every(([, reported, held]) => reconcile(reported, NOTHING, held).balances) };
}

const latestOf = (days: readonly string[]): string => days.reduce((last, day) => (day > last ? day : last));

/** The producer as the report names it that was frozen last; of a provisional one the latest that was made. */
const lastHead = (reports: readonly PeriodPart[]): PeriodPart =>
  reports.reduce((last, each) => (each.trail.sequence >= last.trail.sequence ? each : last));

/** Of frozen reports alone nothing changes any more, so the head is that of the one that was frozen last. */
const lastTrail = (reports: readonly PeriodPart[]): PeriodPart['trail'] => lastHead(reports).trail;

/** Makes the document of what was read: the same books make the same document. */
export function consolidatedDocument(input: ConsolidatedInput): ConsolidatedReport {
  const { span, flows, turnover, end, reports, head } = input;
  const { producer } = lastHead(reports).head;
  const opening = openingOf(input, span.premises);
  const closing = closingTotal(input);
  const flowed = flows
    .filter(({ category }) => category === null)
    .reduce((sum, row) => plus(sum, figureOf(row).amount), NOTHING);
  const open = reports.filter(({ period }) => period.reportId === null).length;
  return {
    format: 'gaugebook-consolidated-report',
    formatVersion: 1,
    status: open === 0 ? 'closed' : 'provisional',
    producer,
    startsOn: span.startsOn,
    endsBefore: span.endsBefore,
    keepUntil: latestOf(reports.map((report) => report.head.period.keepUntil)),
    basis: {
      ...BASIS,
      duty: 'the sum of the periods, each rounded by its own rules first',
    },
    premises: premisesPart(input),
    openPeriods: open,
    opening: toFigures(opening),
    balances: dutyBalances({
      openingByStatus: new Map(
        DUTY_STATUSES.map((dutyStatus) => [
          dutyStatus,
          figureIn(input.start.sums, (row) => row.level === 'duty-status' && row.dutyStatus === dutyStatus),
        ]),
      ),
      statusFlows: input.statusFlows,
      turnover,
      stock: end.accounts,
      stockSums: end.sums,
      operations: {},
    }).map(({ lines, ...balance }) => ({ ...balance, lines: lines.map(({ operations: _, ...line }) => line) })),
    lines: linesPart(input),
    closing: toFigures(closing),
    turnover: turnoverOf(turnover, span),
    reconciliation: reconciliationOf(reconcile(opening.amount, flowed, closing.amount)),
    categories: categoriesPart(input),
    stages: inBalances(STAGES, end.sums, ({ level, stage }) => (level === 'stage' ? stage : null)).map(
      ({ name, dutyStatus, figure }) => ({ stage: name, dutyStatus, ...toFigures(figure) }),
    ),
    betweenPremises: movesPart(input),
    reports: reportsPart(input, opening),
    duty: consolidatedDuty(reports),
    deficiency: consolidatedDeficiency(reports),
    money: consolidatedMoney(reports),
    trail: open === 0 ? lastTrail(reports) : { sequence: Number(head.sequence), hash: head.hash },
    versions: { program: VERSION },
    statement: [...new Set([...STATEMENT, ...reports.flatMap(({ statement }) => statement)])],
  };
}
