import type { OpenedStock } from '../support/books.js';
import { openStock } from '../support/books.js';
import type { Floor } from '../support/floor.js';

const L = (value: number) => ({ value, unit: 'L' });

export interface Month extends OpenedStock {
  /** Bottles, then kegs. */
  readonly bottles: string;
  readonly kegs: string;
}

/** Stock on 1 March: a tank of cider, one that still ferments, 1000 bottles of beer and ten kegs of cider. */
export async function marchStock(floor: Floor): Promise<Month> {
  const opened = await openStock(
    floor,
    '2026-03-01T08:00:00Z',
    [
      { vessel: 'T1', category: 'cider', litres: 100, volumeU: 0.5, percent: 5, strengthU: 0.1 },
      { vessel: 'F1', category: 'sugar-ferment', litres: 200, volumeU: 1 },
    ],
    [
      {
        mark: 'B-1',
        category: 'beer',
        count: 1000,
        nominalLitres: 0.33,
        declaredPercent: 4.5,
        percent: 4.6,
        strengthU: 0.1,
      },
      {
        mark: 'K-1',
        category: 'cider',
        count: 10,
        nominalLitres: 19,
        declaredPercent: 5,
        percent: 5,
        strengthU: 0.05,
        container: 'keg',
      },
    ],
  );
  return { ...opened, bottles: opened.packaged[0], kegs: opened.packaged[1] };
}

/** Each kind of movement once in March. */
export async function marchMovements(floor: Floor, { bottles, kegs, lots, vessels }: Month): Promise<void> {
  const cider = { lotId: lots[0], vesselId: vessels[0] };
  const moves: Record<string, unknown>[] = [
    { kind: 'release', packagedLotId: bottles, count: 300, occurredAt: '2026-03-05T12:00:00Z', counterparty: 'A shop' },
    {
      kind: 'dispatch-suspended',
      packagedLotId: kegs,
      count: 2,
      occurredAt: '2026-03-06T12:00:00Z',
      counterparty: 'A warehouse',
      evidence: { document: 'DOC-1' },
    },
    {
      kind: 'export',
      packagedLotId: bottles,
      count: 100,
      occurredAt: '2026-03-07T12:00:00Z',
      evidence: { document: 'EX-1', proof: 'P-1' },
    },
    { kind: 'sample', ...cider, volume: { value: 500, unit: 'mL' }, occurredAt: '2026-03-08T12:00:00Z' },
    { kind: 'own-use', packagedLotId: bottles, count: 6, occurredAt: '2026-03-09T12:00:00Z' },
    { kind: 'process-loss', ...cider, volume: L(1), occurredAt: '2026-03-10T12:00:00Z' },
    { kind: 'packaging-loss', packagedLotId: bottles, count: 10, occurredAt: '2026-03-11T12:00:00Z' },
    { kind: 'accidental-loss', ...cider, volume: L(10), occurredAt: '2026-03-12T12:00:00Z', reasonCode: 'leak' },
    {
      kind: 'theft',
      packagedLotId: kegs,
      count: 1,
      occurredAt: '2026-03-13T12:00:00Z',
      reasonCode: 'theft',
      evidence: { report: 'REPORT-1' },
    },
    {
      kind: 'transit-loss',
      packagedLotId: bottles,
      count: 2,
      occurredAt: '2026-03-14T12:00:00Z',
      reasonCode: 'breakage',
      evidence: { document: 'DOC-2' },
    },
    {
      kind: 'destruction',
      packagedLotId: bottles,
      count: 5,
      occurredAt: '2026-03-15T12:00:00Z',
      reasonCode: 'spoilage',
      evidence: { method: 'poured off' },
      witness: 'Witness W (invented)',
    },
  ];
  for (const move of moves) {
    await floor.post('/v1/movements', move);
  }
}
