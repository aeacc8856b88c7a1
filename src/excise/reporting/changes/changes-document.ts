import { dutyChanges } from '../parts/earlier-periods-part.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { NOTHING, negated, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import { combined, negatedComponents, NO_COMPONENTS, rootSumSquare } from '../../../ledger/books/components.js';
import type { Figures } from '../../../ledger/books/litres.dto.js';
import { litresOf, toLitres } from '../../../ledger/books/litres.dto.js';
import type { PostedLine, PostedOperation } from '../../../ledger/corrections/posted-operation.reader.js';
import { lineWithin } from '../../../ledger/corrections/reversal.js';
import type { Figure } from '../../../ledger/figures/figure.js';
import { COVERAGE_FACTOR, figureFrom, toFigures, NO_FIGURE, sumOfAmounts } from '../../../ledger/figures/figure.js';
import type { ReportLineName } from '../../../ledger/figures/report-lines.js';
import { kindOfLine } from '../../../ledger/figures/report-lines.js';
import { given } from '../../../ledger/operations/operations.dto.js';
import type { PeriodRow } from '../../../ledger/periods/period.reader.js';
import { Exact, toPlaces6HalfEven } from '../../../metrology/decimals.js';
import type { Decimal } from '../../../metrology/decimals.js';
import type { MovementKind } from '../../movements/movement-kinds.js';
import { DUTY_POINT_KINDS, MOVEMENT_RULES } from '../../movements/movement-kinds.js';
import { pureAlcoholForDuty } from '../../movements/strength-for-duty.js';
import type { PeriodReport } from '../documents/report.dto.js';
import type { ChangedFigure, ChangingOperation, PeriodChanges } from './changes.dto.js';
import type { ChangeFact, ChangesInput, MovementFact } from './changes.reader.js';

/** A change of one figure: the effect on stock, with its uncertainty. */
interface Delta {
  readonly amount: Amount;
  readonly components: Components;
}

const NO_DELTA: Delta = { amount: NOTHING, components: NO_COMPONENTS };

const add = (into: Map<string, Delta>, key: string, { amount, components }: Delta): void => {
  const before = into.get(key) ?? NO_DELTA;
  into.set(key, { amount: plus(before.amount, amount), components: combined(before.components, components) });
};

const turned = ({ amount, components }: Pick<PostedLine, 'amount' | 'components'>): Delta => ({
  amount: negated(amount),
  components: negatedComponents(components),
});

const expanded = (components: Components, measure: 'litres' | 'lpa'): Decimal =>
  toPlaces6HalfEven(new Exact(COVERAGE_FACTOR).times(rootSumSquare(components, measure)));

const figureWith = (amount: Amount, components: Components): Figure => ({
  amount,
  expandedLitres: expanded(components, 'litres'),
  expandedLpa: expanded(components, 'lpa'),
});

function changed(frozen: Figures, components: Components, delta: Delta): ChangedFigure {
  const before = figureFrom(frozen);
  return {
    frozen,
    change: toFigures(figureWith(delta.amount, delta.components)),
    corrected: toFigures(figureWith(plus(before.amount, delta.amount), combined(components, delta.components))),
  };
}

const kindOfMovement = (movement: MovementFact | undefined): string | undefined =>
  movement === undefined ? undefined : MOVEMENT_RULES[movement.kind as MovementKind].nominal;

/**
 * Adds what a correction changes on the lines. A reversal takes back the lines of what it reverses. What was entered anew stands on the line of
 * earlier periods in the books, and says itself on which line each posting would have stood; of a difference entry they are not told apart.
 */
function addLines(into: Map<string, Delta>, operation: PostedOperation, input: ChangesInput): void {
  const original = operation.reverses === undefined ? undefined : input.operations.get(operation.reverses);
  if (original !== undefined) {
    for (const line of original.lines.filter(({ account }) => account.side === 'nominal')) {
      add(into, line.account.kind, line);
    }
    return;
  }
  const kind = kindOfMovement(input.movements.get(operation.id));
  for (const line of operation.lines.filter(({ account }) => account.side === 'nominal')) {
    add(into, lineWithin(operation.document, line.line) ?? kind ?? line.account.kind, turned(line));
  }
}

function dutyOf(id: string | undefined, { movements }: ChangesInput): Decimal {
  const movement = movements.get(id ?? '');
  return movement === undefined || !(DUTY_POINT_KINDS as readonly string[]).includes(movement.kind)
    ? new Exact(0)
    : new Exact(pureAlcoholForDuty(movement.litres, movement.strengthForDutyPercent ?? '0'));
}

const stockLines = ({ lines }: PostedOperation): PostedLine[] =>
  lines.filter(({ account }) => account.side === 'stock');

function operationPart(fact: ChangeFact, operation: PostedOperation): ChangingOperation {
  const effect = stockLines(operation).reduce((sum, { amount }) => plus(sum, amount), NOTHING);
  return {
    id: fact.id,
    sequence: fact.sequence,
    kind: operation.kind,
    occurredAt: operation.occurredAt.toISOString(),
    recordedAt: fact.recordedAt.toISOString(),
    ...given({ reverses: operation.reverses ?? null, corrects: fact.corrects, reasonCode: fact.reasonCode }),
    reversed: fact.reversed,
    litres: toLitres(effect.litres),
    litresOfPureAlcohol: toLitres(pureAlcohol(effect)),
    operation: `/v1/operations/${fact.id}`,
  };
}

const posted = (fact: ChangeFact, { operations }: ChangesInput): PostedOperation => {
  const operation = operations.get(fact.id);
  if (operation === undefined) {
    throw new Error(`Operation ${fact.id} was not read.`);
  }
  return operation;
};

/** Figures of a frozen report as one; the uncertainty of more than one is that of their postings together. */
function together(figures: readonly Figures[], components: Components): Figures {
  const [first, ...more] = figures;
  if (more.length === 0) return first ?? toFigures(NO_FIGURE);
  return toFigures(figureWith(sumOfAmounts(figures.map((each) => figureFrom(each).amount)), components));
}

/** A line of a frozen report by the kind of its account: the opening stock of a first period, surplus and shortage together. */
function frozenLine(report: PeriodReport, kind: string, components: Components): Figures {
  const own = report.lines.filter(({ line }) => kindOfLine(line as ReportLineName) === kind);
  const opening = kind === 'opening' && report.opening.source === 'first-period' ? [report.opening] : [];
  return together([...opening, ...own], components);
}

/** Corrections that stand: neither reversed themselves, nor the reversal of one. */
function standingFacts({ facts, operations }: ChangesInput): ChangeFact[] {
  const own = new Set(facts.map(({ id }) => id));
  return facts.filter(({ id, reversed }) => !reversed && !own.has(operations.get(id)?.reverses ?? ''));
}

/** Of an open period nothing is frozen, so nothing has changed since. */
export const nothingFrozen = (periodId: string): PeriodChanges => ({
  periodId,
  state: 'open',
  unchanged: true,
  operations: [],
  lines: [],
  categories: [],
  report: `/v1/periods/${periodId}/report`,
});

/** Changes that the corrections in force make to the frozen report. */
export function changesDocument(
  period: PeriodRow & { readonly reportHash: string; readonly closedAt: Date },
  report: PeriodReport,
  input: ChangesInput,
): PeriodChanges {
  const lines = new Map<string, Delta>();
  const stock = new Map<string, Delta>();
  const categories = new Map<string, Delta>();
  let duty = new Exact(0);
  const standing = standingFacts(input);
  for (const fact of standing) {
    const operation = posted(fact, input);
    addLines(lines, operation, input);
    for (const line of stockLines(operation)) {
      add(stock, '', line);
      add(categories, line.subject.category, line);
    }
    duty = duty.plus(dutyOf(operation.id, input)).minus(dutyOf(operation.reverses, input));
  }
  const frozenDuty = litresOf(report.duty.litresOfPureAlcoholForDuty);
  return {
    periodId: period.id,
    state: 'closed',
    reportHash: period.reportHash,
    closedAt: period.closedAt.toISOString(),
    unchanged: standing.length === 0,
    operations: input.facts.map((fact) => operationPart(fact, posted(fact, input))),
    lines: [...lines].map(([line, delta]) => {
      const components = input.lineComponents.get(line) ?? NO_COMPONENTS;
      return { line, ...changed(frozenLine(report, line, components), components, delta) };
    }),
    categories: [...categories].map(([category, delta]) => {
      const components = input.categoryComponents.get(category) ?? NO_COMPONENTS;
      const own = report.categories.filter((each) => each.category === category);
      return {
        category,
        ...changed(
          together(
            own.map(({ closing }) => closing),
            components,
          ),
          components,
          delta,
        ),
      };
    }),
    closing: changed(report.closing, input.closingComponents, stock.get('') ?? NO_DELTA),
    litresOfPureAlcoholForDuty: {
      frozen: report.duty.litresOfPureAlcoholForDuty,
      change: toLitres(duty),
      corrected: toLitres(frozenDuty.plus(duty)),
    },
    duty: dutyChanges(input, { ...input.corrected, since: [] }),
    report: `/v1/periods/${period.id}/report`,
  };
}
