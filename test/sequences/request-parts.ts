import type { Driver } from './driver.js';
import type { Added, MoveBulk, MoveMaterial, MovePacked, Return, Rework } from './step.js';

// What the requests of several steps have in common.

export type Json = Record<string, unknown>;

export const litres = (value: string) => ({ value: Number(value), unit: 'L' });
export const percent = (value: string) => ({ value: Number(value), unit: '%' });
/** Which containers, where they have serials. */
export const bySerial = ({ serials }: { readonly serials?: readonly string[] }) =>
  serials === undefined ? {} : { serials };
/** How many full ones, or how much of one that is part full. */
export const counted = (step: MovePacked | Return | Rework): Json => ({
  ...(step.litres === undefined ? { count: step.count } : { volume: litres(step.litres) }),
  ...bySerial(step),
});
export const CELSIUS = { value: 20, unit: 'Cel' };
/** What is measured is unsure by next to nothing, strengths too, because volumes follow from them: so no gain is within it. */
export const SURE = 0.000001;

/** What the kinds of movement ask for, whichever is asked for. */
export function wayOut({ kind, way, explains }: MoveBulk | MovePacked | MoveMaterial, driver: Driver): Json {
  const needs: Json = {
    kind: way,
    ...(way === 'dispatch-suspended' ? { counterparty: 'A store (invented)' } : {}),
    ...(['dispatch-suspended', 'export', 'transit-loss'].includes(way) ? { evidence: { document: 'DOC-1' } } : {}),
    ...(['accidental-loss', 'theft', 'transit-loss', 'destruction'].includes(way)
      ? { reasonCode: 'recording-error' }
      : {}),
    ...(way === 'theft' ? { evidence: { report: 'REPORT-1' } } : {}),
    ...(way === 'destruction' ? { evidence: { method: 'poured off' }, witness: 'W (invented)' } : {}),
    ...(way === 'own-use' && kind === 'move-bulk' ? { declaredStrength: percent('5') } : {}),
  };
  return { ...needs, ...(explains === undefined ? {} : { explains: driver.id(`operation/${explains}`) }) };
}

export async function addition(added: Added, driver: Driver): Promise<Json> {
  switch (added.what) {
    case 'chase-water':
      return { purpose: 'chase-water', volume: litres(added.litres) };
    case 'syrup':
      return {
        purpose: 'sugar',
        materialLotId: await driver.syrup(added.owner),
        volume: litres(added.litres),
        extract: added.plato,
      };
    case 'alcohol':
      return {
        purpose: 'flavouring',
        materialLotId: driver.id(`material/${added.material}`),
        volume: litres(added.litres),
      };
    case 'sugar':
      return {
        purpose: 'sugar',
        materialLotId: await driver.sugar(added.owner),
        mass: { value: Number(added.kilograms), unit: 'kg' },
      };
    case 'fining':
      return {
        purpose: 'fining',
        materialLotId: await driver.fining(added.owner),
        mass: { value: Number(added.kilograms), unit: 'kg' },
      };
  }
}
