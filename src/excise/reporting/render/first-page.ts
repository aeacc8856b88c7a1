import type { Column, Content } from 'pdfmake/interfaces.js';
import type { Approval } from '../../../tenancy/premises/premises.dto.js';
import type { ReportPremises, ReportProducer } from '../documents/report-head.dto.js';

const NOT_GIVEN = 'not given';
const LINE = '#1a1a1a';

/** As in `BR-0001, Customs office`. */
const approvalWords = ({ number, authority }: Approval): string => `${number}, ${authority}`;

const oneLine = (text: string | undefined): string => text?.replaceAll('\n', ', ') ?? NOT_GIVEN;

type Fact = readonly [string, string];

/** The producer as the authority knows it. */
export const producerFacts = ({ name, legalName, address, taxNumber }: ReportProducer): Fact[] => [
  ['Producer', legalName === undefined || legalName === name ? name : `${legalName} (${name})`],
  ['Address', oneLine(address)],
  ['Tax number', taxNumber ?? NOT_GIVEN],
];

type HeadPremises = Pick<ReportPremises, 'name' | 'address' | 'approvals'>;

/** One of the premises with its approvals and its address. */
export const premisesFacts = ({ name, address, approvals }: HeadPremises): Fact[] => [
  ['Premises', `${name}, ${oneLine(address ?? `address ${NOT_GIVEN}`)}`],
  ['Approval', approvals.map(approvalWords).join('; ') || NOT_GIVEN],
];

/** The same for the table of facts, under the names of the document; what is not given is left out. */
export const headFacts = (producer: ReportProducer, premises: readonly HeadPremises[]): [string, string][] => {
  const facts: [string, string | undefined][] = [
    ['producer', producer.name],
    ['legalName', producer.legalName],
    ['address', producer.address],
    ['taxNumber', producer.taxNumber],
    ...premises.flatMap(({ name, address, approvals }): [string, string | undefined][] => [
      ['premises', name],
      ['premisesAddress', address],
      ...approvals.map((each): [string, string] => ['approval', approvalWords(each)]),
    ]),
  ];
  return facts.flatMap(([fact, value]) => (value === undefined ? [] : [[fact, value]]));
};

const signed = (label: string): Column => ({
  width: '*',
  stack: [
    { canvas: [{ type: 'line', x1: 0, y1: 0, x2: 150, y2: 0, lineWidth: 0.7, lineColor: LINE }] },
    { text: label, fontSize: 8, margin: [0, 2, 0, 0] },
  ],
});

/** Lines for name, date and signature; what is signed is for the signer and local law to say. */
export const signatureBlock = (): Content => ({
  unbreakable: true,
  margin: [0, 30, 0, 0],
  columnGap: 20,
  columns: ['Name and position', 'Date', 'Signature'].map(signed),
});
