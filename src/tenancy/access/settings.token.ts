/** The settings of tenancy, taken from the configuration. */
export interface TenancySettings {
  /** The operator's secret; without it no producer can be made over HTTP. */
  readonly operatorKey?: string;
  readonly requestsPerMinute: number;
}

export const TENANCY_SETTINGS = Symbol('gaugebook:tenancy-settings');
