import { NestedList, Optional } from '../../platform/validation/field.js';
import { IsDateOnly, IsId, IsPattern, IsPlainText } from '../../platform/validation/fields.js';

export class NewFiling {
  @IsDateOnly({
    description: 'Day on which it was filed, after the period’s end and not in the future.',
    example: '2026-11-12',
  })
  filedOn: string;

  @IsPlainText({ max: 120 }, { description: 'The authority’s number for it, or your own.', example: 'RET-2026-10' })
  reference: string;

  @Optional()
  @IsId({ description: 'Who filed it; the key that entered it is kept in any case.' })
  personId?: string;

  @Optional()
  @IsPlainText(
    { max: 2000, multiline: true },
    { description: 'Kept outside the audit trail, which holds a salted hash of it.' },
  )
  note?: string;

  @Optional()
  @IsId({ description: 'The filing that this one amends: the latest one of the period.' })
  amends?: string;
}

/** A filing of a closed period’s report. */
export class Filing extends NewFiling {
  @IsId()
  id: string;

  @IsId()
  periodId: string;

  @IsId({ description: 'The key that entered it.' })
  keyId: string;

  @IsPattern(/^[0-9a-f]{64}$/, 'a SHA-256 hash', { max: 64 }, { description: 'SHA-256 of the report that was closed.' })
  reportHash: string;
}

/** The filings of a period, the first one first. */
export class Filings {
  @NestedList(() => Filing, { max: 10_000 }, { description: 'The first filing, then those that amend it.' })
  items: Filing[];
}
