import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import type { Mixed, Part } from '../composition/mixtures.js';
import { mixParts } from '../composition/mixtures.js';
import { waterPart } from '../composition/water.js';
import type { NewDilution } from './dilutions.dto.js';

export type DilutionFacts = Pick<NewDilution, 'vesselId' | 'water' | 'targetStrength' | 'waterStandardUncertainty'>;

/** Mixes water into what is in the vessel. @param operation origin of the uncertainty of the water */
export function mixDilution(
  body: DilutionFacts,
  account: StockAccount,
  finding: FindingRow,
  operation: string,
): { readonly water: Part; readonly mixed: Mixed } {
  const { balance, components } = account;
  const lot = { name: 'lot', amount: balance, components, extractPlato: finding.realExtractPlato ?? 0 };
  const water = waterPart(body, [lot], operation);
  return { water, mixed: mixParts([lot, water]) };
}
