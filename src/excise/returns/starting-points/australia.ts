import type { DutyTerm, FormLine } from '../rules/mapping.js';
import type { ReturnMappingStart } from './starting-point.js';

const litres = (value: number) => ({ value, unit: 'L' }) as const;
const percent = (value: number) => ({ value, unit: '%' }) as const;

type Strengths = Pick<DutyTerm, 'fromStrength' | 'belowStrength'>;

const beer = (more: Partial<DutyTerm>): DutyTerm => ({
  part: 'releases',
  dutyCategories: ['beer'],
  byDutyBasis: true,
  ...more,
});

/** Less than 8 L, or up to 48 L and not made for dispense. */
const small = (line: string, words: string, strengths: Strengths): FormLine => ({
  line,
  label: `Beer, ${words}: below 8 L, or to 48 L and not for dispense`,
  duty: [
    beer({ ...strengths, belowVolume: litres(8) }),
    beer({ ...strengths, fromVolume: litres(8), belowVolume: litres(48.000001), forDispense: false }),
  ],
});

/** Above 48 L, or from 8 L on and made for dispense. */
const large = (line: string, words: string, strengths: Strengths): FormLine => ({
  line,
  label: `Beer, ${words}: above 48 L, or from 8 L for dispense`,
  duty: [
    beer({ ...strengths, fromVolume: litres(48.000001) }),
    beer({ ...strengths, fromVolume: litres(8), belowVolume: litres(48.000001), forDispense: true }),
  ],
});

const LOW = { belowStrength: percent(3.000001) };
const MIDDLE = { fromStrength: percent(3.000001), belowStrength: percent(3.500001) };
const FULL = { fromStrength: percent(3.500001) };

export const AUSTRALIA_RETURN: ReturnMappingStart = {
  key: 'au-excise-return',
  title: 'Australia: litres of alcohol by tariff subitem',
  seen: 'Subitems 1.1, 1.2, 1.5, 1.6, 1.10 and 1.11, their containers and the cut to 0.1 as published; that 1.5 and 1.6 run above 3 to 3.5 % and 1.10 and 1.11 above 3.5 % is from the earlier schedule and from memory. It names the categories of the duty rules of the starting point au-litres-of-alcohol: add those rules first. Rates move twice a year: a line with a factor turns litres of alcohol into duty.',
  mapping: {
    name: 'Australian excise return',
    formTitle: 'Excise return: litres of alcohol by tariff item',
    sources: [
      {
        citation:
          'Excise Act 1901 s.77FC, notes 1 and 2: containers of subitems 1.1, 1.5, 1.10 and of 1.2, 1.6, 1.11 of the Schedule to the Excise Tariff Act 1921',
        url: 'https://ato.gov.au/law/view/document?DocID=PAC%2F19010009%2F77FC&PiT=99991231235958',
        edition: 'undated',
      },
      {
        citation: 'Excise Tariff Amendment (Supporting Craft Brewers) Act 2019, Schedule 1: subitem 1.1 to 3 % vol',
        url: 'https://www.ato.gov.au/law/view/document?DocID=PAC%2F20190048%2FSch1-Cl1&PiT=99991231235958',
        edition: '2019',
      },
      {
        citation:
          'ATO, calculating alcohol excise duty: two decimals up to the return, then litres of alcohol of each line truncated to one',
        url: 'https://www.ato.gov.au/Business/Excise-on-alcohol/Calculating-alcohol-excise-duty/',
        edition: 'March 2023',
      },
    ],
    unit: 'L-pure-alcohol',
    rounding: [{ unit: 'L-pure-alcohol', mode: 'cut', places: 1 }],
    lines: [
      small('1.1', 'to 3 %', LOW),
      large('1.2', 'to 3 %', LOW),
      small('1.5', 'above 3 to 3.5 %', MIDDLE),
      large('1.6', 'above 3 to 3.5 %', MIDDLE),
      small('1.10', 'above 3.5 %', FULL),
      large('1.11', 'above 3.5 %', FULL),
      {
        line: '2 and 3',
        label: 'Other excisable beverages and spirits',
        duty: [{ part: 'releases', dutyCategories: ['other'], byDutyBasis: true }],
        note: 'take it apart by subitem if you make both',
      },
    ],
  },
};
