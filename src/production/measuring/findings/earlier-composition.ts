import { uuidv7 } from 'uuidv7';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { bookStrengthPercent, minus, pureAlcohol } from '../../../ledger/books/amount.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { BudgetLine, Uncertain } from '../../../metrology/uncertainty.js';
import { componentsByOrigin, propagate } from '../../../metrology/uncertainty.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import type { Standing } from '../finding-records/finding-kinds.js';
import { findingRow } from '../finding-records/finding.rows.js';
import { alcoholDraft, atStrength } from '../position/finding-books.js';
import type { CompositionPosition } from '../position/lot-position.js';
import { inStock } from '../position/lot-position.js';
import { firstInto, outflowLines, propagation, stockLine } from '../restatement/propagation.js';
import type { AffectedStock, RestatedFinding, Restatement } from '../restatement/restatement.dto.js';
import { isMeasured, requirePossible, restatedExtract } from '../restatement/strength-change.js';
import type { Successor, SuccessorRead } from './successor.reader.js';

/** Effects of a finding of a composition that no vessel holds any more on its successors. */
export interface EarlierFinding {
  readonly drafts: readonly OperationDraft[];
  readonly findings: readonly RowOf<'finding'>[];
  readonly restatement: Restatement;
  readonly accounts: readonly StockAccount[];
}

type Budget = readonly BudgetLine[];

interface EarlierFacts {
  readonly read: SuccessorRead;
  readonly target: CompositionPosition;
  readonly found: StrengthFinding;
  readonly findingId: string;
  readonly head: EventHead;
  readonly standing: Standing;
  readonly sampledAt: Date;
}

const EXTRACT_LEFT_OUT =
  'The real extract is that of the liquid before, diluted: extract of the addition is not in it.';

/**
 * Applies the strength of a composition to what it became by additions and splits. The alcohol is posted there as a finding of it would be, and each
 * successor takes its share of the strength. What has a measured strength of its own keeps it; what was blended is listed and not posted.
 *
 * @returns undefined if nothing that it became is in stock without a measured strength
 */
export function findEarlier(facts: EarlierFacts): EarlierFinding | undefined {
  const { read, target, found, head } = facts;
  const open = read.successors.filter((each) => takesOver(each));
  const ids = new Set([target, ...open.map((each) => each.target)].map(({ composition }) => composition.id));
  const { genealogy, accounts } = read.restatement;
  const where = propagation(genealogy, {
    since: firstInto(genealogy, accounts) ?? head.id,
    accounts: new Set(accounts),
    ends: new Set(
      [...genealogy.places.values()]
        .filter(({ key }) => key.compositionId !== undefined && !ids.has(key.compositionId))
        .map(({ id }) => id),
    ),
  });
  const results = open.flatMap((successor) => {
    const share = where.derived.get(successor.target.composition.id)?.share;
    return share === undefined ? [] : [resultOf(facts, successor, share)];
  });
  const inVessels = results.filter(({ draft }) => draft !== undefined);
  if (inVessels.length === 0) {
    return undefined;
  }
  const old = target.provisional?.strengthPercent ?? 0;
  const change = found.strengthPercent.value - old;
  return {
    drafts: inVessels.flatMap(({ draft }) => (draft === undefined ? [] : [draft])),
    findings: results.map(({ row }) => row),
    accounts: results.flatMap(({ successor }) => inStock(successor.target)),
    restatement: {
      change: { value: change, unit: '%' },
      inStock: results.flatMap(({ lines }) => lines),
      outflows: outflowLines(where.outflows, (litres) => (litres * change) / 100),
      findings: results.map(({ answer }) => answer),
    },
  };

  function resultOf({ read: { restatement } }: EarlierFacts, successor: Successor, share: number) {
    const isFirst = open.find((each) => inStock(each.target).length > 0) === successor;
    const operationId = isFirst ? head.id : uuidv7();
    const derived = derivedFinding(facts, successor, share);
    const draft = draftOf(facts, successor, derived, operationId);
    const id = uuidv7();
    return {
      successor,
      draft,
      row: rowOf(facts, successor, derived, { id, share, operationId: draft === undefined ? undefined : operationId }),
      lines: stockLines(successor, derived, restatement.genealogy.places),
      answer: answerOf(id, successor, derived),
    };
  }
}

/** Not of record yet, and without a provisional strength that was measured on its own. */
const takesOver = ({ target: { ofRecord, provisional } }: Successor): boolean =>
  ofRecord === undefined && (provisional === undefined || !isMeasured(provisional));

/** Strength that the books have for a successor so far, % vol. */
const strengthSoFar = ({ provisional, ...position }: CompositionPosition): number => {
  const [account] = inStock({ provisional, ...position });
  const inBooks = account === undefined ? undefined : bookStrengthPercent(account.balance);
  return provisional?.strengthPercent ?? inBooks ?? 0;
};

/** Strength of a successor: what it had so far, and its share of the change. */
function derivedFinding({ target, found }: EarlierFacts, { target: now }: Successor, share: number): StrengthFinding {
  const before = target.provisional;
  const old = strengthSoFar(now);
  const change = { oldPercent: before?.strengthPercent ?? 0, newPercent: found.strengthPercent.value };
  const value = old + share * (change.newPercent - change.oldPercent);
  requirePossible(value);
  return {
    strengthPercent: fromEffects(value, [
      [now.provisional?.budget ?? [], 1],
      [found.strengthPercent.budget, share],
      [before?.budget ?? [], -share],
    ]),
    method: { id: 'mixture', version: '1.0.0', source: 'share of an earlier composition whose strength was found' },
    warnings: now.provisional === undefined ? [EXTRACT_LEFT_OUT] : now.provisional.warnings,
    realExtractPlato: restatedExtract(
      { strengthPercent: old, realExtractPlato: now.provisional?.realExtractPlato ?? 0 },
      value,
      share,
      { ...change, extract: { oldPlato: before?.realExtractPlato ?? 0, newPlato: found.realExtractPlato ?? 0 } },
    ),
  };
}

/** A value with the contributions of several budgets, each by its factor, added by origin. */
function fromEffects(value: number, budgets: readonly (readonly [Budget, factor: number])[]): Uncertain {
  const effects = new Map<string, number>();
  for (const [budget, factor] of budgets) {
    componentsByOrigin(budget).forEach((c, origin) => effects.set(origin, (effects.get(origin) ?? 0) + factor * c));
  }
  const inputs = [...effects].map(([origin, effect]) => ({
    name: origin,
    value: 0,
    standardUncertainty: Math.abs(effect),
    origin,
    unit: '%',
  }));
  const sensitivities = [...effects.values()].map((effect) => Math.sign(effect) || 1);
  return propagate(value, inputs, sensitivities);
}

function draftOf(
  { findingId, head, standing }: EarlierFacts,
  { lot, target }: Successor,
  found: StrengthFinding,
  operationId: string,
): OperationDraft | undefined {
  return inStock(target).length === 0
    ? undefined
    : alcoholDraft({
        head: {
          ...head,
          id: operationId,
          premisesId: target.composition.premisesId,
          lotId: lot.id,
          compositionId: target.composition.id,
          document: { finding: findingId, standing, restates: null, method: found.method.id },
        },
        standing,
        target,
        found,
        category: lot.category,
      });
}

const rowOf = (
  { findingId, standing, sampledAt }: EarlierFacts,
  { lot, target }: Successor,
  found: StrengthFinding,
  { id, share, operationId }: { readonly id: string; readonly share: number; readonly operationId: string | undefined },
): RowOf<'finding'> =>
  findingRow(
    {
      id,
      lotId: lot.id,
      compositionId: target.composition.id,
      standing,
      restates: standing === 'of-record' ? target.lastOfRecordId : undefined,
      operationId,
      sampledAt,
      inputs: { from: findingId, share },
      warnings: found.warnings,
    },
    found,
  );

const answerOf = (id: string, { target }: Successor, found: StrengthFinding): RestatedFinding => ({
  id,
  ...(target.provisional === undefined ? {} : { restates: target.provisional.id }),
  compositionId: target.composition.id,
  strength: { value: found.strengthPercent.value, unit: '%' },
});

const stockLines = (
  { target }: Successor,
  found: StrengthFinding,
  places: SuccessorRead['restatement']['genealogy']['places'],
): AffectedStock[] =>
  inStock(target).flatMap((account) => {
    const place = places.get(account.id);
    const more = pureAlcohol(minus(atStrength(account, found, true).amount, account.balance)).toNumber();
    return place === undefined ? [] : [stockLine(place, account.balance.litres.toNumber(), more)];
  });
