import type { PlannedStep, StepKind } from '../shared/steps/planned-step.dto.js';
import { cautionsOf, dueSteps, stepWords } from '../shared/steps/steps.rules.js';
import type { StepPlan, StepRow } from './step.reader.js';
import type { ListedStep, LotSteps, PlannedStepState, ProcessStep, StepOutcome } from './steps.dto.js';

/** An entry with the name that the plan gives its step. */
export function toProcessStep(row: Omit<StepRow, 'replacedBy'>, planned: readonly PlannedStep[]): ProcessStep {
  const facts = {
    kind: row.kind as StepKind,
    ...(row.temperatureC === null ? {} : { temperature: { value: row.temperatureC, unit: 'Cel' } }),
    ...(row.durationMin === null ? {} : { duration: { value: row.durationMin, unit: 'min' } }),
  };
  const name = row.step === null ? undefined : planned.at(row.step - 1)?.name;
  return {
    id: row.id,
    lotId: row.lotId,
    ...facts,
    ...(row.step === null ? {} : { number: row.step }),
    inWords: stepWords({ ...facts, name }),
    outcome: row.outcome as StepOutcome,
    ...(row.replaces === null ? {} : { replaces: row.replaces }),
    ...(row.vesselId === null ? {} : { vesselId: row.vesselId }),
    occurredAt: row.doneAt.toISOString(),
    ...(row.personId === null ? {} : { personId: row.personId }),
    ...(row.note === null ? {} : { note: row.note }),
    cautions: cautionsOf(facts),
  };
}

/** The entries that count: neither replaced nor taken back. */
export const standing = (rows: readonly StepRow[]): StepRow[] =>
  rows.filter(({ replacedBy, outcome }) => replacedBy === null && outcome !== 'withdrawn');

export function toLotSteps({ planned, startedAt }: StepPlan, rows: readonly StepRow[], now: Date): LotSteps {
  const settled = standing(rows);
  return {
    planned: dueSteps(planned, startedAt).map(({ number, step, dueAt }): PlannedStepState => {
      const entry = settled.find((each) => each.step === number);
      const open = dueAt !== undefined && dueAt < now ? 'overdue' : 'open';
      return {
        ...step,
        number,
        inWords: stepWords(step),
        state: entry === undefined ? open : (entry.outcome as 'done' | 'left-out'),
        ...(dueAt === undefined ? {} : { dueAt: dueAt.toISOString() }),
        ...(entry === undefined ? {} : { stepId: entry.id }),
        cautions: cautionsOf(step),
      };
    }),
    entered: rows.map((row): ListedStep => ({
      ...toProcessStep(row, planned),
      ...(row.replacedBy === null ? {} : { replacedBy: row.replacedBy }),
    })),
  };
}
