import type { Content } from 'pdfmake/interfaces.js';
import { litresOf } from '../../../ledger/books/litres.dto.js';
import type { PeriodReport } from '../documents/report.dto.js';
import { moneyBox } from './money-tables.js';
import { annex, References } from './annex.js';
import { productChart, weekChart } from '../render/charts.js';
import type { PeriodEvidence } from '../evidence/evidence.dto.js';
import { balanceBox } from '../render/balance-box.js';
import { premisesFacts, producerFacts, signatureBlock } from '../render/first-page.js';
import { basisWord, fixed, localTime, words } from '../render/figures-text.js';
import { boxed, charts, factList, h2, onPages, SIMULATED, titled } from '../render/page.js';
import { balanceSums, SUMS_NOTE } from './balance-sums.js';
import type { PdfDefinition } from '../render/pdf-maker.js';
import { balancePages, flowPages, lotsInProcessPage, reconciliationPages, stockPages } from './balance-pages.js';
import { deficiencyPages, dutyPages, roundingPages } from './duty-pages.js';
import { receivedPage } from './received-tables.js';
import { lossSumPages } from './loss-sum-pages.js';
import { lossPages, lotsProducedPage, tiesPage } from './work-pages.js';

export interface ReportPdfInput {
  readonly report: PeriodReport;
  /** SHA-256 of the document's bytes, hexadecimal. */
  readonly hash: string;
  readonly evidence: PeriodEvidence;
  /** Moment of the closing, or of the making of a provisional report. */
  readonly at: Date;
  /** The last report of premises that were closed down. */
  readonly isLast?: boolean;
}

const MOST_BARS = 14;

function cover({ report, hash, at, isLast }: ReportPdfInput): Content[] {
  const { producer, premises, period, status, trail, statement } = report;
  const lastDay = localTime(new Date(Date.parse(period.endsAt) - 1).toISOString(), period.timeZone).slice(0, 10);
  return [
    { text: 'Period report', style: 'title' },
    { text: `${premises.name}, ${period.startsOn} to ${lastDay}`, style: 'subtitle' },
    ...(producer.simulated ? [boxed(SIMULATED)] : []),
    ...(status === 'provisional'
      ? [boxed('PROVISIONAL: the period is not closed; the figures may still change.')]
      : []),
    ...(isLast === true ? [boxed('LAST REPORT: the premises were closed down with it.')] : []),
    factList([
      ...producerFacts(producer),
      ...premisesFacts(premises),
      ['Period', `${period.startsOn} up to, not including, ${period.endsBefore}, local time (${period.timeZone})`],
      ['Status', status === 'closed' ? `closed on ${localTime(at.toISOString(), period.timeZone)}` : 'provisional'],
      ...(period.dueOn === undefined
        ? []
        : [['Due', `filed by ${period.dueOn}, paid by ${period.payableOn ?? period.dueOn}`] as const]),
      ['Kept until', `${period.keepUntil} at the least, by the producer’s setting; local law decides`],
    ]),
    balanceBox(balanceSums(report), SUMS_NOTE),
    ...moneyBox(report),
    ...statement.map((text): Content => ({ text, margin: [0, 2, 0, 2] })),
    { text: '', margin: [0, 3] },
    factList([
      ['SHA-256 of the JSON report', hash],
      ['Head of the audit trail', `entry ${trail.sequence}, ${trail.hash}`],
      ['How to check both', 'docs/verify-the-trail.md, which comes with the program'],
    ]),
    signatureBlock(),
  ];
}

/** Litres of pure alcohol at the end by category and form, largest first; what is many and small together. */
export function productBars({ stock }: PeriodReport): { product: string; litres: number }[] {
  const sums = new Map<string, number>();
  for (const { kind, category, description, stage, litresOfPureAlcohol } of stock.items) {
    const product =
      kind === 'packaged'
        ? `${words(category)}, ${description.split(', ').at(-1) ?? ''}`
        : kind === 'material'
          ? description
          : `${words(category)}, ${stage ?? kind}`;
    sums.set(product, (sums.get(product) ?? 0) + litresOf(litresOfPureAlcohol).toNumber());
  }
  const bars = [...sums]
    .map(([product, litres]) => ({ product, litres: Math.round(litres * 1000) / 1000 }))
    .sort((a, b) => b.litres - a.litres);
  if (bars.length <= MOST_BARS) {
    return bars;
  }
  const rest = bars.slice(MOST_BARS - 1).reduce((sum, { litres }) => sum + litres, 0);
  return [
    ...bars.slice(0, MOST_BARS - 1),
    { product: `${bars.length - MOST_BARS + 1} others`, litres: Math.round(rest * 1000) / 1000 },
  ];
}

function chartsOf(report: PeriodReport): Content {
  const bars = productBars(report);
  const weeks = report.turnover.weeks.map(({ startsOn, in: into, out }) => ({
    week: startsOn.slice(5),
    inL: litresOf(into.litresOfPureAlcohol).toNumber(),
    outL: litresOf(out.litresOfPureAlcohol).negated().toNumber(),
  }));
  return charts([
    ...(weeks.every(({ inL, outL }) => inL === 0 && outL === 0)
      ? []
      : [{ title: 'Alcohol in and out by week (day on which the week begins)', svg: weekChart(weeks) }]),
    ...(bars.length === 0 ? [] : [{ title: 'Closing stock by product', svg: productChart(bars) }]),
  ]);
}

const BASIS_NAMES: Readonly<Record<string, string>> = {
  unit: 'Unit',
  referenceTemperature: 'Reference temperature',
  coverageFactor: 'Coverage factor',
  coverage: 'Uncertainties',
  signs: 'Signs',
};

/** Units, signs and coverage of the figures, in words. */
const basisFacts = (basis: PeriodReport['basis']): [string, string][] =>
  Object.entries(basis).map(([name, value]) => [
    BASIS_NAMES[name] ?? words(name),
    typeof value === 'number' ? fixed(value, 2) : basisWord(value),
  ]);

/** Versions that made the document, and what its figures are in. */
const madeWith = ({ versions, basis, duty }: PeriodReport): Content =>
  titled(
    [h2('Made with')],
    factList([
      ['Program', versions.program],
      ['Methods', versions.methods.map(({ id, version }) => `${words(id)} ${version}`).join(', ') || 'none'],
      ['Rule set', `${duty.rule.description}, version ${duty.rule.version}`],
      ...basisFacts(basis),
    ]),
  );

/** Address of this module, for the printing thread. */
export const REPORT_PAGES = import.meta.url;

/** Pages of a period report, made of the document and its annex alone. */
export function definition(input: ReportPdfInput): PdfDefinition {
  const { report, hash, evidence, at } = input;
  const { producer, premises, period } = report;
  const context = new References(evidence, period.timeZone);
  const name = `Period report, ${premises.name}, ${period.startsOn} to before ${period.endsBefore}`;
  return onPages(
    {
      title: name,
      createdAt: at,
      runningHead: `${producer.name} · ${premises.name} · ${period.startsOn} to before ${period.endsBefore}`,
      runningFoot: `${report.status === 'closed' ? 'Closed report' : 'Provisional'}, SHA-256 of its JSON ${hash.slice(0, 12)}… · U: k = 1.96 unless stated · Local law and licensed practice decide.`,
      simulated: producer.simulated,
    },
    [
      ...cover(input),
      chartsOf(report),
      ...balancePages(report, context),
      ...flowPages(report, context),
      ...stockPages(report, context),
      receivedPage(report, context),
      lotsProducedPage(report, context),
      lotsInProcessPage(report, context),
      ...dutyPages(report, context),
      ...deficiencyPages(report, context),
      ...lossPages(report, context),
      ...lossSumPages(report, context),
      tiesPage(report.ties, context),
      ...reconciliationPages(report, context),
      ...roundingPages(report, context),
      madeWith(report),
      ...annex(evidence, context),
    ],
  );
}
