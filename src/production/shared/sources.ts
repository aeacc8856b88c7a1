import { malformed } from './references.js';
import type { DocumentReference } from './document.dto.js';
import type { WireQuantity } from './event.dto.js';
import type { StrengthCertificate } from './strength-certificate.dto.js';

/** Source of a stated figure, as an operation and its finding keep it for the evidence. */
export interface FigureSource {
  readonly kind: 'document' | 'certificate' | 'instrument';
  readonly number?: string;
  readonly date?: string;
  /** % vol at 20 °C; U in % vol. */
  readonly strengthPercent?: number;
  readonly expandedUncertaintyPercent?: number;
  readonly coverageFactor?: number;
  readonly instrumentId?: string;
}

interface Stated {
  readonly strength?: WireQuantity;
  readonly strengthStandardUncertainty?: WireQuantity;
  readonly document?: DocumentReference;
  readonly certificate?: StrengthCertificate;
  readonly instrumentId?: string;
}

/** Sources of what an entry states: its document, the certificate of its strength, the instrument of its volume. */
export const sourcesOf = ({ strength, document, certificate, instrumentId }: Stated): FigureSource[] => [
  ...(document === undefined ? [] : [{ kind: 'document' as const, number: document.number, date: document.date }]),
  ...(certificate === undefined
    ? []
    : [
        {
          kind: 'certificate' as const,
          number: certificate.number,
          date: certificate.date,
          ...(strength === undefined ? {} : { strengthPercent: strength.value }),
          expandedUncertaintyPercent: certificate.expandedUncertainty.value,
          coverageFactor: certificate.coverageFactor,
        },
      ]),
  ...(instrumentId === undefined ? [] : [{ kind: 'instrument' as const, instrumentId }]),
];

/** @throws ProblemException `validation-failed` for a certificate without its strength, or beside an uncertainty that is stated another way */
export function requireOneUncertainty({ strength, strengthStandardUncertainty, certificate }: Stated, at = ''): void {
  if (certificate === undefined) return;
  if (strength === undefined) {
    const detail = 'Give the strength that the certificate states.';
    throw malformed({ pointer: `${at}/strength`, rule: 'required', detail });
  }
  if (strengthStandardUncertainty !== undefined) {
    const detail = 'The certificate has its U and k: leave strengthStandardUncertainty out.';
    throw malformed({ pointer: `${at}/strengthStandardUncertainty`, rule: 'one-of-two', detail });
  }
}
