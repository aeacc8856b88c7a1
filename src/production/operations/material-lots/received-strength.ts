import { groupedNumber } from '../../../platform/words.js';
import type { Material } from '../../registers/materials/materials.dto.js';
import { malformed } from '../../shared/references.js';
import type { NewMaterialLot } from './material-lots.dto.js';

/** A lot of spirit below the strength of its material by more than this factor is taken for a slip of the decimal point; common practice, no source. */
const FAR_BELOW = 10;

/**
 * Strength of a material lot, % vol: its own, or that of its material; null for one without alcohol.
 *
 * @throws ProblemException `validation-failed` for a spirit without strength, or far below that of its material
 */
export function receivedStrength(body: NewMaterialLot, material: Material): number | null {
  const [own, usual] = [body.strength?.value, material.strength?.value];
  const strength = own ?? usual ?? null;
  if (material.kind !== 'spirit') {
    return strength;
  }
  if (strength === null || strength === 0) {
    const detail =
      'A spirit is received with its strength, so that its alcohol is in the books: give strength, for example { "value": 96, "unit": "%" }, or give it to the material once.';
    throw malformed({ pointer: '/strength', rule: 'strength-needed', detail });
  }
  if (usual !== undefined && strength * FAR_BELOW < usual) {
    const meant = strength <= 1 ? Number((strength * 100).toFixed(4)) : usual;
    const detail = `${groupedNumber(strength)} % vol is far below the ${groupedNumber(usual)} % vol of the material. Did you mean ${groupedNumber(meant)}? A strength is given in %. If it is right, receive it as a material of its own.`;
    throw malformed({ pointer: '/strength', rule: 'strength-far-off', detail, suggestion: String(meant) });
  }
  return strength;
}
