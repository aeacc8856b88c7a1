import { Exact } from '../../metrology/decimals.js';
import type { Decimal } from '../../metrology/decimals.js';
import { toBookLitres } from '../../metrology/units.js';
import type { Flag } from '../../production/shared/flag.dto.js';
import { malformed } from '../../production/shared/references.js';
import type { SettingsInForce } from '../../tenancy/producers/producers.dto.js';
import type { MovementKind } from './movement-kinds.js';

/** Goods of a movement, as far as the recipient depends on them. */
export interface Handed {
  readonly kind: MovementKind;
  readonly counterparty: string | undefined;
  readonly litres: Decimal;
  readonly isPacked: boolean;
}

export const RECIPIENT_MISSING: Flag = {
  code: 'recipient-missing',
  detail: 'Nobody is named who received the goods: correct the entry and give counterparty.',
};

/** Goods are handed to somebody outside: dispatches, exports, packed samples, and releases above what counts as retail. */
function goesToRecipient({ kind, litres, isPacked }: Handed, { retailVolume }: SettingsInForce): boolean {
  switch (kind) {
    case 'dispatch-suspended':
    case 'export':
      return true;
    case 'sample':
      return isPacked;
    case 'release':
      return isPacked && litres.greaterThan(toBookLitres(retailVolume).litres);
    default:
      return false;
  }
}

/**
 * The doubt about a movement that names nobody though the settings ask for the recipient; undefined where there is none.
 *
 * @throws ProblemException `validation-failed` where the settings refuse it
 */
export function recipientDoubt(handed: Handed, settings: SettingsInForce): Flag | undefined {
  const { recipientRequired } = settings;
  if (handed.counterparty !== undefined || recipientRequired === 'no' || !goesToRecipient(handed, settings)) {
    return undefined;
  }
  if (recipientRequired === 'refuse') {
    const detail = `Name in counterparty who receives the goods: the settings ask for it. Releases of up to ${new Exact(retailVolume(settings)).toFixed()} L need none.`;
    throw malformed({ pointer: '/counterparty', rule: 'recipient-required', detail });
  }
  return RECIPIENT_MISSING;
}

const retailVolume = ({ retailVolume: volume }: SettingsInForce): Decimal => toBookLitres(volume).litres;
