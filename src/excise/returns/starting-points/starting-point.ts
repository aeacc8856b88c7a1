import type { ReturnMapping } from '../rules/mapping.js';

/** A ready-made mapping to begin from. */
export interface ReturnMappingStart {
  readonly key: string;
  readonly title: string;
  /** Lines that are published, and those from memory. */
  readonly seen: string;
  readonly mapping: ReturnMapping;
}
