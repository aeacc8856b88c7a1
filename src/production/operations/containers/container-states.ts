import type { ContainerEvent } from './container-events.js';
import { CONTAINER_EVENTS } from './container-events.js';

export const CONTAINER_STATES = ['in-stock', 'on-the-way', 'out', 'empty', 'missing'] as const;
export type ContainerState = (typeof CONTAINER_STATES)[number];

/** State that each event leaves a container in. */
export const STATES: Readonly<Record<ContainerEvent, ContainerState>> = {
  filled: 'in-stock',
  out: 'out',
  back: 'in-stock',
  emptied: 'empty',
  'came-empty': 'empty',
  'part-drawn': 'in-stock',
  relabelled: 'in-stock',
  sent: 'on-the-way',
  arrived: 'in-stock',
  missing: 'missing',
  found: 'in-stock',
};

export const eventsOf = (state: ContainerState): ContainerEvent[] =>
  CONTAINER_EVENTS.filter((event) => STATES[event] === state);
