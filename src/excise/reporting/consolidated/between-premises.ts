import type { ConsignmentRow } from '../sources/consignment.reader.js';
import { grouped } from '../../../platform/grouped.js';
import { filled, legsOf, sideOf, tieAmount, tieOf } from '../parts/ties-part.js';
import type { BetweenPremises, MovesBetweenPremises } from './consolidated.dto.js';
import type { ConsolidatedInput } from './consolidated.reader.js';

function pairPart(rows: readonly ConsignmentRow[]): BetweenPremises {
  const [{ fromPremisesId, toPremisesId }] = rows;
  const legs = legsOf(rows);
  return {
    fromPremisesId,
    toPremisesId,
    inTransitAtStart: tieAmount(legs('on-the-way-at-start')),
    sent: tieAmount(legs('sent')),
    restated: tieAmount(legs('changed')),
    received: tieAmount(legs('received')),
    lost: tieAmount(legs('lost')),
    inTransitAtEnd: tieAmount(legs('on-the-way-at-end')),
  };
}

/** Movements between the premises, pair by pair, with the tie that nets them out. */
export function movesPart({ consignments, span }: ConsolidatedInput): MovesBetweenPremises {
  const legs = legsOf(consignments);
  const edges = span.premises.flatMap(({ books }) =>
    books === undefined ? [] : [`${books.startsAt.toISOString()} ${books.endsAt.toISOString()}`],
  );
  return {
    consignments: [
      ...grouped(consignments, ({ fromPremisesId, toPremisesId }) => `${fromPremisesId} ${toPremisesId}`).values(),
    ].map(pairPart),
    tie: tieOf(
      'own premises',
      filled([
        sideOf('in transit at the start', legs('on-the-way-at-start')),
        sideOf('sent', legs('sent')),
        sideOf('restated in transit', legs('changed')),
      ]),
      filled([
        sideOf('received', legs('received')),
        sideOf('lost in transit', legs('lost')),
        sideOf('in transit at the end', legs('on-the-way-at-end')),
      ]),
    ),
    sameBoundaries: new Set(edges).size <= 1 && edges.length === span.premises.length,
  };
}
