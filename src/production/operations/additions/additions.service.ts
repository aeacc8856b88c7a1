import { Injectable } from '@nestjs/common';
import type { StrengthFinding } from '../../../alcoholometry/strength/finding.js';
import { nominalAccount } from '../../../ledger/books/account.js';
import { bookStrengthPercent } from '../../../ledger/books/amount.js';
import { booksOf, OperationDraft } from '../../../ledger/books/operation-draft.js';
import type { StockAccount } from '../../../ledger/books/stock.reader.js';
import { readsOf } from '../../../ledger/books/stock.reader.js';
import type { EventHead } from '../../../ledger/books/event.js';
import { EventWriter } from '../../../ledger/corrections/event-writer.js';
import type { Batch, Facts, Plan } from '../../../tenancy/producer-database/batch.js';
import { Answer } from '../../../tenancy/producer-database/batch.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import type { Flag } from '../../shared/flag.dto.js';
import { eventAnswer } from '../../shared/event.js';
import type { Standing } from '../../measuring/finding-records/finding-kinds.js';
import { requirePlan } from '../../shared/plan-reference.js';
import { findingNow } from '../../measuring/position/vessel-draw.js';
import { NewComposition } from '../composition/new-composition.js';
import { requireAddable } from './addition-amount.js';
import type { AdditionMix, AdditionRead } from './addition-mix.js';
import { endsOriginalGravity, mixAddition } from './addition-mix.js';
import type { MaterialOnHand } from '../material-stock/material-stock.reader.js';
import { MaterialStockReader } from '../material-stock/material-stock.reader.js';
import type { MaterialUse } from '../material-stock/material-use.js';
import { materialUsed } from '../material-stock/material-use.js';
import { AdditionReader } from './addition.reader.js';
import type { AdditionAnswer, NewAddition } from './additions.dto.js';

/** Of record if the drink has finished; provisional while it is known what has fermented so far; none otherwise. */
function standingOf({ base }: AdditionMix): Standing | undefined {
  if (!base.inProcess) {
    return 'of-record';
  }
  return findingNow(base.target) === undefined ? undefined : 'provisional';
}

interface AddingRead extends AdditionRead {
  /** Quantity on hand of a material lot that the books do not hold, by its id. */
  readonly onHand: ReadonlyMap<string, MaterialOnHand>;
}

/** Something goes into a vessel: sugar, fruit, flavouring, water, acid, finings; each with its dose and its material lot. */
@Injectable()
export class AdditionsService {
  constructor(
    private readonly events: EventWriter,
    private readonly additions: AdditionReader,
    private readonly materials: MaterialStockReader,
  ) {}

  add(ctx: RequestContext, lotId: string, body: NewAddition): Promise<Answer<AdditionAnswer>> {
    requireAddable(body);
    return this.events.write(ctx, body, {
      read: async (tx) => {
        const read = await this.additions.read(tx, ctx.producerId, lotId, body);
        await requirePlan(tx, ctx.producerId, body.planId, 'addition', lotId);
        const { materialLotId } = body;
        const ids = materialLotId === undefined ? [] : [materialLotId];
        return { ...read, onHand: await this.materials.of(tx, ctx.producerId, ids) };
      },
      plan: (read, head) => this.plan(body, read, head),
    });
  }

  private plan(body: NewAddition, read: AddingRead, head: EventHead): Plan<AdditionAnswer> {
    const mix = mixAddition(body, read, `operation/${head.id}`);
    const { base, finding } = mix;
    const used = materialUsed(head.id, usesOf(body, mix), read.onHand);
    const flags = [...flagsOf(read, mix), ...used.flags];
    const document = documentOf(body, mix, flags);
    const { draft, rows, findingId } =
      finding === undefined
        ? recordOnly(mix, head, document)
        : changed(body, mix, finding, read.materialStock, { head, document });
    return {
      batch: { action: 'additions.add', ...booksOf(draft), rows: { ...rows, materialEntry: used.rows } },
      reads: readsOf(base.stock, ...(read.materialStock === undefined ? [] : [read.materialStock])),
      answer: new Answer(201, {
        ...eventAnswer(draft.head, mix.amount, mix.warnings),
        booked: mix.booked,
        inProcess: base.inProcess,
        ...(findingId === undefined ? {} : { findingId }),
        strength: { value: bookStrengthPercent(mix.amount) ?? 0, unit: '%' },
        expandedUncertainty: {
          value: finding?.strengthPercent.expanded ?? findingNow(base.target)?.expandedUncertainty ?? 0,
          unit: '%',
        },
        added: { value: mix.addedLitres.toNumber(), unit: 'L' },
        volumeChange: { value: mix.volumeChange.toNumber(), unit: 'L' },
        flags,
      }),
    };
  }
}

interface Entry {
  readonly draft: OperationDraft;
  readonly rows: NonNullable<Batch['rows']>;
  readonly findingId: string | undefined;
}

/** A negligible addition is on record, but the composition stays what it is. */
function recordOnly(mix: AdditionMix, head: EventHead, document: Facts): Entry {
  const { target, subject } = mix.base;
  const draft = new OperationDraft({
    ...head,
    kind: 'addition',
    timing: 'change',
    premisesId: target.composition.premisesId,
    lotId: subject.lotId,
    compositionId: subject.compositionId,
    document,
  });
  return { draft, rows: {}, findingId: undefined };
}

function changed(
  body: NewAddition,
  mix: AdditionMix,
  finding: StrengthFinding,
  materialStock: StockAccount | undefined,
  { head, document }: { readonly head: EventHead; readonly document: Facts },
): Entry {
  const { base, lines, warnings } = mix;
  const place = base.stock.account;
  const lot = { id: base.subject.lotId, category: base.subject.category };
  const result = new NewComposition({ head, kind: 'addition', lot, place, vesselId: body.vesselId });
  const draft = new OperationDraft(result.operation({ kind: 'addition', timing: 'change', document }));
  draft.move(place, result.account, base.amount, base.subject, base.components, result.subject);
  for (const { from, amount, components } of lines) {
    if (from !== 'material') {
      result.receive(draft, from, amount, components);
    } else if (materialStock !== undefined) {
      const { account } = materialStock;
      const material = { category: 'materials', materialLotId: account.materialLotId };
      draft.move(account, nominalAccount(account, 'used-as-material', 'materials'), amount, material, components);
      result.receive(draft, 'used-as-material', amount, components);
    }
  }
  const standing = standingOf(mix);
  if (standing !== undefined) {
    const inputs = { from: findingNow(base.target)?.id ?? null, addedLitres: mix.addedLitres.toFixed() };
    result.find(finding, { standing, inputs, warnings });
  }
  return { draft, rows: result.rows, findingId: result.findingId };
}

function documentOf(body: NewAddition, mix: AdditionMix, flags: readonly Flag[]): Facts {
  const { materialLotId, mass, volume, dose } = body;
  return {
    vesselId: body.vesselId,
    fromCompositionId: mix.base.subject.compositionId,
    purpose: body.purpose,
    booked: mix.booked,
    materials:
      materialLotId === undefined
        ? []
        : [{ materialLotId, ...(mass === undefined ? {} : { mass: { ...mass } }), ...volumeOf(mix, volume) }],
    dose: dose === undefined ? null : { ...dose },
    extract: body.extract ?? null,
    solubleFraction: body.solubleFraction ?? null,
    addedLitres: mix.addedLitres.toFixed(),
    volumeChangeL: mix.volumeChange.toFixed(),
    fermentable: mix.fermentable === undefined ? null : { ...mix.fermentable },
    warnings: mix.warnings,
    flags,
    planId: body.planId ?? null,
  };
}

/** The volume as given, or what the dose came to. */
const volumeOf = ({ usedLitres }: AdditionMix, volume: NewAddition['volume']): Facts => {
  if (volume !== undefined) {
    return { volume: { ...volume } };
  }
  return usedLitres === undefined ? {} : { volume: { value: usedLitres.toNumber(), unit: 'L' } };
};

/** Quantity that is taken from the material lot: the mass, or the litres as given or as the dose came to. */
function usesOf({ materialLotId, mass, volume }: NewAddition, { usedLitres }: AdditionMix): MaterialUse[] {
  const litres = usedLitres === undefined ? undefined : { value: usedLitres.toNumber(), unit: 'L' as const };
  const quantity = mass ?? volume ?? litres;
  return materialLotId === undefined || quantity === undefined ? [] : [{ materialLotId, quantity }];
}

function flagsOf(read: AdditionRead, mix: AdditionMix): Flag[] {
  const { lotId, compositionId } = mix.base.subject;
  return endsOriginalGravity(read, mix)
    ? [
        {
          code: 'original-gravity-ended',
          detail: `From here on the drop in gravity no longer gives the strength. Find the strength of what was there before: POST /v1/lots/${String(lotId)}/findings with compositionId ${String(compositionId)}, from a gravity taken before this addition; the alcohol goes on to what it became. Or measure the strength of what is there now.`,
        },
      ]
    : [];
}
