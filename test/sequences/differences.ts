import type { Model } from './model.js';
import type { Followed } from './difference-follow.js';
import { follow } from './difference-follow.js';
import { percentOf, receivedAt, rounded } from './restated.js';
import type { Differ, Pack, Step } from './step.js';
import type { Amount, Decimal, Line, Posted } from './words.js';
import {
  alcoholOf,
  amount,
  atStrengthOf,
  categoryOf,
  counter,
  d,
  liquid,
  material,
  NOW,
  packed,
  Refused,
  siteOf,
  six,
} from './words.js';

// What was entered wrong of an operation that later work rests on: only the change is posted, now. What was measured or counted by itself keeps
// its litres, so of a receipt or of containers it is what is left that changes; of liquid in vessels the change goes where the liquid went.

type Value = 'volume' | 'strength' | 'count' | 'loss';

/** What can be put right of each kind. */
const VALUES: Readonly<Partial<Record<Step['kind'], readonly Value[]>>> = {
  charge: ['volume'],
  gauge: ['volume'],
  receipt: ['volume', 'strength'],
  transfer: ['loss'],
  pack: ['count'],
  dilute: ['volume'],
  add: ['volume'],
  opening: ['volume', 'strength', 'count'],
};

const notComputable = (): Refused => new Refused('not-computable');

interface Facts {
  readonly model: Model;
  readonly step: Differ;
  readonly original: Posted;
  readonly name: string;
  /** What counts as entered so far. */
  entered(value: Value, posted: Decimal): Decimal;
}

export function differ(model: Model, step: Differ, name: string): void {
  const original = model.named(step.operation);
  if (original === undefined) throw new Error(`no operation ${step.operation}`);
  if (model.isReversed(step.operation)) throw new Refused('conflict');
  const entry = model.stepOf(step.operation);
  if (entry === undefined || VALUES[entry.kind]?.includes(step.value) !== true) throw notComputable();
  const before = model.posted.flatMap((each) => {
    const earlier = model.stepOf(each.name);
    const same = earlier?.kind === 'differ' && earlier.operation === step.operation && earlier.item === step.item;
    return same && !model.isReversed(each.name) ? [earlier] : [];
  });
  const entered = (value: Value, posted: Decimal): Decimal => {
    const last = before.filter((each) => each.value === value).at(-1);
    return last === undefined ? posted : d(last.right);
  };
  const facts: Facts = { model, step, original, name, entered };
  const right = d(step.right);
  switch (entry.kind) {
    case 'receipt':
      if (step.value === 'strength') return strengthened(facts, entry.strength);
      return changed(facts, material(step.operation), right, entered('volume', d(entry.litres)), d(1));
    case 'charge':
      return followed(facts, liquid(step.operation, entry.vessel), {
        change: changeOf(right, entered('volume', d(entry.litres))),
        line: 'production-in-process',
        booked: d(0),
      });
    case 'gauge':
      return followed(facts, original.lines[0]?.account ?? noLines(), {
        change: changeOf(right, entered('volume', d(entry.litres))),
        line: 're-measurement',
        booked: d(0),
      });
    case 'transfer': {
      const drawn = d(entry.litres);
      if (right.greaterThan(drawn)) throw notComputable();
      const line = original.lines.find(({ account }) => account.endsWith(`/${entry.to}`));
      return followed(facts, line?.account ?? noLines(), {
        change: changeOf(right, entered('loss', d(entry.loss))).negated(),
        line: 'process-loss',
        booked: shareOf(line?.amount ?? amount(0)),
      });
    }
    case 'opening':
      return opened(facts, entry.packaged, entry.liquid);
    case 'pack':
      return countedOf(facts, entry);
    default:
      throw new Error(`the model does not hold a difference of ${entry.kind}`);
  }
}

function opened(
  facts: Facts,
  bottles: { readonly nominal: string; readonly count: number },
  wash: { readonly vessel: string; readonly litres: string } | undefined,
): void {
  const { step, entered, original } = facts;
  const right = d(step.right);
  if (step.item === 'packed') {
    if (step.value !== 'count') throw notComputable();
    const wrong = entered('count', d(bottles.count));
    return changed(facts, packed(step.operation), right, wrong, d(bottles.nominal));
  }
  if (wash === undefined) throw new Error('no liquid was opened with');
  if (step.value !== 'volume') throw notComputable();
  const account = liquid(step.operation, wash.vessel);
  const posted = original.lines.find((line) => line.account === account)?.amount ?? amount(0);
  followed(facts, account, {
    change: changeOf(right, entered('volume', d(wash.litres))),
    line: 'opening',
    booked: shareOf(posted),
  });
}

function noLines(): never {
  throw notComputable();
}

function changeOf(right: Decimal, wrong: Decimal): Decimal {
  if (right.equals(wrong)) throw notComputable();
  return right.minus(wrong);
}

/** Alcohol in a litre. */
const shareOf = (what: Amount): Decimal => (what.litres.isZero() ? d(0) : alcoholOf(what).dividedBy(what.litres));

const post = ({ model, original, name }: Facts, lines: readonly Line[]): void =>
  model.post([{ name, site: original.site, at: NOW, timing: 'change', lines }]);

function strengthened(facts: Facts, posted: string): void {
  const { model, step, entered, name } = facts;
  const change = changeOf(d(step.right), entered('strength', d(posted)));
  const { lines, follow: found } = receivedAt(model, step.operation, change.dividedBy(100));
  if (lines.every((line) => line.amount.added.isZero())) throw new Refused('conflict');
  const site = facts.original.site;
  const there = lines.filter(({ account }) => siteOf(account) !== site);
  const when = { at: NOW, timing: 'change' as const };
  model.post([
    { ...when, name, site, lines: lines.filter((line) => !there.includes(line)) },
    ...(there.length === 0 ? [] : [{ ...when, name: counter(name), site: siteOf(there[0].account), lines: there }]),
  ]);
  for (const each of found) {
    const extract = model.extractOf(each.composition);
    model.finds(each.composition, { by: name, standing: 'of-record', extract, percent: each.percent });
  }
}

/** Of what is in one account, with the alcohol that a litre of it was entered with. */
function changed(facts: Facts, account: string, right: Decimal, wrong: Decimal, unit: Decimal): void {
  const posted = facts.original.lines.find((line) => line.account === account)?.amount ?? amount(0);
  const litres = changeOf(right, wrong).times(unit);
  const strength = facts.entered('strength', shareOf(posted).times(100)).dividedBy(100);
  const alcohol = six(litres.times(strength));
  const added = alcoholOf(posted).isZero() ? d(0) : six(alcohol.times(posted.added).dividedBy(alcoholOf(posted)));
  post(facts, [{ account, amount: amount(litres, alcohol.minus(added), added) }]);
}

/** A count of a run: what more of it hold was lost by the run where it took all that there was, and else was not left behind. */
function countedOf(facts: Facts, run: Pack): void {
  const { model, original, step, entered } = facts;
  const counted = entered('count', d(run.count));
  const change = changeOf(d(step.right), counted);
  const fill = d(run.fill ?? run.nominal);
  const drawn = change.times(fill);
  const inside = packed(step.operation);
  const filled = original.lines.find(({ account }) => account === inside)?.amount ?? amount(0);
  const there = model.balance(inside);
  const into = {
    account: inside,
    amount: atStrengthOf(there.litres.isZero() ? filled : there, change.times(run.nominal)),
  };
  const vessel = original.lines.find(({ account }) => account.startsWith('liquid/'));
  if (vessel === undefined) return noLines();
  if (run.loss === undefined) {
    const lost = vessel.amount.litres.negated().minus(fill.times(run.count));
    const rest = (lost.isNegative() ? d(0) : lost).minus(counted.minus(run.count).times(fill));
    if (drawn.greaterThan(rest)) throw notComputable();
    return post(facts, [into]);
  }
  const wrong = { change: drawn.negated(), line: '', booked: shareOf(vessel.amount) };
  const found = planned(facts, vessel.account, wrong);
  const category = categoryIn(model, vessel.account);
  if (found.lines.some(({ account }) => categoryIn(model, account) !== category)) throw notComputable();
  post(facts, [...found.lines, into]);
  restate(facts, found);
}

interface Wrong {
  readonly change: Decimal;
  /** The line of the books that it stood on. */
  readonly line: string;
  /** Alcohol in a litre when it was entered. */
  readonly booked: Decimal;
}

interface Plan extends Pick<Followed, 'derived'> {
  readonly lines: readonly Line[];
  /** What has left otherwise than as goods: by which lines, and how many litres. */
  readonly exits: readonly { readonly line: string; readonly litres: Decimal }[];
  /** Alcohol in a litre now. */
  readonly strength: Decimal;
}

/** Of liquid in vessels: by share over where it went. */
function planned({ model, original }: Facts, start: string, { change, booked }: Wrong): Plan {
  const composition = start.split('/')[1];
  const { inStock, left, derived } = follow(model, original.name, start, change);
  const found = model.foundOf(composition);
  const isFinished = found?.standing === 'of-record';
  for (const each of derived.keys()) {
    const now = model.foundOf(each);
    if (now?.standing === 'of-record' && now.measured === true) throw notComputable();
    if (now?.standing !== 'of-record' && isFinished) throw notComputable();
  }
  const category = categoryOf(model.lotOf(composition));
  for (const { account } of inStock) {
    if (siteOf(account) !== siteOf(start)) throw notComputable();
    if (!isFinished && categoryIn(model, account) !== category) throw notComputable();
  }
  const there = model.balance(start);
  const strength = isFinished ? d(percentOf(model, composition, found)).dividedBy(100) : shareOf(there);
  // What was lost before it was found finished had what was known then.
  const finish = model.standing(composition).find(({ standing }) => standing === 'of-record');
  const follows = left.filter(({ goods }) => !goods);
  const parts = [
    ...inStock.map(({ litres }) => ({ litres, strength })),
    ...follows.map((each) => ({
      litres: each.litres,
      strength: finish !== undefined && model.isAfter(each.by, finish.by) ? strength : booked,
    })),
  ];
  const litres = rounded(parts.map((part) => part.litres));
  const alcohol = rounded(parts.map((part) => part.litres.times(part.strength)));
  const known = [there, ...original.lines.filter(({ account }) => account === start).map((each) => each.amount)].find(
    (each) => !alcoholOf(each).isZero(),
  );
  const addedShare = known === undefined ? d(0) : known.added.dividedBy(alcoholOf(known));
  const lines = inStock.map(({ account }, index): Line => {
    const added = six(alcohol[index].times(addedShare));
    return { account, amount: amount(litres[index], alcohol[index].minus(added), added) };
  });
  const exits = follows.map((each, index) => ({ line: each.line, litres: litres[lines.length + index] }));
  return { lines, exits, derived, strength };
}

function followed(facts: Facts, start: string, wrong: Wrong): void {
  const { model, original } = facts;
  const found = planned(facts, start, wrong);
  const { lines, exits } = found;
  const isClosed = model.isClosed(original.site, original.at);
  const elsewhere = exits.some(({ line, litres }) => line !== wrong.line && !litres.isZero());
  // What was settled on the line that it stood on, or has left with goods, changes nothing.
  if (lines.every((each) => each.amount.litres.isZero()) && (isClosed || !elsewhere)) throw new Refused('conflict');
  post(facts, lines);
  restate(facts, found);
}

/** Mixtures that took in more or less of it are of another strength. */
function restate({ model, name }: Facts, { derived, strength }: Plan): void {
  for (const [each, { share, litres: all }] of derived) {
    const now = model.foundOf(each);
    if (now?.standing !== 'of-record') continue;
    const more = share.times(all);
    const old = d(percentOf(model, each, now));
    const value = old.times(all).plus(strength.times(100).times(more)).dividedBy(all.plus(more));
    if (value.minus(old).abs().greaterThan(1e-9)) {
      const percent = Number(value.toFixed(12));
      model.finds(each, { by: name, standing: 'of-record', extract: now.extract, percent });
    }
  }
}

/** The category that liquid stands under: that of its lot. */
function categoryIn(model: Model, account: string): string {
  const [kind, what] = account.split('/');
  if (kind === 'material') return 'materials';
  return categoryOf(model.lotOf(kind === 'packed' || kind === 'transit' ? model.packaged(what).composition : what));
}
