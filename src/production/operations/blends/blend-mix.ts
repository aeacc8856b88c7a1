import { requireSameOwner } from '../../shared/owner.js';
import type { GravityScale } from '../../../alcoholometry/liquids/gravity-scales.js';
import { toExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import { amount } from '../../../ledger/books/amount.js';
import { volumeComponents } from '../../../ledger/books/components.js';
import { toBookLitres } from '../../../metrology/units.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import { drawMeasure } from '../../measuring/volumes/draw-measure.js';
import { measuredVolume } from '../../measuring/volumes/measured-volume.js';
import type { Mixed, Part } from '../composition/mixtures.js';
import { mixParts } from '../composition/mixtures.js';
import { waterPart } from '../composition/water.js';
import type { CompositionPosition } from '../../measuring/position/lot-position.js';
import type { KnownExtract } from '../../measuring/position/extract.reader.js';
import type { VesselDraw } from '../../measuring/position/vessel-draw.js';
import { drawFrom, stockIn } from '../../measuring/position/vessel-draw.js';
import { malformed } from '../../shared/references.js';
import type { BlendWash, NewBlend } from './blends.dto.js';

/** A component as it stands, in the order of the body. */
export interface StandingComponent {
  readonly target: CompositionPosition | undefined;
  readonly extract: KnownExtract;
  readonly premisesId: string;
}

/** Facts that a blend is computed from. */
export interface BlendRead {
  readonly lot: {
    readonly id: string;
    readonly category: string;
    readonly premisesId: string;
    readonly owner: string | null;
  };
  readonly vesselPremisesId: string;
  readonly standing: CompositionPosition | undefined;
  readonly components: readonly StandingComponent[];
}

export type BlendFacts = Pick<NewBlend, 'vesselId' | 'components' | 'wash' | 'water' | 'waterStandardUncertainty'>;

export interface BlendMix {
  readonly draws: readonly VesselDraw[];
  readonly wash: Part | undefined;
  readonly water: Part | undefined;
  readonly mixed: Mixed;
  readonly inProcess: boolean;
  readonly warnings: readonly string[];
}

/** Checks the properties of the body against each other. @throws ProblemException `validation-failed` */
export function requireBlendable({ components, wash }: BlendFacts): void {
  const ids = components.map(({ vesselId }) => vesselId);
  const twice = ids.findIndex((id, index) => ids.indexOf(id) < index);
  if (twice >= 0) {
    throw malformed({
      pointer: `/components/${twice}/vesselId`,
      rule: 'not-unique',
      detail: 'A component is named twice; give each vessel once with all that is taken of it.',
    });
  }
  if (components.length < 2 && wash === undefined) {
    throw malformed({
      pointer: '/components',
      rule: 'min-items',
      detail: 'A blend has two components or more; water alone is a dilution.',
    });
  }
}

/**
 * Mixes what a blend names, on the books as they stand.
 *
 * @param operation origin of the uncertainty of the blend itself
 * @throws ProblemException `conflict` for other premises, another owner or a heel that does not stay whole; `insufficient-stock`; `vessel-in-use`
 */
export function mixBlend(body: BlendFacts, read: BlendRead, operation: string): BlendMix {
  requireOnePremises(read);
  const draws = body.components.map(({ vesselId, volume, standardUncertainty }, index) => {
    const { target } = read.components[index];
    const stock = stockIn(target, vesselId, `/components/${index}/vesselId`);
    const litres = volume === undefined ? undefined : toBookLitres(volume).litres;
    const measure =
      litres === undefined ? undefined : drawMeasure(`${operation}/components/${index}`, litres, standardUncertainty);
    return drawFrom(target as CompositionPosition, stock, litres, `/components/${index}/volume`, measure);
  });
  requireOneOwner(draws);
  requireSameOwner(draws[0].stock.account.owner, read.lot.owner, '/lotId');
  requirePlace(body, read, draws);
  const wash = body.wash === undefined ? undefined : washPart(body.wash, body.vesselId, operation);
  const water = body.water === undefined ? undefined : waterPart(body, [], operation);
  const lots = draws.map((draw, index): Part => ({
    name: `components.${index}`,
    amount: draw.amount,
    components: draw.components,
    extractPlato: read.components[index].extract.plato,
  }));
  const mixed = mixParts([
    ...lots,
    ...(wash === undefined ? [] : [wash.part]),
    ...(water === undefined ? [] : [water]),
  ]);
  return {
    draws,
    wash: wash?.part,
    water,
    mixed,
    inProcess: wash !== undefined || draws.some(({ inProcess }) => inProcess),
    warnings: [
      ...new Set([
        ...mixed.warnings,
        ...(wash?.warnings ?? []),
        ...read.components.flatMap(({ extract }) => extract.warnings),
      ]),
    ],
  };
}

const refused = (pointer: string, rule: string, detail: string): ProblemException =>
  new ProblemException('conflict', detail, { errors: [{ pointer, rule, detail }] });

function requireOnePremises({ lot, vesselPremisesId, components }: BlendRead): void {
  const there = 'It is at other premises: send the liquid there by a transit first.';
  if (vesselPremisesId !== lot.premisesId) {
    throw refused('/vesselId', 'other-premises', there);
  }
  const index = components.findIndex(({ premisesId }) => premisesId !== lot.premisesId);
  if (index >= 0) {
    throw refused(`/components/${index}/vesselId`, 'other-premises', there);
  }
}

function requireOneOwner(draws: readonly VesselDraw[]): void {
  const first = draws[0].stock.account;
  const index = draws.findIndex(
    ({ stock: { account } }) => account.owner !== first.owner || account.dutyStatus !== first.dutyStatus,
  );
  if (index >= 0) {
    throw refused(
      `/components/${index}/vesselId`,
      'kept-apart',
      'It belongs to another owner or has another duty status: the two are kept apart.',
    );
  }
}

/** The result ends in an empty vessel, or on a heel of which nothing is taken out. */
function requirePlace(body: BlendFacts, { standing }: BlendRead, draws: readonly VesselDraw[]): void {
  if (standing === undefined) {
    return;
  }
  const index = body.components.findIndex(({ vesselId }) => vesselId === body.vesselId);
  if (index < 0) {
    throw new ProblemException('vessel-in-use', `The vessel holds lot ${standing.composition.lotCode}.`, {
      errors: [
        {
          pointer: '/vesselId',
          rule: 'vessel-in-use',
          detail: 'Name the vessel as a component too, or use an empty vessel.',
          lot: standing.composition.lotId,
        },
      ],
    });
  }
  if (!draws[index].whole) {
    throw refused(
      `/components/${index}/volume`,
      'heel-whole',
      'The blend ends in this vessel, so all that is in it is part of the blend: leave the volume out.',
    );
  }
}

function washPart(wash: BlendWash, vesselId: string, operation: string): { part: Part; warnings: readonly string[] } {
  const { extractPlato } = toExtract({ value: wash.gravity.value, scale: wash.gravity.scale as GravityScale });
  const measured = measuredVolume(wash, { kind: 'wort', extractPlato }, undefined, {
    scale: `vessel/${vesselId}`,
    reading: operation,
  });
  return {
    part: {
      name: 'wash',
      amount: amount(measured.litres),
      components: volumeComponents(measured.byOrigin),
      extractPlato,
    },
    warnings: measured.warnings,
  };
}
