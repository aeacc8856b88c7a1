import type { Genealogy, GenealogyOperation, NamedMaterial, Place } from '../../ledger/genealogy/genealogy.reader.js';
import type { Amounts, Followed, Injection, Step } from '../../ledger/genealogy/flow.js';
import { follow } from '../../ledger/genealogy/tracer.js';
import { toBase, toBookLitres } from '../../metrology/units.js';

/** Tracers by what they mark: the liquid of a lot or packaged lot, liquid that a material lot went into, and that material's own quantity. */
export const lotTracer = (id: string): string => `lot/${id}`;
const PACKED = 'packaged/';
const MATERIAL = 'material/';
const USED = 'used/';
/** Tracer of several packaged lots together, as they are named by one lot mark. */
export const MARKED = 'marked';
export const packagedTracer = (id: string): string => `${PACKED}${id}`;
export const materialTracer = (id: string): string => `${MATERIAL}${id}`;
const usedTracer = (id: string, unit: 'kg' | 'L'): string => `${USED}${id}/${unit}`;

/** Liquid that came into a lot or a packaged lot from outside it. */
export interface Arrival {
  litres: number;
  readonly amounts: Map<string, number>;
}

export interface Traced {
  readonly followed: Followed;
  /** By lot and packaged tracer. */
  readonly arrivals: ReadonlyMap<string, Arrival>;
  /** All that was put in of each tracer. */
  readonly injected: Amounts;
}

/** The group that an account's liquid arrives in. */
function groupOf(place: Place | undefined): string | undefined {
  const packagedLotId = place?.key.packagedLotId;
  if (packagedLotId !== undefined) {
    return packagedTracer(packagedLotId);
  }
  return place?.lotId === undefined ? undefined : lotTracer(place.lotId);
}

/** In kg or in litres; undefined where the document gives neither. */
function quantityOf({ quantity, unit }: NamedMaterial): { value: number; unit: 'kg' | 'L' } | undefined {
  try {
    return { value: toBase('mass', { value: quantity, unit }), unit: 'kg' };
  } catch {
    try {
      return { value: toBookLitres({ value: quantity, unit }).litres.toNumber(), unit: 'L' };
    } catch {
      return undefined;
    }
  }
}

/** Puts tracers in: each at most once an account and operation, so that a top-up does not count twice. */
class Injections {
  readonly #made = new Map<string, Injection>();

  constructor(
    private readonly step: Step<GenealogyOperation>,
    private readonly wanted: (tracer: string) => boolean,
  ) {}

  /** All of the liquid in the account is of it. */
  wholly(account: string, tracer: string): void {
    this.some(account, tracer, this.step.litresIn(account) - this.step.inAccount(account, tracer));
  }

  some(account: string, tracer: string, amount: number): void {
    if (amount > 0 && this.wanted(tracer)) {
      this.#made.set(`${account} ${tracer}`, { account, tracer, amount });
    }
  }

  get list(): Injection[] {
    return [...this.#made.values()];
  }
}

function injectionsOf(
  step: Step<GenealogyOperation>,
  { places }: Genealogy,
  wanted: (tracer: string) => boolean,
  marked: readonly string[],
): Injection[] {
  const injections = new Injections(step, wanted);
  const materialsDrawn: string[] = [];
  const touched = [...step.net].map(([account, litres]) => ({ account, litres, place: places.get(account) }));
  for (const { account, litres, place } of touched) {
    const { materialLotId, packagedLotId } = place?.key ?? {};
    if (place?.lotId !== undefined) {
      injections.wholly(account, lotTracer(place.lotId));
    }
    if (packagedLotId !== undefined) {
      injections.wholly(account, packagedTracer(packagedLotId));
      if (marked.includes(packagedLotId)) {
        injections.wholly(account, MARKED);
      }
    }
    if (materialLotId !== undefined && litres > 0) {
      injections.wholly(account, materialTracer(materialLotId));
      injections.wholly(account, usedTracer(materialLotId, 'L'));
    }
    if (materialLotId !== undefined && litres < 0) {
      materialsDrawn.push(materialLotId);
    }
  }
  const filled = touched.filter(({ litres, place }) => litres > 0 && place?.key.kind !== 'material');
  for (const { account } of filled) {
    materialsDrawn.forEach((id) => injections.wholly(account, materialTracer(id)));
  }
  injectNamed(step, places, injections, { touched, filled: filled.map(({ account }) => account) });
  return injections.list;
}

/** Puts in the materials that the operation names and that have no account of their own in the books. */
function injectNamed(
  step: Step<GenealogyOperation>,
  places: Genealogy['places'],
  injections: Injections,
  facts: { readonly touched: readonly { readonly place: Place | undefined }[]; readonly filled: readonly string[] },
): void {
  const { touched, filled } = facts;
  const inBooks = new Set(touched.map(({ place }) => place?.key.materialLotId));
  const { operation } = step;
  const into =
    filled.length > 0
      ? filled
      : [...places.values()]
          .filter(({ key }) => key.compositionId !== undefined && key.compositionId === operation.compositionId)
          .map(({ id }) => id)
          .filter((id) => step.litresIn(id) > 0);
  const litres = into.reduce((total, account) => total + step.litresIn(account), 0);
  for (const named of operation.materials.filter(({ materialLotId }) => !inBooks.has(materialLotId))) {
    const quantity = quantityOf(named);
    for (const account of into) {
      injections.wholly(account, materialTracer(named.materialLotId));
      if (quantity !== undefined) {
        const share = step.litresIn(account) / litres;
        const tracer = usedTracer(named.materialLotId, quantity.unit);
        injections.some(account, tracer, quantity.value * share);
      }
    }
  }
}

/** Follows lots, packaged lots and material lots through a part of the books; only the tracers that are wanted. @param marked packaged lots to follow together */
export function traceSources(
  genealogy: Genealogy,
  wanted: (tracer: string) => boolean = () => true,
  marked: readonly string[] = [],
): Traced {
  const arrivals = new Map<string, Arrival>();
  const injected = new Map<string, number>();
  const followed = follow(genealogy.operations, {
    after: (step) => {
      const injections = injectionsOf(step, genealogy, wanted, marked);
      injections.forEach(({ tracer, amount }) => injected.set(tracer, (injected.get(tracer) ?? 0) + amount));
      noteArrivals(step, injections, genealogy, arrivals);
      return injections;
    },
  });
  return { followed, arrivals, injected };
}

/** Adds what an operation brought into each group from outside it: other liquid with its tracers, and materials that were put in. */
function noteArrivals(
  step: Step<GenealogyOperation>,
  injections: readonly Injection[],
  { places }: Genealogy,
  arrivals: Map<string, Arrival>,
): void {
  const inGroup = (group: string, account: string): boolean => groupOf(places.get(account)) === group;
  const touched = [...step.net.keys(), ...injections.map(({ account }) => account)];
  const groups = new Set(touched.map((account) => groupOf(places.get(account))));
  for (const group of groups) {
    if (group === undefined) {
      continue;
    }
    const arrival = arrivals.get(group) ?? { litres: 0, amounts: new Map<string, number>() };
    const came = (tracer: string, amount: number): unknown =>
      arrival.amounts.set(tracer, (arrival.amounts.get(tracer) ?? 0) + amount);
    // Containers that come back are of what was filled, so that they bring nothing new.
    const isNew = !step.more && (step.drawn.size > 0 || !group.startsWith(PACKED) || !arrivals.has(group));
    if (isNew) {
      arrival.litres += litresFromOutside(step, (account) => inGroup(group, account));
      for (const [account, amounts] of step.received) {
        if (inGroup(group, account)) {
          amounts.forEach((amount, tracer) => came(tracer, amount * shareFromOutside(step, tracer, group, inGroup)));
        }
      }
    }
    injections
      .filter(
        ({ account, tracer }) =>
          inGroup(group, account) && (isNew || tracer.startsWith(MATERIAL) || tracer.startsWith(USED)),
      )
      .forEach(({ tracer, amount }) => came(tracer, amount));
    if (arrival.litres > 0 || arrival.amounts.size > 0) {
      arrivals.set(group, arrival);
    }
  }
}

const litresFromOutside = ({ net }: Step<GenealogyOperation>, isIn: (account: string) => boolean): number =>
  Math.max(
    0,
    [...net].reduce((sum, [account, litres]) => (isIn(account) ? sum + litres : sum), 0),
  );

/** Part of a tracer in what an operation mixed that was drawn outside a group, from 0 to 1. */
function shareFromOutside(
  { drawn }: Step<GenealogyOperation>,
  tracer: string,
  group: string,
  inGroup: (group: string, account: string) => boolean,
): number {
  let [own, all] = [0, 0];
  for (const [account, amounts] of drawn) {
    const amount = amounts.get(tracer) ?? 0;
    all += amount;
    own += inGroup(group, account) ? amount : 0;
  }
  return all === 0 ? 1 : (all - own) / all;
}

/** Share of a tracer in an arrival, from 0 to 1. */
export const shareIn = (arrival: Arrival, tracer: string): number =>
  arrival.litres <= 0 ? 0 : Math.min(1, (arrival.amounts.get(tracer) ?? 0) / arrival.litres);

/** Quantities of material lots in an arrival: id, unit and amount. */
export const quantitiesIn = (arrival: Arrival): { id: string; unit: string; value: number }[] =>
  [...arrival.amounts]
    .filter(([tracer, value]) => tracer.startsWith(USED) && value > 0)
    .map(([tracer, value]) => {
      const [, id, unit] = tracer.split('/');
      return { id, unit, value };
    });
