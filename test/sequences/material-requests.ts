import type { Driver } from './driver.js';
import type { Json } from './request-parts.js';
import { CELSIUS, litres, SURE, wayOut } from './request-parts.js';
import type { CountMaterial, MoveMaterial } from './step.js';

/** The requests of material lots that bear alcohol. */
export function ofMaterial(step: MoveMaterial | CountMaterial, driver: Driver): readonly [string, Json] {
  const named = { materialLotId: driver.id(`material/${step.material}`), volume: litres(step.litres) };
  const occurredAt = driver.timeOf(step.at);
  if (step.kind === 'move-material') return ['/v1/movements', { ...wayOut(step, driver), ...named, occurredAt }];
  const counts = [
    { ...named, temperature: CELSIUS, standardUncertainty: { value: SURE, unit: 'L' }, reasonCode: 'counting-error' },
  ];
  return ['/v1/stock-takes', { premisesId: driver.premises('here'), counts, occurredAt }];
}
