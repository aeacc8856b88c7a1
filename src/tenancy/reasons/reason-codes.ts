/** Facts that a reason needs beside its code, by their names in the request. `note` is `explanation` at a count of a stock-take. */
export type ReasonNeed = 'note' | 'occurredAt' | 'witness' | 'evidence/report' | 'evidence/method';

/** Entries that a reason is of: losses, counts and gauges; corrections and reversals of entries; struck readings. */
export type ReasonUse = 'loss' | 'correction' | 'strike';

export interface Reason {
  readonly code: string;
  readonly meaning: string;
  readonly uses: readonly ReasonUse[];
  readonly needs: readonly ReasonNeed[];
  /** Need of a witness, or the possibility of one. */
  readonly witness: 'needed' | 'possible' | 'none';
  /** Row of test/reference/excise/movement-kinds.csv that asks for it; else common practice, no source. */
  readonly reference?: string;
}

const ofLoss = (code: string, meaning: string, more: Partial<Reason> = {}): Reason => ({
  code,
  meaning,
  uses: ['loss'],
  needs: [],
  witness: 'none',
  ...more,
});

const ofEntry = (code: string, meaning: string, uses: readonly ReasonUse[] = ['correction']): Reason => ({
  code,
  meaning,
  uses,
  needs: [],
  witness: 'none',
});

/**
 * The closed list of reasons, each with what it needs.
 *
 * Source of the needs: test/reference/excise/movement-kinds.csv (a comparison of guides, acts and forms of seven countries) where `reference` names a
 * row. The division into codes is common practice, no source.
 */
export const REASONS: readonly Reason[] = [
  ofLoss('breakage', 'Containers broke or were damaged.', { witness: 'possible' }),
  ofLoss('leak', 'A vessel, a container, a pipe or a valve leaked.', { witness: 'possible' }),
  ofLoss('spill', 'Liquid ran over or was spilt, or a hose came off.', { witness: 'possible' }),
  ofLoss('evaporation', 'Liquid evaporated.'),
  ofLoss('yeast-loss', 'Liquid that went with yeast and trub.'),
  ofLoss('filter-loss', 'Liquid that a filter or another clarification kept.'),
  ofLoss('line-cleaning', 'Liquid drawn off when lines, hoses or vessels were cleaned or flushed.'),
  ofLoss('residue', 'Liquid that stayed in a vessel, a pipe or a hose and could not be drawn.'),
  ofLoss('spoilage', 'The goods went off, were infected, or got wet or dirty.'),
  ofLoss('past-date', 'The date on the goods passed.'),
  ofLoss('unsold', 'The goods were not sold.'),
  ofLoss('label-error', 'The label or the mark was wrong.'),
  ofLoss('sampling-error', 'A sample was not entered, or another volume was taken than was entered.'),
  ofLoss('measuring-error', 'A volume, a mass or a strength was measured wrong, now or before.'),
  ofLoss('counting-error', 'Containers were counted wrong, now or before.'),
  ofLoss('recording-error', 'An entry was left out, made twice, or made for other goods.'),
  ofLoss('transit', 'The goods were lost or damaged on the way.', { witness: 'possible' }),
  ofLoss('theft', 'The goods were stolen. Report it to the authority at once where local law asks for that.', {
    needs: ['occurredAt', 'evidence/report'],
    witness: 'possible',
    reference: 'theft',
  }),
  ofLoss('destruction', 'The goods were destroyed on purpose.', {
    needs: ['occurredAt', 'evidence/method', 'witness'],
    witness: 'needed',
    reference: 'destroyed_suspended',
  }),
  ofEntry('misread', 'An instrument was read wrong.', ['correction', 'strike']),
  ofEntry('typing-error', 'A value was typed wrong.', ['correction', 'strike']),
  ofEntry('wrong-lot', 'The entry names another lot than was meant.', ['correction', 'strike']),
  ofEntry('wrong-vessel', 'The entry names another vessel than was meant.'),
  ofEntry('wrong-time', 'The entry has another time than was meant.'),
  ofEntry('wrong-count', 'The entry has a wrong count.'),
  ofEntry('wrong-kind', 'The entry is of another kind than was meant.'),
  ofEntry('wrong-instrument', 'The reading names another instrument than was used.', ['strike']),
  ofEntry('entered-twice', 'The same event was entered twice.'),
  ofEntry('duplicate', 'The same reading was entered twice.', ['strike']),
  ofEntry('did-not-happen', 'What was entered did not happen.'),
  ofEntry('undone', 'The last entry was taken back right after it was made.', ['correction', 'strike']),
  ofEntry('laboratory-result', 'A laboratory found another value.'),
  {
    ...ofEntry('other', 'Another reason, which the text tells. By itself it frees no loss from duty.', [
      'loss',
      'correction',
      'strike',
    ]),
    needs: ['note'],
    witness: 'possible',
  },
];

const codesOf = (use: ReasonUse): string[] => REASONS.filter(({ uses }) => uses.includes(use)).map(({ code }) => code);

export const LOSS_REASONS: readonly string[] = codesOf('loss');
export const CORRECTION_REASONS: readonly string[] = codesOf('correction');
export const STRIKE_REASONS: readonly string[] = codesOf('strike');

const BY_CODE: ReadonlyMap<string, Reason> = new Map(REASONS.map((reason) => [reason.code, reason]));

/** The reason of a code; undefined for none and for a code that is not of the list. */
export const reasonOf = (code: string | undefined): Reason | undefined =>
  code === undefined ? undefined : BY_CODE.get(code);
