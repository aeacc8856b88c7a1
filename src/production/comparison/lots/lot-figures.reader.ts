import { Injectable } from '@nestjs/common';
import type { TerminalRule } from '../../../alcoholometry/fermentation/fermentation-curve.js';
import { massBalanceExtracts } from '../../../alcoholometry/strength/mass-balance-extracts.js';
import type { Tx } from '../../../tenancy/producer-database/producer-database.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { LotReader } from '../../lots/lot.reader.js';
import type { Fermentation } from '../../measuring/fermentation/fermentation.reader.js';
import { FermentationReader } from '../../measuring/fermentation/fermentation.reader.js';
import type { FindingRow } from '../../measuring/finding-records/finding.reader.js';
import { FindingReader } from '../../measuring/finding-records/finding.reader.js';
import { massBalanceInput } from '../../measuring/findings/compute-finding.js';
import { FindingInputsReader } from '../../measuring/findings/finding-inputs.reader.js';
import { StepReader } from '../../steps/step.reader.js';
import type { ComparedLot } from './lot-comparison.dto.js';
import type { Figures } from './lot-comparison.rules.js';
import { figuresOf, ownOrigins, timeToTerminal } from './lot-comparison.rules.js';

export interface LotSide {
  readonly lot: ComparedLot;
  readonly figures: Figures;
  readonly warnings: readonly string[];
}

const MOST_FINDINGS = 1000;
const HOUR_MS = 3_600_000;

/** Reads what one lot has to compare: its curve, its strength, its extract and the time to its terminal gravity. */
@Injectable()
export class LotFiguresReader {
  constructor(
    private readonly lots: LotReader,
    private readonly findings: FindingReader,
    private readonly inputs: FindingInputsReader,
    private readonly fermentations: FermentationReader,
    private readonly steps: StepReader,
  ) {}

  /** @throws ProblemException `not-found` */
  async of(tx: Tx, producerId: string, lotId: string, rule: TerminalRule): Promise<LotSide> {
    const { code } = (await this.lots.row(tx, producerId, lotId)) ?? notFound();
    const fermentation = (await this.fermentations.ofLots(tx, producerId, [lotId], rule)).get(lotId);
    const clock = await this.clock(tx, producerId, lotId, fermentation);
    const { finding, warnings } = chosen(await this.findings.ofLot(tx, producerId, lotId, null, MOST_FINDINGS), code);
    const time = timeOf(lotId, fermentation, clock.from);
    const figures: Figures = {
      ...(finding === undefined ? {} : { strength: strengthOf(finding) }),
      ...(finding === undefined ? {} : await this.extracts(tx, producerId, finding)),
      ...(time === undefined ? {} : { 'time-to-terminal': time }),
    };
    const before = fermentation === undefined ? 0 : (fermentation.begunAt.getTime() - clock.from.getTime()) / HOUR_MS;
    return {
      lot: {
        lotId,
        code,
        clockFrom: clock.from.toISOString(),
        clockFromKind: clock.kind,
        curve: (fermentation?.points ?? []).map(({ hours, plato }) => ({
          hours: Number((hours + before).toFixed(4)),
          extract: Number(plato.toFixed(4)),
        })),
        figures: figuresOf(figures),
        ...(finding === undefined ? {} : { findingId: finding.id }),
      },
      figures,
      warnings,
    };
  }

  /** Pitching where it is on record, else the charge, else the first gravity. */
  private async clock(
    tx: Tx,
    producerId: string,
    lotId: string,
    fermentation: Fermentation | undefined,
  ): Promise<{ from: Date; kind: ComparedLot['clockFromKind'] }> {
    const steps = await this.steps.ofLot(tx, producerId, lotId);
    const pitched = steps.find(
      ({ kind, outcome, replacedBy }) => kind === 'pitch-yeast' && outcome === 'done' && replacedBy === null,
    );
    if (pitched !== undefined) {
      return { from: pitched.doneAt, kind: 'pitching' };
    }
    const [charge] = await tx.$queryRaw<{ at: Date | null }[]>`
      SELECT min(o.occurred_at) AS at FROM operation o
       WHERE o.producer_id = ${producerId}::uuid AND o.lot_id = ${lotId}::uuid AND o.kind = 'charge'
         AND NOT is_reversed(o.producer_id, o.id)`;
    if (charge.at !== null) {
      return { from: charge.at, kind: 'charge' };
    }
    return { from: fermentation?.begunAt ?? new Date(0), kind: 'first-gravity' };
  }

  /** Real extract and apparent attenuation, from the readings of a finding by mass balance; nothing for another method. */
  private async extracts(tx: Tx, producerId: string, finding: FindingRow): Promise<Figures> {
    const reading = (use: string): string | undefined => finding.readings.find((each) => each.use === use)?.readingId;
    const [originalReadingId, finalReadingId] = [reading('original'), reading('final')];
    if (finding.methodId !== 'mass-balance' || originalReadingId === undefined || finalReadingId === undefined) {
      return {};
    }
    const { basis } = await this.inputs.read(tx, producerId, finding.lotId, {
      method: 'mass-balance',
      compositionId: finding.compositionId,
      originalReadingId,
      finalReadingId,
    });
    const { original, final } = basis;
    if (original === undefined || final === undefined) {
      return {};
    }
    const { realExtract, apparentAttenuation } = massBalanceExtracts(massBalanceInput({ ...basis, original, final }));
    return {
      'real-extract': { ...realExtract, budget: ownOrigins(realExtract.budget, finding.lotId) },
      'apparent-attenuation': {
        ...apparentAttenuation,
        budget: ownOrigins(apparentAttenuation.budget, finding.lotId),
      },
    };
  }
}

const strengthOf = (finding: FindingRow) => ({
  value: finding.strengthPercent,
  expanded: finding.expandedUncertainty,
  budget: ownOrigins(finding.budget, finding.lotId),
});

/** The finding of the ferment: by mass balance and of record first, then any of record, then a provisional one. */
function chosen(findings: readonly FindingRow[], code: string): { finding?: FindingRow; warnings: string[] } {
  const standing = findings.filter(({ reversed, standing }) => !reversed && standing !== 'supporting');
  const ofRecord = standing.filter((each) => each.standing === 'of-record');
  const balanced = ofRecord.filter(({ methodId }) => methodId === 'mass-balance');
  const finding = balanced.at(-1) ?? ofRecord.at(-1) ?? standing.at(-1);
  if (finding === undefined) {
    return { warnings: [`${code} has no strength finding yet.`] };
  }
  const later = ofRecord.at(-1);
  return {
    finding,
    warnings: [
      ...(finding.standing === 'provisional' ? [`The strength of ${code} is provisional.`] : []),
      ...(later !== undefined && later.id !== finding.id
        ? [`${code} was changed after it fermented: the ferment is compared, not the drink of now.`]
        : []),
      ...(finding.methodId === 'mass-balance'
        ? []
        : [`The strength of ${code} is not from its gravities: real extract and attenuation are left out.`]),
    ],
  };
}

function timeOf(lotId: string, fermentation: Fermentation | undefined, from: Date) {
  const since = fermentation?.found.stillSinceHours;
  if (fermentation === undefined || since === undefined) {
    return undefined;
  }
  const earlier = fermentation.points.filter(({ hours }) => hours < since).at(-1);
  const shift = (fermentation.begunAt.getTime() - from.getTime()) / HOUR_MS;
  return earlier === undefined ? undefined : timeToTerminal(since + shift, earlier.hours + shift, lotId);
}
