import type { DosedMaterial } from './doses.dto.js';

/** Doses as answers show them. */
export const shownDoses = (doses: readonly DosedMaterial[]): DosedMaterial[] =>
  doses.map(({ materialLotId, perContainer, pureAlcohol: alcohol }) => ({
    materialLotId,
    perContainer: { ...perContainer },
    pureAlcohol: { ...alcohol },
  }));
