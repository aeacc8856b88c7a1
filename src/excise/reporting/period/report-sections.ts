import type { Content } from 'pdfmake/interfaces.js';
import type { PeriodReport } from '../documents/report.dto.js';
import type { References } from './annex.js';
import {
  basisWord,
  exact6,
  figureCells,
  fixed,
  isNothing,
  localTime,
  plain,
  to3,
  words,
} from '../render/figures-text.js';
import type { Cell, Column } from '../render/page.js';
import { bolded, factList, FIGURE_COLUMNS, h1, h2, quiet, table, titled } from '../render/page.js';

const REFERENCE: Column = { head: 'Ref.', width: 26, right: true };

/** Every line that is not empty, between opening and closing. */
export function balancePart({ opening, lines, closing }: PeriodReport, references: References): Content[] {
  const filled = lines.filter((line) => !isNothing(line));
  const empty = lines.filter(isNothing).map(({ line }) => words(line));
  return [
    titled(
      [h1('Balance by line'), quiet('Effect on stock: what goes out is negative. Litres at 20 °C, exact; U at 95 %.')],
      table(
        [{ head: 'Line', width: '*' }, ...FIGURE_COLUMNS, REFERENCE],
        [
          [...bolded(['Opening', ...figureCells(opening)]), ''],
          ...filled.map((line) => [
            words(line.line),
            ...figureCells(line),
            references.of({ figure: 'line', line: line.line }, words(line.line)),
          ]),
          [...bolded(['Closing', ...figureCells(closing)]), ''],
        ],
      ),
    ),
    ...(empty.length === 0 ? [] : [quiet(`Nothing on: ${empty.join(', ')}.`)]),
  ];
}

export function categoriesPart({ categories }: PeriodReport, references: References): Content[] {
  return [
    titled(
      [h1('By category')],
      table(
        [{ head: 'Category', width: 88 }, { head: 'Line', width: '*' }, ...FIGURE_COLUMNS, REFERENCE],
        categories.flatMap(({ category, opening, lines, closing }): Cell[][] => [
          [...bolded([words(category), 'opening', ...figureCells(opening)]), ''],
          ...lines.map((line) => [
            words(category),
            words(line.line),
            ...figureCells(line),
            references.of(
              { figure: 'category-line', line: line.line, category },
              `${words(category)}: ${words(line.line)}`,
            ),
          ]),
          [...bolded([words(category), 'closing', ...figureCells(closing)]), ''],
        ]),
        { none: 'No category had anything.' },
      ),
    ),
  ];
}

export function stockPart({ stock }: PeriodReport, references: References): Content[] {
  return [
    titled(
      [h1('Stock at the end')],
      table(
        [{ head: 'By stage and standing', width: '*' }, ...FIGURE_COLUMNS],
        [
          ...stock.byStage.map((each): Cell[] => [`stage: ${words(each.stage)}`, ...figureCells(each)]),
          ...stock.byStanding.map((each): Cell[] => [`standing: ${words(each.standing)}`, ...figureCells(each)]),
        ],
      ),
    ),
    ...(stock.byOwner === undefined
      ? []
      : [
          titled(
            [h2('Whose it is')],
            table(
              [{ head: 'Owner', width: '*' }, ...FIGURE_COLUMNS],
              stock.byOwner.map((each): Cell[] => [each.owner ?? 'the producer', ...figureCells(each)]),
            ),
          ),
        ]),
    titled(
      [h2('Each stock')],
      table(
        [
          { head: 'What', width: '*' },
          { head: 'Category', width: 74 },
          { head: 'Count', width: 36, right: true },
          { head: '% vol', width: 34, right: true },
          { head: 'Litres', width: 66, right: true },
          { head: 'L pure alcohol', width: 64, right: true },
          { head: 'U, L pure', width: 44, right: true },
          REFERENCE,
        ],
        stock.items.map((each): Cell[] => [
          each.what,
          words(each.category),
          each.count === undefined ? '' : plain(each.count),
          each.bookStrength === undefined ? '' : fixed(each.bookStrength.value, 3),
          exact6(each.litres),
          exact6(each.litresOfPureAlcohol),
          to3(each.expandedUncertainty.litresOfPureAlcohol),
          references.of({ figure: 'stock', accountId: each.accountId }, `stock: ${each.what}`),
        ]),
        { none: 'Nothing was in stock.' },
      ),
    ),
    quiet('A stock without a reference did not move in this period: its operations are in the reports before.'),
  ];
}

export function inProcessPart({ lotsInProcess, period }: PeriodReport): Content[] {
  return [
    titled(
      [h1('Lots in process at the end')],
      table(
        [
          { head: 'Lot', width: '*' },
          { head: 'Strength so far', width: 74, right: true },
          { head: 'U (95 %)', width: 44, right: true },
          { head: 'Sampled (local)', width: 82 },
          { head: 'Litres', width: 68, right: true },
          { head: 'L pure alcohol', width: 68, right: true },
          { head: 'U, L pure', width: 44, right: true },
        ],
        lotsInProcess.map((each): Cell[] => [
          each.lotCode,
          each.finding === undefined ? 'not known' : `${fixed(each.finding.strength.value, 3)} % vol`,
          each.finding === undefined ? '' : fixed(each.finding.expandedUncertainty.value, 3),
          each.finding === undefined ? '' : localTime(each.finding.sampledAt, period.timeZone),
          exact6(each.litres),
          exact6(each.litresOfPureAlcohol),
          to3(each.expandedUncertainty.litresOfPureAlcohol),
        ]),
        { none: 'No lot was in process.' },
      ),
    ),
  ];
}

/** Three reconciliation to the closing figures, and what the document was made with. */
export function reconciliationOf({ reconciliation, versions, basis }: PeriodReport): Content[] {
  return [
    titled(
      [h1('Three reconciliation to the closing figures')],
      table(
        [
          { head: 'Road', width: '*' },
          { head: 'Litres', width: 90, right: true },
          { head: 'Pure alcohol fermented', width: 110, right: true },
          { head: 'Pure alcohol added', width: 110, right: true },
        ],
        [
          ['opening, from the frozen report before', reconciliation.opening],
          ['flows, from the nominal accounts', reconciliation.flows],
          ['closing, from the stock accounts', reconciliation.closing],
          ['difference', reconciliation.difference],
        ].map(([name, road]) => {
          const { litres, fermented, added } = road as typeof reconciliation.opening;
          return [name as string, exact6(litres), exact6(fermented), exact6(added)];
        }),
      ),
    ),
    quiet(reconciliation.balances ? 'They meet to the last decimal.' : 'THEY DO NOT MEET.'),
    titled(
      [h2('Made with')],
      factList([
        ['Program', versions.program],
        ['Methods', versions.methods.map(({ id, version }) => `${words(id)} ${version}`).join(', ') || 'none'],
        ['Rule set', `${versions.ruleSet.id} ${versions.ruleSet.version}`],
        [
          'Basis',
          Object.entries(basis)
            .map(([name, value]) => `${name}: ${basisWord(value)}`)
            .join('; '),
        ],
      ]),
    ),
  ];
}
