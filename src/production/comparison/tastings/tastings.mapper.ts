import type { Serving } from '../../../metrology/blind-order.js';
import type { SensoryMethod } from '../../../metrology/sensory.js';
import { sensoryTest } from '../../../metrology/sensory.js';
import type { Stored } from '../../../tenancy/settings/resource.service.js';
import type { PouringList, TastedDrink, Tasting, TastingColumns, TastingResult } from './tastings.dto.js';

export interface TastingAnswerRow {
  readonly id: string;
  readonly serving: number;
  readonly chosen: string;
  readonly personId: string | null;
  /** null where there was none, or where it was forgotten. */
  readonly note: string | null;
}

type Row = TastingColumns & Stored;

const drinksOf = ({ drinks }: Pick<Row, 'drinks'>): readonly TastedDrink[] => drinks as unknown as TastedDrink[];
export const servingsOf = ({ servings }: Pick<Row, 'servings'>): readonly Serving[] => servings as unknown as Serving[];

export const toTasting = (row: Row): Tasting => ({
  id: row.id,
  name: row.name,
  method: row.method as SensoryMethod,
  sides: row.sides,
  significance: Number(row.significance),
  ...(row.question === null ? {} : { question: row.question }),
  drinks: drinksOf(row).map((drink) => ({ ...drink })),
  servings: servingsOf(row).map(({ number, samples }) => ({ number, codes: samples.map(({ code }) => code) })),
  closed: row.retiredAt !== null,
  version: row.version,
  createdAt: row.createdAt.toISOString(),
});

const labelOf = (row: Row, drink: 'A' | 'B'): string => drinksOf(row)[drink === 'A' ? 0 : 1].label;

/** Makes the list of drinks by code, for the person who pours. */
export const toPouringList = (row: Row): PouringList => ({
  tastingId: row.id,
  servings: servingsOf(row).map(({ number, samples }) => ({
    number,
    samples: samples.map(({ code, drink }) => ({ code, label: labelOf(row, drink) })),
  })),
  warnings: [
    'Only the person who pours may see this list; whoever has seen it does not taste.',
    'Same glasses, same fill, same temperature. Tell assessors the allergens, and offer water and spitting; who drives does not swallow.',
  ],
});

/** The odd one of three is the drink that is in one glass only. */
function isOdd({ samples }: Serving, chosen: 'A' | 'B'): boolean {
  return samples.filter(({ drink }) => drink === chosen).length === 1;
}

/** The result of the answers, by the exact binomial test. */
export function toResult(row: Row, answers: readonly TastingAnswerRow[]): TastingResult {
  const isTriangle = row.method === 'triangle';
  const servings = new Map(servingsOf(row).map((serving) => [serving.number, serving]));
  const panel = answers.flatMap(({ serving, chosen, personId, note }) => {
    const served = servings.get(serving);
    const drink = served?.samples.find(({ code }) => code === chosen)?.drink;
    return served === undefined || drink === undefined
      ? []
      : [
          {
            serving,
            chosen: labelOf(row, drink),
            counts: isTriangle ? isOdd(served, drink) : drink === 'A',
            ...(personId === null ? {} : { personId }),
            ...(note === null ? {} : { note }),
          },
        ];
  });
  const chosen = panel.filter(({ counts }) => counts).length;
  const shown = panel.map(({ counts, ...answer }) => ({ ...answer, ...(isTriangle ? { correct: counts } : {}) }));
  const statement = `${chosen} of ${panel.length} ${isTriangle ? 'found the odd one' : `chose ${labelOf(row, 'A')}`}`;
  if (panel.length === 0) {
    return { answers: 0, chosen: 0, decision: 'too-few-answers', statement: 'There is no answer.', panel: [] };
  }
  const { pValue, isDifferent, leastNumber } = sensoryTest({
    method: row.method as SensoryMethod,
    sides: row.sides === 2 ? 2 : 1,
    answers: panel.length,
    chosen,
    significance: Number(row.significance),
  });
  const needed = leastNumber === null ? 'so few answers can show no difference' : `${leastNumber} show a difference`;
  return {
    answers: panel.length,
    chosen,
    pValue: Number(pValue.toPrecision(12)),
    ...(leastNumber === null ? {} : { leastNumber }),
    decision: isDifferent ? 'difference-shown' : leastNumber === null ? 'too-few-answers' : 'no-difference-shown',
    statement: `${statement}; ${needed} at ${Number(row.significance)}. Probability of this without a difference: ${pValue.toPrecision(3)}.`,
    panel: shown,
  };
}
