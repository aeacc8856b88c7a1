import type { Amount } from '../../../ledger/books/amount.js';
import { amount, minus, negated, NOTHING, plus, pureAlcohol } from '../../../ledger/books/amount.js';
import { toLitres } from '../../../ledger/books/litres.dto.js';
import { figureOf, toFigures, NO_FIGURE, reconcile } from '../../../ledger/figures/figure.js';
import { DUTY_STATUSES, statusKey } from '../../../ledger/figures/by-status.js';
import { STAGES } from '../../../ledger/figures/stages.js';
import type { ConsignmentRow } from '../sources/consignment.reader.js';
import { grouped } from '../../../platform/grouped.js';
import type { StageBalance, TieAmount, TieItem, ReportTie } from '../documents/report-ties.dto.js';
import type { ReportInput } from '../sources/report-input.js';
import type { WorkRow } from '../sources/stage.reader.js';

export const tieAmount = (a: Amount): TieAmount => ({
  litres: toLitres(a.litres),
  litresOfPureAlcohol: toLitres(pureAlcohol(a)),
  fermented: toLitres(a.fermented),
  added: toLitres(a.added),
});

export interface Side {
  readonly item: TieItem;
  readonly amount: Amount;
}

const isNothing = ({ litres, fermented, added }: Amount): boolean =>
  litres.isZero() && fermented.isZero() && added.isZero();

const totalOf = (sides: readonly Side[]): Amount => sides.reduce((sum, each) => plus(sum, each.amount), NOTHING);

/** Two sides under one name, with the difference. */
export function tieOf(name: string, inputs: readonly Side[], outputs: readonly Side[]): ReportTie {
  const difference = minus(totalOf(outputs), totalOf(inputs));
  return {
    name,
    inputs: inputs.map(({ item }) => item),
    outputs: outputs.map(({ item }) => item),
    totalInputs: tieAmount(totalOf(inputs)),
    totalOutputs: tieAmount(totalOf(outputs)),
    difference: tieAmount(difference),
    balances: isNothing(difference),
  };
}

const SIDE_WORDS = { given: 'from', received: 'to', line: 'line' } as const;

/** A line of the report is an effect on stock: the amount that it received has the opposite sign. */
function workSide(row: WorkRow): Side {
  const figure = figureOf(row);
  const effect = row.role === 'line' ? negated(figure.amount) : figure.amount;
  return {
    amount: effect,
    item: {
      name: `${SIDE_WORDS[row.role]} ${row.name}`,
      ...tieAmount(effect),
      expandedUncertainty: toFigures(figure).expandedUncertainty,
    },
  };
}

/** Each kind of work that moved stock from account to account: its inputs against what other accounts and lines of the report received. */
const workTies = ({ works }: Pick<ReportInput, 'works'>): ReportTie[] =>
  [...grouped(works, ({ work }) => work)].map(([work, rows]) =>
    tieOf(
      work,
      rows.filter(({ role }) => role === 'given').map(workSide),
      rows.filter(({ role }) => role !== 'given').map(workSide),
    ),
  );

type Leg = ConsignmentRow['part'];

/** Amounts of the consignments by what happened to them. */
export function legsOf(rows: readonly ConsignmentRow[]): (part: Leg) => Amount {
  return (part) =>
    rows
      .filter((row) => row.part === part)
      .reduce((sum, row) => plus(sum, amount(row.litres, row.fermented, row.added)), NOTHING);
}

export const sideOf = (name: string, a: Amount): Side => ({ item: { name, ...tieAmount(a) }, amount: a });
/** Those that are anything. */
export const filled = (sides: readonly Side[]): Side[] => sides.filter((each) => !isNothing(each.amount));

/** Consignments sent to own premises and received from them, each against the books of the other side. */
function consignmentTies({ consignments, premisesNames, premises }: ReportInput): ReportTie[] {
  const nameOf = (id: string): string => premisesNames.get(id) ?? id;
  const out = [
    ...grouped(
      consignments.filter(({ fromPremisesId }) => fromPremisesId === premises.id),
      ({ toPremisesId }) => toPremisesId,
    ),
  ];
  const into = [
    ...grouped(
      consignments.filter(({ toPremisesId }) => toPremisesId === premises.id),
      ({ fromPremisesId }) => fromPremisesId,
    ),
  ];
  return [
    ...out.map(([to, rows]) => {
      const legs = legsOf(rows);
      return tieOf(
        `sent to ${nameOf(to)}`.slice(0, 60),
        filled([
          sideOf('in transit at the start', legs('on-the-way-at-start')),
          sideOf('sent', legs('sent')),
          sideOf('restated in transit', legs('changed')),
        ]),
        filled([
          sideOf(`received by ${nameOf(to)}`, legs('received')),
          sideOf('lost in transit', legs('lost')),
          sideOf('in transit at the end', legs('on-the-way-at-end')),
        ]),
      );
    }),
    ...into.map(([from, rows]) => {
      const legs = legsOf(rows);
      return tieOf(
        `received from ${nameOf(from)}`.slice(0, 60),
        filled([
          sideOf('in transit at the start', legs('on-the-way-at-start')),
          sideOf(`sent by ${nameOf(from)}`, legs('sent')),
          sideOf('restated in transit', legs('changed')),
          sideOf('lost in transit', negated(legs('lost'))),
          sideOf('still in transit', negated(legs('on-the-way-at-end'))),
        ]),
        filled([sideOf('received', legs('received'))]),
      );
    }),
  ];
}

export const tiesPart = (input: ReportInput): ReportTie[] => [...workTies(input), ...consignmentTies(input)];

/** Each stage of each balance from opening to closing; under suspension stages that had nothing too. */
export function stagesPart({ opening, stageFlows, stockSums }: ReportInput): StageBalance[] {
  const flow = (stage: string, dutyStatus: string, direction: 'in' | 'out') => {
    const row = stageFlows.find(
      (each) => each.stage === stage && each.dutyStatus === dutyStatus && each.direction === direction,
    );
    return row === undefined ? NO_FIGURE : figureOf(row);
  };
  const had = new Set([
    ...opening.byStage.keys(),
    ...stageFlows.map(({ stage, dutyStatus }) => statusKey(stage, dutyStatus)),
  ]);
  const places = STAGES.flatMap((stage) => DUTY_STATUSES.map((dutyStatus) => ({ stage, dutyStatus })));
  return places
    .filter(({ stage, dutyStatus }) => dutyStatus === 'suspended' || had.has(statusKey(stage, dutyStatus)))
    .map(({ stage, dutyStatus }) => {
      const row = stockSums.find(
        (each) => each.level === 'stage' && each.stage === stage && each.dutyStatus === dutyStatus,
      );
      const closing = row === undefined ? NO_FIGURE : figureOf(row);
      const before = opening.byStage.get(statusKey(stage, dutyStatus)) ?? NO_FIGURE;
      const [into, out] = [flow(stage, dutyStatus, 'in'), flow(stage, dutyStatus, 'out')];
      return {
        stage,
        dutyStatus,
        opening: toFigures(before),
        in: toFigures(into),
        out: toFigures(out),
        closing: toFigures(closing),
        balances: reconcile(before.amount, plus(into.amount, out.amount), closing.amount).balances,
      };
    });
}
