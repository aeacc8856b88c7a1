import type { Finding } from '../../../production/measuring/findings/findings.dto.js';
import { localTime, readingKind, words } from '../render/figures-text.js';
import type { LotRecord } from './lot-record.dto.js';

type BudgetLine = Finding['budget'][number];

const UUID = /[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/;

const rest = (parts: readonly string[]): string => parts.map((part) => `, ${words(part)}`).join('');

/** A region is counted from zero; a person counts from one. */
const regionWords = (part: string): string =>
  part.replace(/^region-(\d+)$/, (_, at: string) => `range-${Number(at) + 1}`);

/** Words for an input of a budget. One that is carried from another finding is named by its origin, an address of ids. */
export function inputWords({ name }: BudgetLine, { readings, operations, instruments, lot, plan }: LotRecord): string {
  if (!UUID.test(name)) {
    return name.replaceAll('-', ' ').replaceAll('/', ', ');
  }
  const [kind, id, ...more] = name.split('/');
  switch (kind) {
    case 'reading': {
      const reading = readings.find((each) => each.id === id);
      return reading === undefined
        ? `reading of another lot${rest(more)}`
        : `${readingKind(reading.kind)} read ${localTime(reading.takenAt, lot.timeZone)}${rest(more)}`;
    }
    case 'operation': {
      const operation = operations.find((each) => each.id === id);
      return operation === undefined
        ? `operation of another lot${rest(more)}`
        : `operation No. ${operation.sequence}${rest(more)}`;
    }
    case 'calibration':
      return `calibration of ${instruments.find((each) => each.id === id)?.name ?? 'an instrument'}${rest(more.slice(1).map(regionWords))}`;
    case 'model':
      return `model of the recipe${plan === undefined ? '' : ` ${plan.recipe}`}`;
    default:
      return `${words(kind)}${rest(more.filter((part) => !UUID.test(part)))}`;
  }
}
