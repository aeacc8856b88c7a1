import { Injectable } from '@nestjs/common';
import { CURVE_METHOD, forecastFermentation } from '../../../alcoholometry/fermentation/fermentation-curve.js';
import type { CurvePoint, TerminalRule } from '../../../alcoholometry/fermentation/fermentation-curve.js';
import type { Gravity } from '../../../alcoholometry/liquids/gravity-scales.js';
import { fromExtract } from '../../../alcoholometry/liquids/gravity-scales.js';
import { ProblemException } from '../../../platform/problems/problem.exception.js';
import type { RequestContext } from '../../../tenancy/producer-database/context.js';
import { ProducerDatabase } from '../../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../../tenancy/producers/settings.reader.js';
import { notFound } from '../../../tenancy/settings/settings-store.js';
import { LotReader } from '../../lots/lot.reader.js';
import type { FermentationFlag, FermentationWatch } from './fermentation.dto.js';
import type { Fermentation } from './fermentation.reader.js';
import { FermentationReader, terminalRule } from './fermentation.reader.js';

/** More points than these say no more of the end, and cost time. */
const MOST_POINTS = 120;

/** Watches the fermentation of a lot: its state by the producer's rule, and when it is expected to finish. */
@Injectable()
export class FermentationService {
  constructor(
    private readonly database: ProducerDatabase,
    private readonly lots: LotReader,
    private readonly settings: SettingsReader,
    private readonly fermentations: FermentationReader,
  ) {}

  async get(ctx: RequestContext, lotId: string): Promise<FermentationWatch> {
    const { rule, found } = await this.database.read(ctx, async (tx) => {
      if ((await this.lots.row(tx, ctx.producerId, lotId)) === undefined) {
        return notFound();
      }
      const own = terminalRule(await this.settings.of(tx, ctx.producerId));
      const all = await this.fermentations.ofLots(tx, ctx.producerId, [lotId], own);
      return { rule: own, found: all.get(lotId) };
    });
    if (found === undefined) {
      const detail = 'The lot has no gravity to watch. Enter its original gravity first.';
      throw new ProblemException('conflict', detail, { errors: [{ pointer: '', rule: 'no-gravity', detail }] });
    }
    return watchOf(found, rule);
  }
}

const sg = (plato: number): Gravity => ({
  value: Number(fromExtract(Math.max(-5, plato), 'sg-20-20').toFixed(4)),
  scale: 'sg-20-20',
});

function watchOf(fermentation: Fermentation, rule: TerminalRule): FermentationWatch {
  const { lotId, points, begunAt, lastReadAt, found } = fermentation;
  const at = (hours: number): string => new Date(Math.round(begunAt.getTime() + hours * 3_600_000)).toISOString();
  const { stillSinceHours, platoPerDay } = found;
  return {
    lotId,
    state: found.state,
    rule: { ...rule },
    readings: points.length,
    begunAt: begunAt.toISOString(),
    lastReadAt: lastReadAt.toISOString(),
    lastGravity: sg(points[points.length - 1].plato),
    ...(platoPerDay === undefined ? {} : { fallPlatoPerDay: Number(platoPerDay.toFixed(3)) }),
    ...(stillSinceHours === undefined ? {} : { stillSince: at(stillSinceHours) }),
    ...expected(fermentation, rule, at),
    flags: flagsOf(fermentation, at),
  };
}

function expected(
  { points, expectedFinal, found }: Fermentation,
  terminal: TerminalRule,
  at: (hours: number) => string,
): Pick<FermentationWatch, 'expectedFinish' | 'expectedFinalGravity' | 'method'> {
  const forecast =
    found.state === 'terminal' ? undefined : forecastFermentation({ points: thinned(points), expectedFinal, terminal });
  if (forecast === undefined) {
    return {};
  }
  const { finishHours, finalPlato } = forecast;
  return {
    expectedFinish: { at: at(finishHours.value), earliest: at(finishHours.low), latest: at(finishHours.high) },
    expectedFinalGravity: { gravity: sg(finalPlato.value), low: sg(finalPlato.low), high: sg(finalPlato.high) },
    method: { id: CURVE_METHOD.id, version: CURVE_METHOD.version },
  };
}

/** First and last point, and evenly chosen ones between. */
function thinned(points: readonly CurvePoint[]): CurvePoint[] {
  const every = Math.ceil(points.length / MOST_POINTS);
  return points.filter((_, index) => index % every === 0 || index === points.length - 1);
}

function flagsOf({ points, expectedFinal, found }: Fermentation, at: (hours: number) => string): FermentationFlag[] {
  const last = sg(points[points.length - 1].plato).value.toFixed(4);
  if (found.stalled === 'not-started') {
    return [
      {
        code: 'lag-long',
        detail: `The gravity has not fallen for ${Math.floor(points[points.length - 1].hours / 24)} days.`,
        suggestion: 'Check the temperature and whether the yeast was put in and is alive.',
      },
    ];
  }
  if (found.state !== 'terminal') {
    return [];
  }
  const since = at(found.stillSinceHours ?? 0);
  return [
    found.stalled === 'above-expected'
      ? {
          code: 'stalled',
          detail: `The gravity stands at ${last} since ${since}, above the planned ${sg(expectedFinal.plato).value.toFixed(4)}.`,
          suggestion:
            'Rouse the yeast, check temperature, pH and nutrients, or pitch again. What ferments on in closed containers bursts them: do not pack it.',
        }
      : {
          code: 'terminal',
          detail: `The gravity stands at ${last} since ${since}.`,
          suggestion: 'Gauge the vessel, then enter the finding of record.',
        },
  ];
}
