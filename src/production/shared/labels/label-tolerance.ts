import type { ProducerSettings } from '../../../tenancy/producers/producers.dto.js';

/** Settings that decide whether a strength agrees with a label. */
export type LabelSettings = Pick<
  ProducerSettings,
  'labelTolerance' | 'labelToleranceBelow' | 'labelToleranceAbove' | 'labelOpenSide' | 'allowedRisk'
>;

/** Permitted difference below and above the declared strength, % vol; a side that is left out has no limit. */
export interface LabelTolerance {
  readonly below?: number;
  readonly above?: number;
}

export function labelToleranceOf(settings: LabelSettings): LabelTolerance {
  const { labelTolerance, labelToleranceBelow, labelToleranceAbove, labelOpenSide } = settings;
  return {
    ...(labelOpenSide === 'below' ? {} : { below: (labelToleranceBelow ?? labelTolerance).value }),
    ...(labelOpenSide === 'above' ? {} : { above: (labelToleranceAbove ?? labelTolerance).value }),
  };
}
