import type { Genealogy } from '../../ledger/genealogy/genealogy.reader.js';
import type { PackagedLotRow } from '../measuring/packed/packaged-lot.reader.js';
import type { Arrival, Traced } from './sources.js';
import { shareIn } from './sources.js';
import type { Recipient, TracedMaterialLot, TracedPackagedLot, TracedVessel } from './trace.dto.js';
import type { MaterialLotName, MovementFact } from './trace.reader.js';
import { LOST, RETURN, SENT_OUT } from './trace.reader.js';

/** Six decimals of a container: what the books hold of one is no finer. */
const containers = (litres: number, nominal: number): number => Math.round((litres / nominal) * 1e6) / 1e6;

export const toTracedMaterialLot = (row: MaterialLotName): Omit<TracedMaterialLot, 'share' | 'mass' | 'volume'> => ({
  materialLotId: row.id,
  code: row.code,
  materialId: row.materialId,
  material: row.material,
  ...(row.supplier === null ? {} : { supplier: row.supplier }),
  ...(row.supplierLot === null ? {} : { supplierLot: row.supplierLot }),
  ...(row.documentNumber === null || row.documentDate === null
    ? {}
    : { document: { number: row.documentNumber, date: row.documentDate } }),
  receivedAt: row.receivedAt.toISOString(),
});

/** Mass or volume of a material lot that is in what is traced, by mass or by volume. */
export function materialAmounts(
  quantities: readonly { readonly unit: string; readonly value: number }[],
): Pick<TracedMaterialLot, 'mass' | 'volume'> {
  const [mass, volume] = ['kg', 'L'].map((unit) => quantities.find((each) => each.unit === unit));
  return {
    ...(mass === undefined ? {} : { mass: { value: mass.value, unit: 'kg' } }),
    ...(volume === undefined ? {} : { volume: { value: volume.value, unit: 'L' } }),
  };
}

export const bulkRecipient = ({ packagedLotId, kind }: MovementFact): boolean =>
  packagedLotId === null && kind !== RETURN && kind !== LOST;

export const recipientOf = (fact: MovementFact): Recipient => ({
  operationId: fact.operationId,
  kind: fact.kind,
  occurredAt: fact.occurredAt.toISOString(),
  ...(fact.count === null ? {} : { count: fact.count }),
  volume: { value: fact.litres, unit: 'L' },
  ...(fact.counterparty === null ? {} : { counterparty: fact.counterparty }),
  ...(fact.document === null ? {} : { document: fact.document }),
  ...(fact.returnedFrom === null ? {} : { returnOf: fact.returnedFrom.releases.map(({ operationId }) => operationId) }),
});

/** Deliveries with what came back of them: by the delivery that a return names, else by its counterparty, the oldest first. */
function withReturns(deliveries: readonly MovementFact[], returns: readonly MovementFact[]): Recipient[] {
  const back = new Map<string, number>();
  const add = (key: string, litres: number): unknown => back.set(key, (back.get(key) ?? 0) + litres);
  for (const { counterparty, litres, returnedFrom } of returns) {
    if (returnedFrom?.by === 'named') {
      returnedFrom.releases.forEach((each) => add(each.operationId, Number(each.litres)));
    } else if (counterparty !== null) {
      add(counterparty, litres);
    }
  }
  return deliveries.map((delivery) => {
    const named = back.get(delivery.operationId) ?? 0;
    const name = delivery.counterparty ?? '';
    const others = Math.min(delivery.litres - named, back.get(name) ?? 0);
    add(name, -others);
    const returned = named + others;
    return { ...recipientOf(delivery), ...(returned > 0 ? { returned: { value: returned, unit: 'L' } } : {}) };
  });
}

const litresOf = (facts: readonly MovementFact[]): number => facts.reduce((sum, { litres }) => sum + litres, 0);

export function toTracedPackagedLot(
  row: PackagedLotRow,
  facts: {
    readonly arrival: Arrival;
    /** All there was of what is traced. */
    readonly injected: number;
    readonly tracer: string;
    readonly onHandLitres: number;
    readonly movements: readonly MovementFact[];
  },
): TracedPackagedLot {
  const nominal = Number(row.nominalLitres);
  const amount = facts.arrival.amounts.get(facts.tracer) ?? 0;
  const returns = facts.movements.filter(({ kind }) => kind === RETURN);
  const lost = facts.movements.filter(({ kind }) => kind === LOST);
  const deliveries = facts.movements.filter(({ kind }) => kind !== RETURN && kind !== LOST);
  const sentLitres = litresOf(deliveries.filter(({ kind }) => SENT_OUT.includes(kind)));
  return {
    packagedLotId: row.id,
    lotMark: row.lotMark,
    lotId: row.lotId,
    lotCode: row.lotCode,
    container: row.container,
    nominalVolume: { value: nominal, unit: 'L' },
    packagedOn: row.packagedOn,
    share: shareIn(facts.arrival, facts.tracer),
    shareOfSource: facts.injected <= 0 ? 0 : Math.min(1, amount / facts.injected),
    packed: row.count,
    onHand: containers(facts.onHandLitres, nominal),
    released: facts.movements.reduce((sum, { kind, count }) => sum + (kind === 'release' ? (count ?? 0) : 0), 0),
    returned: containers(litresOf(returns), nominal),
    outstanding: containers(Math.max(0, sentLitres - litresOf(returns) - litresOf(lost)), nominal),
    recipients: withReturns(deliveries, returns),
    returns: returns.map(recipientOf),
  };
}

/** Vessels that hold some of a tracer now. */
export function vesselsWith(
  { places }: Genealogy,
  { followed }: Traced,
  tracer: string,
): Omit<TracedVessel, 'vessel'>[] {
  return [...followed.inStock].flatMap(([account, amounts]) => {
    const { vesselId, compositionId } = places.get(account)?.key ?? {};
    const amount = amounts.get(tracer) ?? 0;
    const litres = followed.litres.get(account) ?? 0;
    if (vesselId === undefined || compositionId === undefined || amount <= 0 || litres <= 0) {
      return [];
    }
    return [{ vesselId, compositionId, volume: { value: litres, unit: 'L' }, share: Math.min(1, amount / litres) }];
  });
}
