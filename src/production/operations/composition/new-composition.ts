import { uuidv7 } from 'uuidv7';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import type { AccountKey, NominalKind, Subject } from '../../../ledger/books/account.js';
import { liquidAccount, nominalAccount } from '../../../ledger/books/account.js';
import type { Amount } from '../../../ledger/books/amount.js';
import { amount } from '../../../ledger/books/amount.js';
import type { Components } from '../../../ledger/books/components.js';
import type { EventHead } from '../../../ledger/books/event.js';
import type { OperationHead } from '../../../ledger/books/operation-draft.js';
import type { OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { BooksRows, Facts, RowOf } from '../../../tenancy/producer-database/batch.js';
import type { CompositionKind } from '../../lots/compositions/composition.rows.js';
import { compositionRow } from '../../lots/compositions/composition.rows.js';
import type { Standing } from '../../measuring/finding-records/finding-kinds.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import { findingRow } from '../../measuring/finding-records/finding.rows.js';
import { inheritedFindingRow } from './inherited-finding.js';
import type { Mixed } from './mixtures.js';

type Place = Parameters<typeof liquidAccount>[0];

export interface CompositionFacts {
  readonly head: EventHead;
  readonly kind: CompositionKind;
  /** The lot that the composition belongs to. */
  readonly lot: { readonly id: string; readonly category: string };
  readonly place: Place;
  readonly vesselId: string;
}

/** Strength that a composition begins with, computed from its parts. */
export interface FirstFinding {
  readonly standing: Standing;
  readonly inputs: Facts;
  readonly warnings: readonly string[];
}

/** A composition that an operation makes: its account and subject, the head of the operation, its rows. */
export class NewComposition {
  readonly id = uuidv7();
  readonly account: AccountKey;
  readonly subject: Subject & { readonly lotId: string; readonly compositionId: string };
  #finding: { readonly id: string; readonly row: RowOf<'finding'> } | undefined;

  constructor(private readonly facts: CompositionFacts) {
    const { lot, place, vesselId } = facts;
    this.account = liquidAccount(place, this.id, vesselId);
    this.subject = { category: lot.category, lotId: lot.id, compositionId: this.id };
  }

  /** Id of the finding that the composition begins with. */
  get findingId(): string | undefined {
    return this.#finding?.id;
  }

  /** Head of the operation that makes the composition. */
  operation<T extends Pick<OperationHead, 'kind' | 'timing' | 'document' | 'keyId' | 'reasonCode'>>(
    what: T,
  ): T & EventHead & { premisesId: string; lotId: string; compositionId: string } {
    const { premisesId } = this.facts.place;
    return { ...what, ...this.facts.head, premisesId, lotId: this.subject.lotId, compositionId: this.id };
  }

  /** A nominal account of the composition's own category at its place. */
  nominal(kind: NominalKind): AccountKey {
    return nominalAccount(this.facts.place, kind, this.subject.category);
  }

  /** Moves what comes in from a nominal account. */
  receive(draft: OperationDraft, kind: NominalKind, what: Amount, components?: Components): void {
    draft.move(this.nominal(kind), this.account, what, this.subject, components);
  }

  /** Posts the volume change on mixing. */
  receiveVolumeChange(draft: OperationDraft, { volumeChange, changeComponents }: Mixed): void {
    this.receive(draft, 'mixing-volume-change', amount(volumeChange), changeComponents);
  }

  /** Begins the composition with the strength that was computed from its parts. */
  find(found: StrengthFinding, { standing, inputs, warnings }: FirstFinding): void {
    this.#begin((facts) =>
      findingRow({ ...facts, sampledAt: this.facts.head.occurredAt, standing, inputs, warnings }, found),
    );
  }

  /** Begins the composition with the finding of the liquid that it was split off from. */
  inherit(original: FindingRow): void {
    this.#begin((facts) => inheritedFindingRow({ ...facts, sampledAt: original.sampledAt }, original));
  }

  /** The row of the composition, and that of the finding that it begins with. */
  get rows(): Pick<BooksRows, 'composition' | 'finding'> {
    const { head, kind, lot, place } = this.facts;
    const { premisesId } = place;
    return {
      composition: [
        compositionRow({
          id: this.id,
          lotId: lot.id,
          premisesId,
          kind,
          operationId: head.id,
          openedAt: head.occurredAt,
        }),
      ],
      finding: this.#finding === undefined ? [] : [this.#finding.row],
    };
  }

  #begin(
    row: (facts: { id: string; lotId: string; compositionId: string; operationId: string }) => RowOf<'finding'>,
  ): void {
    const { lotId, compositionId } = this.subject;
    const id = uuidv7();
    this.#finding = { id, row: row({ id, lotId, compositionId, operationId: this.facts.head.id }) };
  }
}
