import type { Decimal } from '../../../metrology/decimals.js';
import type { RowOf } from '../../../tenancy/producer-database/batch.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { countedContainers } from '../../../platform/words.js';
import { malformed } from '../../shared/references.js';

/**
 * Events of a container. `came-empty` says nothing of its former contents; after `part-drawn` it holds the litres of the event; `relabelled` puts it
 * under another packaged lot; `sent` and `arrived` are of a transit; `missing` and `found` of a stock-take or an arrival.
 */
export const CONTAINER_EVENTS = [
  'filled',
  'out',
  'back',
  'emptied',
  'came-empty',
  'part-drawn',
  'relabelled',
  'sent',
  'arrived',
  'missing',
  'found',
] as const;
export type ContainerEvent = (typeof CONTAINER_EVENTS)[number];

/** Most serials that one event names. */
export const MOST_SERIALS = 5_000;

/** Rows of one event of containers; none where no serials are given. */
export const containerRows = (
  serials: readonly string[] | undefined,
  facts: {
    readonly operationId: string;
    readonly event: ContainerEvent;
    readonly packagedLotId?: string | null;
    /** In each. */
    readonly litres?: Decimal;
  },
): RowOf<'containerEvent'>[] =>
  (serials ?? []).map((serial) => ({
    operationId: facts.operationId,
    serial,
    event: facts.event,
    packagedLotId: facts.packagedLotId ?? null,
    litres: facts.litres?.toFixed() ?? null,
  }));

/** @throws ProblemException `validation-failed` unless there is a serial for each container */
export function requireSerialEach(serials: readonly string[] | undefined, count: number, pointer = '/serials'): void {
  if (serials !== undefined && serials.length !== count) {
    const detail = `${serials.length} serials were given for ${count} containers: give one for each container, or none.`;
    throw malformed({ pointer, rule: 'one-each', detail });
  }
}

/** Containers of a packaged lot that was filled with serials, at a moment. */
export interface FollowedLot {
  readonly lotMark: string;
  readonly container: string;
  /** Litres in each container that is in stock, by serial, wherever it stands. */
  readonly contents: ReadonlyMap<string, Decimal>;
  /** The last known litres of every container of the lot. */
  readonly lastLitres: ReadonlyMap<string, Decimal>;
  /** Serials in stock at the premises and with the duty status that were asked for. */
  readonly here: readonly string[];
}

/**
 * Asks for serials where the goods are followed by them, so that the books and the list of containers agree.
 *
 * @throws ProblemException `validation-failed` naming how many serials are needed
 */
export function requireSerials(
  followed: FollowedLot | undefined,
  serials: readonly string[] | undefined,
  count: number,
  pointer = '/serials',
): void {
  if (followed !== undefined && serials === undefined && count > 0) {
    const { lotMark, container } = followed;
    const whose = count === 1 ? 'the serial of the' : 'the serials of the';
    const detail = `The containers of ${lotMark} are followed by serial: give ${whose} ${countedContainers(count, container)}.`;
    throw malformed({ pointer, rule: 'serials-needed', detail, needed: count });
  }
}

/** Draw out of containers: whole ones by count, or a measured volume of one. */
export interface ContainerDraw {
  readonly operationId: string;
  readonly event: ContainerEvent;
  readonly packagedLotId: string | undefined;
  readonly litres: Decimal;
  /** By volume, so that one container can keep a part. */
  readonly isMeasured: boolean;
}

/**
 * Rows of a draw out of containers. A container that stays keeps what was not drawn; one that goes out takes all that is in it.
 *
 * @throws ProblemException `conflict` for a container that would go out with less than it holds
 */
export function drawnRows(
  followed: FollowedLot | undefined,
  serials: readonly string[] | undefined,
  { operationId, event, packagedLotId, litres, isMeasured }: ContainerDraw,
): RowOf<'containerEvent'>[] {
  const each = litres.dividedBy(serials?.length ?? 1);
  const facts = { operationId, event, packagedLotId, litres: each };
  const inIt = isMeasured && serials !== undefined ? followed?.contents.get(serials[0]) : undefined;
  if (inIt === undefined || inIt.lessThanOrEqualTo(litres) || event === 'back') {
    return containerRows(serials, facts);
  }
  if (event === 'out') {
    const detail = `Container ${serials?.[0]} holds ${inIt.toFixed()} L, and all of it goes out with the container. Enter first what was drawn off, or give all of it.`;
    throw new ProblemException('conflict', detail, { errors: [{ pointer: '/volume', rule: 'takes-all', detail }] });
  }
  return containerRows(serials, { ...facts, event: 'part-drawn', litres: inIt.minus(litres) });
}
