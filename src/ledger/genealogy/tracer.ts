import type { Amounts, Exit, FlowLine, FlowOperation, Followed, Following, Route, Step } from './flow.js';

/** Litres that came without liquid leaving an account, but are more of the same liquid: a measurement or a count found them. */
const MORE_OF_THE_SAME: ReadonlySet<string> = new Set([
  're-measurement',
  'fill-difference',
  'fermentation-volume-change',
  'stock-difference',
  'earlier-period',
]);
/** Lines that stand for no liquid going anywhere. */
const NO_LIQUID: ReadonlySet<string> = new Set([
  'mixing-volume-change',
  'liquid-added',
  'solids-dissolved',
  'fermentation',
  'produced',
  'production-in-process',
]);
/** Below a millionth of the books' last place; what is smaller is the rounding of doubles. */
const EMPTY_L = 1e-9;

/** Kind of exit for a tracer that counted containers cannot take up. */
const SPILT = 'packaging-loss';

/** The kind of exit of a tracer that ends in an account by `ends`. */
export const ENDED = 'ended';

interface Nominal {
  readonly kind: string;
  litres: number;
  account: string;
  most: number;
}

const NONE: Amounts = new Map();

const sum = (values: Iterable<number>): number => [...values].reduce((total, value) => total + value, 0);

function add(to: Map<string, number>, tracer: string, amount: number): void {
  to.set(tracer, (to.get(tracer) ?? 0) + amount);
}

/**
 * Follows tracers through operations in the order of the books. A draw takes a tracer pro rata of the account's litres; what an operation
 * draws goes to the stock that it fills and to what leaves, in proportion to the litres that each receives, so wholly into a single result.
 * What is put in is conserved: it is in stock or has left, to the rounding of doubles. Range: finite litres; a draw beyond what an account
 * holds takes all of its tracer. Throws nothing.
 */
export function follow<O extends FlowOperation>(operations: readonly O[], following: Following<O>): Followed {
  const state = new TracerState();
  for (const operation of operations) {
    const step = state.take(operation, following.route?.(operation) ?? 'share');
    for (const { account, tracer, amount } of following.after(step)) {
      state.inject(account, tracer, amount);
    }
    if (following.ends !== undefined) {
      state.end(operation, following.ends);
    }
  }
  return { litres: state.litres, inStock: state.inStock, left: state.left };
}

class TracerState {
  readonly litres = new Map<string, number>();
  readonly inStock = new Map<string, Map<string, number>>();
  readonly left: Exit[] = [];
  /** Tracer per litre when an account last held liquid: what comes back to it is of the same. */
  readonly #last = new Map<string, Amounts>();
  /** Of each packaged lot the same, wherever of it liquid was drawn last: what comes back elsewhere is of the same too. */
  readonly #packedAs = new Map<string, string | undefined>();
  readonly #lastOfPacked = new Map<string, Amounts>();

  inject(account: string, tracer: string, amount: number): void {
    add(this.#of(account), tracer, amount);
  }

  end(operation: FlowOperation, ends: ReadonlySet<string>): void {
    for (const { account } of operation.lines) {
      const held = this.inStock.get(account);
      if (ends.has(account) && held !== undefined && held.size > 0) {
        this.#exit(operation, ENDED, account, new Map(held));
        held.clear();
      }
    }
  }

  take<O extends FlowOperation>(operation: O, route: Route): Step<O> {
    const net = new Map<string, number>();
    const kinds = new Map<string, string>();
    const nominal = new Map<string, Nominal>();
    for (const line of operation.lines) {
      if (line.side === 'stock') {
        net.set(line.account, (net.get(line.account) ?? 0) + line.litres);
        kinds.set(line.account, line.kind);
        this.#packedAs.set(line.account, line.packagedLotId ?? undefined);
      } else {
        addNominal(nominal, line);
      }
    }
    settleMaterial(nominal);
    const received = new Map<string, Map<string, number>>();
    const given = new Map<string, Amounts>();
    const drawn = [...net].filter(([, litres]) => litres < 0);
    if (route === 'settle') {
      this.#settle(operation, net, nominal);
    } else if (route !== 'stay' && drawn.length > 0) {
      this.#distribute(operation, { net, nominal, received, given, route });
    } else if (route !== 'stay') {
      this.#more(operation, net, kinds, nominal);
    }
    for (const [account, litres] of net) {
      this.litres.set(account, (this.litres.get(account) ?? 0) + litres);
    }
    return {
      operation,
      net,
      received,
      drawn: given,
      more: drawn.length === 0 && [...net.keys()].every((account) => this.#last.has(account)),
      litresIn: (account) => this.litres.get(account) ?? 0,
      inAccount: (account, tracer) => this.inStock.get(account)?.get(tracer) ?? 0,
    };
  }

  #of(account: string): Map<string, number> {
    let held = this.inStock.get(account);
    if (held === undefined) {
      held = new Map();
      this.inStock.set(account, held);
    }
    return held;
  }

  #remember(account: string): void {
    const litres = this.litres.get(account) ?? 0;
    if (litres > EMPTY_L) {
      const held = this.inStock.get(account) ?? [];
      const share = new Map([...held].map(([tracer, amount]) => [tracer, amount / litres]));
      this.#last.set(account, share);
      this.#lastOfPacked.set(this.#packedAs.get(account) ?? account, share);
    }
  }

  #draw(account: string, litres: number, route: Route): Map<string, number> {
    this.#remember(account);
    const there = this.litres.get(account) ?? 0;
    const held = this.#of(account);
    const all = there - litres <= EMPTY_L;
    const taken = new Map<string, number>();
    if (route === 'keep' && !all) {
      return taken;
    }
    for (const [tracer, amount] of held) {
      const part = all ? amount : amount * (litres / there);
      taken.set(tracer, part);
      held.set(tracer, amount - part);
    }
    if (all) {
      held.clear();
    }
    return taken;
  }

  #distribute(
    operation: FlowOperation,
    flow: {
      net: ReadonlyMap<string, number>;
      nominal: ReadonlyMap<string, Nominal>;
      received: Map<string, Map<string, number>>;
      given: Map<string, Amounts>;
      route: Route;
    },
  ): void {
    const pool = new Map<string, number>();
    const drawn = [...flow.net].filter(([, litres]) => litres < 0);
    for (const [account, litres] of drawn) {
      const taken = this.#draw(account, -litres, flow.route);
      flow.given.set(account, taken);
      taken.forEach((amount, tracer) => add(pool, tracer, amount));
    }
    const drawnLitres = -sum(drawn.map(([, litres]) => litres));
    const into = flow.route === 'spill' ? [] : [...flow.net].filter(([, litres]) => litres > 0);
    const spilt = flow.nominal.get(SPILT)?.account ?? '';
    const out =
      flow.route === 'spill'
        ? [{ kind: SPILT, litres: drawnLitres, account: spilt }]
        : [...flow.nominal.values()].filter(({ kind, litres }) => litres > 0 && !NO_LIQUID.has(kind));
    if (flow.route === 'share') {
      for (const { kind, litres, account } of flow.nominal.values()) {
        if (litres < 0 && MORE_OF_THE_SAME.has(kind)) {
          const gain = new Map([...pool].map(([tracer, amount]) => [tracer, (amount / drawnLitres) * -litres]));
          gain.forEach((amount, tracer) => add(pool, tracer, amount));
          this.#exit(operation, kind, account, negatedAmounts(gain));
        }
      }
    }
    const total = sum(into.map(([, litres]) => litres)) + sum(out.map(({ litres }) => litres));
    const rest = new Map(pool);
    const part = (litres: number, last: boolean): Map<string, number> => {
      const amounts = last
        ? new Map(rest)
        : new Map([...pool].map(([tracer, amount]) => [tracer, amount * (litres / total)]));
      amounts.forEach((amount, tracer) => add(rest, tracer, -amount));
      return amounts;
    };
    into.forEach(([account, litres], index) => {
      const amounts = part(litres, out.length === 0 && index === into.length - 1);
      flow.received.set(account, amounts);
      const held = this.#of(account);
      amounts.forEach((amount, tracer) => add(held, tracer, amount));
    });
    out.forEach(({ kind, litres, account }, index) => {
      this.#exit(operation, kind, account, part(litres, index === out.length - 1));
    });
    if (into.length + out.length === 0) {
      this.#exit(operation, SPILT, spilt, pool);
    }
  }

  /** Adds liquid that came in without a draw: more of the same liquid brings the tracer's present share, other liquid none. */
  #more(
    operation: FlowOperation,
    net: ReadonlyMap<string, number>,
    kinds: ReadonlyMap<string, string>,
    nominal: ReadonlyMap<string, Nominal>,
  ): void {
    const sources = [...nominal.values()].filter(({ litres }) => litres < 0);
    const total = -sum(sources.map(({ litres }) => litres));
    for (const [account, litres] of net) {
      if (litres <= 0) {
        continue;
      }
      this.#remember(account);
      const share = this.#last.get(account) ?? this.#lastOfPacked.get(this.#packedAs.get(account) ?? account) ?? NONE;
      const held = this.#of(account);
      for (const source of sources) {
        if (kinds.get(account) === 'packaged' || MORE_OF_THE_SAME.has(source.kind)) {
          const came = litres * (-source.litres / total);
          const gain = new Map([...share].map(([tracer, each]) => [tracer, each * came]));
          gain.forEach((amount, tracer) => add(held, tracer, amount));
          this.#exit(operation, source.kind, source.account, negatedAmounts(gain));
        }
      }
    }
  }

  #settle(operation: FlowOperation, net: ReadonlyMap<string, number>, nominal: ReadonlyMap<string, Nominal>): void {
    const to = [...nominal.values()].find(({ kind }) => MORE_OF_THE_SAME.has(kind));
    for (const account of net.keys()) {
      const held = this.#of(account);
      this.#exit(operation, to?.kind ?? 're-measurement', to?.account ?? '', new Map(held));
      held.clear();
    }
  }

  #exit(operation: FlowOperation, kind: string, account: string, amounts: Amounts): void {
    if ([...amounts.values()].some((amount) => amount !== 0)) {
      this.left.push({ operation: operation.id, kind, account, amounts });
    }
  }
}

const negatedAmounts = (amounts: Amounts): Amounts =>
  new Map([...amounts].map(([tracer, amount]) => [tracer, -amount]));

/** Nets finished liquid that goes into a process again as material: the liquid itself went into stock, only nominal lines show it. */
function settleMaterial(nominal: ReadonlyMap<string, Nominal>): void {
  const [used, process] = [nominal.get('used-as-material'), nominal.get('production-in-process')];
  if (used !== undefined && process !== undefined && used.litres > 0 && process.litres < 0) {
    const both = Math.min(used.litres, -process.litres);
    used.litres -= both;
    process.litres += both;
  }
}

function addNominal(nominal: Map<string, Nominal>, { kind, account, litres }: FlowLine): void {
  const seen = nominal.get(kind) ?? { kind, litres: 0, account, most: 0 };
  seen.litres += litres;
  if (Math.abs(litres) >= seen.most) {
    seen.most = Math.abs(litres);
    seen.account = account;
  }
  nominal.set(kind, seen);
}
