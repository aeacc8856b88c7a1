import { createHash } from 'node:crypto';
import type { Figures, Litres } from '../../ledger/books/litres.dto.js';
import type { PeriodReport } from '../../excise/reporting/documents/report.dto.js';
import { micro, shown, toNumber } from './micro.js';
import type { Micro } from './micro.js';
import { isNothing, lineKey, NOTHING, plus } from './notebook.js';
import type { Amount, Notebook } from './notebook.js';
import type { Checks } from './checks.js';

/** The notebook as it stood when a period ended. */
export interface Ended {
  readonly opening: ReadonlyMap<string, Amount>;
  readonly flows: ReadonlyMap<string, Amount>;
  readonly closing: ReadonlyMap<string, Amount>;
  readonly places: ReadonlyMap<string, Amount>;
}

export const endedNow = ({ opening, flows, closing, places }: Notebook): Ended => ({ opening, flows, closing, places });

export const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

const exact = ({ value, exact: text }: Litres): Micro => micro(text ?? value);

const total = (amounts: Iterable<Amount>): Amount => [...amounts].reduce(plus, NOTHING);

/** One figure of the report against the notebook, each measure to the last decimal. */
function compare(checks: Checks, figure: string, found: Pick<Figures, 'litres' | 'fermented' | 'added'>, own: Amount) {
  checks.same(`${figure}, litres`, shown(exact(found.litres)), shown(own.litres));
  checks.same(`${figure}, pure alcohol fermented`, shown(exact(found.fermented)), shown(own.fermented));
  checks.same(`${figure}, pure alcohol added`, shown(exact(found.added)), shown(own.added));
}

function compareCategories(checks: Checks, { categories }: PeriodReport, ended: Ended): void {
  const lines = new Set<string>();
  for (const { category, opening, lines: own, closing, balances } of categories) {
    compare(checks, `opening of ${category}`, opening, ended.opening.get(category) ?? NOTHING);
    compare(checks, `closing of ${category}`, closing, ended.closing.get(category) ?? NOTHING);
    checks.same(`${category} balances`, balances, true);
    for (const line of own) {
      const key = lineKey(category, line.line);
      lines.add(key);
      compare(checks, key, line, ended.flows.get(key) ?? NOTHING);
    }
  }
  const missing = [...ended.flows.keys()].filter((key) => !lines.has(key));
  checks.same('lines that the report lacks', missing.join(', '), '');
}

function compareStock(checks: Checks, { stock }: PeriodReport, ended: Ended): void {
  const places = stock.items.map((item) => item.packagedLotId ?? item.materialLotId ?? item.vesselId ?? '');
  stock.items.forEach((item, index) =>
    compare(checks, `stock of ${item.description}`, item, ended.places.get(places[index]) ?? NOTHING),
  );
  const missing = [...ended.places.keys()].filter((place) => !places.includes(place));
  checks.same('stock that the report lacks', missing.join(', '), '');
}

/** Duty: what was released, at the strength that was declared, added up once more. */
function compareDuty(checks: Checks, { duty }: PeriodReport, ended: Ended): void {
  const due = duty.releases.map(
    ({ count, litres, strengthForDuty, litresOfPureAlcoholForDuty }) =>
      [count, toNumber(exact(litres)), strengthForDuty.value, litresOfPureAlcoholForDuty.value] as const,
  );
  due.forEach(([, litres, strength, found]) =>
    checks.near('duty of a release', found, (litres * strength) / 100, 1e-9),
  );
  const sum = due.reduce((all, [, litres, strength]) => all + (litres * strength) / 100, 0);
  checks.near('pure alcohol for duty in all', duty.litresOfPureAlcoholForDuty.value, sum, 1e-9);
  const own = total([...ended.flows].filter(([key]) => /: (released|own-use)$/.test(key)).map(([, amount]) => amount));
  checks.same('litres for duty', shown(exact(duty.litres)), shown(-own.litres));
  checks.same('duty ties', duty.tie.balances, true);
}

/** The three reconciliation: opening, flows and closing as the notebook has them, and a difference of nothing. */
function compareReconciliations(checks: Checks, report: PeriodReport, ended: Ended): void {
  const { reconciliation, opening, closing } = report;
  const [before, flows, after] = [ended.opening, ended.flows, ended.closing].map((each) => total(each.values()));
  compare(checks, 'opening', opening, before);
  compare(checks, 'closing', closing, after);
  compare(checks, 'opening in the reconciliation', reconciliation.opening, before);
  compare(checks, 'flows in the reconciliation', reconciliation.flows, flows);
  compare(checks, 'closing in the reconciliation', reconciliation.closing, after);
  compare(checks, 'difference of the reconciliation', reconciliation.difference, NOTHING);
  checks.same('the reconciliation meet', reconciliation.balances, true);
  const met = plus(plus(before, flows), { litres: -after.litres, fermented: -after.fermented, added: -after.added });
  checks.same('opening and flows make the closing', isNothing(met), true);
}

/** U of a sum of independent figures is never below that of the largest by much, nor above their sum. */
function compareUncertainty(checks: Checks, { closing, stock }: PeriodReport): void {
  const each = stock.items.map(({ expandedUncertainty }) => expandedUncertainty.litresOfPureAlcohol.value);
  const all = closing.expandedUncertainty.litresOfPureAlcohol.value;
  checks.between('U of the closing pure alcohol', all, 0.001, each.reduce((a, b) => a + b, 0) + 1e-6);
}

export function compareReport(checks: Checks, report: PeriodReport, ended: Ended): void {
  compareReconciliations(checks, report, ended);
  compareCategories(checks, report, ended);
  compareStock(checks, report, ended);
  compareDuty(checks, report, ended);
  compareUncertainty(checks, report);
}
