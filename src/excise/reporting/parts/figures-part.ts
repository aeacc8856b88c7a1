import { amount, pureAlcohol } from '../../../ledger/books/amount.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import type { Decimal } from '../../../metrology/decimals.js';
import { Exact } from '../../../metrology/decimals.js';
import { figureOf } from '../../../ledger/figures/figure.js';
import type { ReportFigure, ReportFigureName } from '../documents/report-figures.dto.js';
import { REPORT_FIGURES } from '../documents/report-figures.dto.js';
import type { ReportInput } from '../sources/report-input.js';

type Place = Omit<ReportFigure, 'figure' | 'direction' | 'litres' | 'litresOfPureAlcohol'>;

interface Sum {
  readonly figure: ReportFigureName;
  readonly direction: ReportFigure['direction'];
  readonly place: Place;
  litres: Decimal;
  lpa: Decimal;
}

const containerOf = (container: string | null | undefined, nominalLitres: string | null | undefined): Partial<Place> =>
  container === null || container === undefined
    ? {}
    : { container, ...(nominalLitres ? { nominalVolume: toLitres(nominalLitres) } : {}) };

/** Sums by place, in the order of the report. */
class Sums {
  readonly #sums = new Map<string, Sum>();

  add(figure: ReportFigureName, direction: Sum['direction'], place: Place, litres: Decimal, lpa: Decimal): void {
    const { category, stage, dutyStatus, container = '', nominalVolume } = place;
    const key = [figure, category, stage, dutyStatus, container, nominalVolume?.value ?? '', direction].join('|');
    const sum = this.#sums.get(key) ?? { figure, direction, place, litres: new Exact(0), lpa: new Exact(0) };
    sum.litres = sum.litres.plus(litres);
    sum.lpa = sum.lpa.plus(lpa);
    this.#sums.set(key, sum);
  }

  get figures(): ReportFigure[] {
    const order = (key: string): string =>
      `${String(REPORT_FIGURES.indexOf(key.split('|', 1)[0] as ReportFigureName)).padStart(3, '0')}|${key}`;
    return [...this.#sums]
      .filter(([, { litres, lpa }]) => !litres.isZero() || !lpa.isZero())
      .sort(([a], [b]) => (order(a) < order(b) ? -1 : 1))
      .map(([, { figure, direction, place, litres, lpa }]) => ({
        figure,
        ...place,
        direction,
        litres: toLitres(litres),
        litresOfPureAlcohol: toLitres(lpa),
      }));
  }
}

/** Takes the lines of the report apart by category, stage, duty status and container. Stock at the start is stock at the end less the changes. */
export function figuresPart({ stock, stockSums, names, stageFigures }: ReportInput): ReportFigure[] {
  const sums = new Sums();
  const accounts = new Map(stock.map((row) => [row.id, row]));
  for (const row of stockSums) {
    const account = accounts.get(row.accountId ?? '');
    if (row.level !== 'account' || account === undefined) continue;
    const packaged = names.packagedLots.get(account.packagedLotId ?? '');
    const inKegs = packaged !== undefined && ['keg', 'cask'].includes(packaged.container);
    const { litres, fermented, added } = figureOf(row).amount;
    const place = {
      category: row.category ?? '',
      stage: (inKegs ? 'keg' : account.stage) as Place['stage'],
      dutyStatus: account.dutyStatus as Place['dutyStatus'],
      ...containerOf(packaged?.container, packaged && new Exact(packaged.nominalLitres).toFixed()),
    };
    const lpa = pureAlcohol(amount(litres, fermented, added));
    sums.add('stock-at-end', 'in', place, litres, lpa);
    sums.add('stock-at-start', 'in', place, litres, lpa);
  }
  for (const row of stageFigures) {
    const { role, direction, category, container, nominalLitres } = row;
    const place = {
      category,
      stage: row.stage as Place['stage'],
      dutyStatus: row.dutyStatus as Place['dutyStatus'],
      ...containerOf(container, nominalLitres),
    };
    const [litres, lpa] = [new Exact(row.litres), new Exact(row.lpa)];
    if (role === 'change') {
      sums.add('stock-at-start', 'in', place, litres.negated(), lpa.negated());
    } else {
      const figure = role === 'line' ? row.kind : `${row.kind}-${direction}`;
      sums.add(figure as ReportFigureName, direction, place, litres, lpa);
    }
  }
  return sums.figures;
}
