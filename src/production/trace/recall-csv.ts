import { stringify } from 'csv-stringify/sync';
import { csvText } from '../../platform/csv-text.js';
import type { Recall, Recipient } from './trace.dto.js';

const COLUMNS = [
  'packaged_lot_id',
  'lot_mark',
  'lot',
  'container',
  'nominal_l',
  'packaged_on',
  'share',
  'share_of_source',
  'packed',
  'on_hand',
  'released',
  'recipients',
  'returned',
  'outstanding',
  'returns',
];

const recipientText = ({ counterparty, kind, occurredAt, count }: Recipient): string =>
  `${counterparty ?? 'not named'} (${kind}, ${occurredAt}, ${count ?? 0})`;

/** The recall list as CSV, a line a packaged lot; texts that a spreadsheet would run as a formula stand behind an apostrophe. */
export const recallCsv = ({ packagedLots }: Recall): string =>
  stringify(
    [
      COLUMNS,
      ...packagedLots.map((row) => [
        row.packagedLotId,
        csvText(row.lotMark),
        csvText(row.lotCode),
        csvText(row.container),
        row.nominalVolume.value,
        row.packagedOn,
        row.share,
        row.shareOfSource,
        row.packed,
        row.onHand,
        row.released,
        csvText(row.recipients.map(recipientText).join('; ')),
        row.returned,
        row.outstanding,
        csvText(row.returns.map(recipientText).join('; ')),
      ]),
    ],
    { record_delimiter: '\r\n' },
  );
