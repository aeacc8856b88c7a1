import { countedContainers, dayText, groupedNumber, momentText, operationNoun } from '../../platform/words.js';

/** Facts that a refusal of the database carries besides its code. */
export type RefusalFacts = Readonly<Record<string, unknown>>;

const text = (value: unknown): string | undefined => (typeof value === 'string' ? value : undefined);

const A_DAY_MS = 24 * 60 * 60_000;

/** A day of the calendar, or the one before it, as in `1 March 2026`. */
const calendarDay = (day: unknown, daysBefore = 0): string =>
  dayText(new Date(Date.parse(`${String(day)}T00:00:00Z`) - daysBefore * A_DAY_MS), 'UTC');

/** The moment that a refusal names, in the time of the premises; nothing where it names none. */
function moment({ at, timeZone }: RefusalFacts): string | undefined {
  const [when, zone] = [text(at), text(timeZone)];
  return when === undefined || zone === undefined ? undefined : momentText(new Date(when), zone);
}

/** The operation that a refusal names, by its kind and moment: `the gauge of 20 October 2026 at 14:30`. */
function operation(facts: RefusalFacts): string | undefined {
  const kind = text(facts.movementKind) ?? text(facts.operationKind);
  const when = moment(facts);
  return kind === undefined || when === undefined ? undefined : `the ${operationNoun(kind)} of ${when}`;
}

const capital = (words: string): string => words.slice(0, 1).toUpperCase() + words.slice(1);

/** A shortage, without its sign: whole containers where it is of containers, else litres. */
function shortage(quantity: unknown, { container, nominalLitres }: RefusalFacts): string {
  const litres = -Number((quantity as { value?: unknown } | undefined)?.value ?? 0);
  const [kind, each] = [text(container), Number(nominalLitres)];
  const count = Math.round((litres / each) * 1e6) / 1e6;
  return kind !== undefined && Number.isInteger(count) ? countedContainers(count, kind) : `${groupedNumber(litres)} L`;
}

function notEnough(facts: RefusalFacts): string | undefined {
  const when = moment(facts);
  if (when === undefined) {
    return undefined;
  }
  const { balanceThen } = facts;
  const enough = Number((balanceThen as { value?: unknown } | undefined)?.value ?? 0) >= 0;
  return enough
    ? `The volume would be enough on ${when}, its pure alcohol would not. Reverse the later entries first, or enter less.`
    : `On ${when} the stock would be short by ${shortage(balanceThen, facts)}. Enter less, or reverse what was taken out later.`;
}

function laterPosting(facts: RefusalFacts): string | undefined {
  const way = operation(facts);
  return way === undefined
    ? undefined
    : `${capital(way)} is later, and this changes what it was entered on. Give a time after it, or reverse it first.`;
}

/** Kinds of operation that `explains` may name. */
const EXPLAINABLE: ReadonlySet<string> = new Set(['gauge', 'count', 'finding']);

function assertionInTheWay(facts: RefusalFacts): string | undefined {
  const way = operation(facts);
  if (way === undefined) {
    return undefined;
  }
  const said = `${capital(way)} says what was there then, so an entry before it would contradict it. Give a time after it`;
  return EXPLAINABLE.has(String(facts.operationKind))
    ? `${said}; if this entry explains it, name it in \`explains\`.`
    : `${said}, or reverse it first.`;
}

function vesselInUse(facts: RefusalFacts): string | undefined {
  const [vessel, lot, when] = [text(facts.vesselName), text(facts.lotCode), moment(facts)];
  return vessel === undefined || lot === undefined || when === undefined
    ? undefined
    : `${vessel} holds lot ${lot} on ${when}. Empty it first, or use another vessel.`;
}

const litresText = (quantity: unknown): string | undefined => {
  const value = (quantity as { value?: unknown } | undefined)?.value;
  return value === undefined ? undefined : `${groupedNumber(String(value))} L`;
};

function overCapacity(facts: RefusalFacts): string | undefined {
  const [vessel, when, capacity, contents] = [
    text(facts.vesselName),
    moment(facts),
    litresText(facts.capacity),
    litresText(facts.contents),
  ];
  return vessel === undefined || when === undefined || capacity === undefined || contents === undefined
    ? undefined
    : `${vessel} can hold ${capacity}. With this entry it would hold ${contents} on ${when}. Check the volume and its unit; if they are right, put the capacity of the vessel right first.`;
}

function returnedSince(facts: RefusalFacts): string | undefined {
  const [mark, when] = [text(facts.lotMark), moment(facts)];
  return mark === undefined || when === undefined
    ? undefined
    : `By ${when}, ${shortage(facts.outstandingThen, facts)} of lot ${mark} more would have come back than had gone out. Reverse the later returns first, or enter fewer back.`;
}

function containerElsewhere(facts: RefusalFacts): string | undefined {
  const serial = text(facts.serial);
  if (serial === undefined) {
    return undefined;
  }
  const way = operation(facts);
  return way === undefined
    ? `Nothing is on record of container ${serial} that this entry could follow. Check the serial.`
    : `This entry of container ${serial} does not fit with ${way}. Check the serial, or enter first what happened in between.`;
}

function containerHoldsLess(facts: RefusalFacts): string | undefined {
  const [serial, way] = [text(facts.serial), operation(facts)];
  const contents = (facts.contents as { value?: unknown } | undefined)?.value;
  return serial === undefined || way === undefined || contents === undefined
    ? undefined
    : `Container ${serial} holds ${groupedNumber(String(contents))} L by ${way}; more cannot come out of it. Give the measured volume.`;
}

const periodClosed = ({ startsOn, endsBefore }: RefusalFacts): string | undefined =>
  text(startsOn) === undefined || text(endsBefore) === undefined
    ? undefined
    : `The period from ${calendarDay(startsOn)} to ${calendarDay(endsBefore, 1)} is closed. Enter it in the open period; a mistake in a closed period is put right with \`corrects\`.`;

function periodNotOpen(facts: RefusalFacts): string | undefined {
  const [name, when] = [text(facts.premisesName), moment(facts)];
  return name === undefined || when === undefined
    ? undefined
    : `${name} has no open period on ${when}. Open the period first, or give another time. What was in stock before the first period is entered as an opening stock (POST /v1/openings) in it.`;
}

const readingInUse = ({ countsAgain }: RefusalFacts): string | undefined =>
  countsAgain === true
    ? 'Without this finding an earlier one would count again that rests on a struck reading. Correct the reading that was entered instead.'
    : undefined;

/** One thing that remains at premises: its kind, and its name in words. */
export interface Remains {
  readonly kind: string;
  readonly name: string;
}

const REMAINS: Readonly<Record<string, string>> = {
  period: 'the open period ',
  stock: '',
  'in-transit': 'on its way ',
  proof: 'no proof of the ',
};
const MOST_NAMED = 8;

/** Words for everything that remains at premises that are to be closed down, and what to do. */
export function remainsWords(premises: string, remains: readonly Remains[]): string {
  const named = remains.slice(0, MOST_NAMED).map(({ kind, name }) => `${REMAINS[kind] ?? `${kind} `}${name}`);
  const more = remains.length > MOST_NAMED ? `; and ${remains.length - MOST_NAMED} more` : '';
  return `At ${premises} there remain: ${named.join('; ')}${more}. Send out, destroy or use up the stock, settle what is open and close the periods, then close the premises down.`;
}

function premisesInUse({ premisesName, remains, closedDown, hasReports }: RefusalFacts): string | undefined {
  const name = text(premisesName);
  if (name === undefined) {
    return undefined;
  }
  if (closedDown === true) {
    return `${name} was closed down, with its last report. It is not brought back; add new premises.`;
  }
  if (hasReports === true) {
    return `${name} has reports. Close it down with POST /v1/premises/{id}/closing-down, so that its last report is marked.`;
  }
  return Array.isArray(remains) ? remainsWords(name, remains as Remains[]) : undefined;
}

const WORDS: Readonly<Record<string, (facts: RefusalFacts) => string | undefined>> = {
  'insufficient-stock': notEnough,
  'later-posting-in-the-way': laterPosting,
  'assertion-in-the-way': assertionInTheWay,
  'vessel-in-use': vesselInUse,
  'over-capacity': overCapacity,
  'returned-since': returnedSince,
  'container-elsewhere': containerElsewhere,
  'container-holds-less': containerHoldsLess,
  'reading-in-use': readingInUse,
  'in-use': premisesInUse,
  'period-closed': periodClosed,
  'period-not-open': periodNotOpen,
};

/** Words of a refusal of the database: what happened and what to do next. Undefined where its facts do not suffice. */
export const refusalWords = (code: string, facts: RefusalFacts): string | undefined => WORDS[code]?.(facts);
