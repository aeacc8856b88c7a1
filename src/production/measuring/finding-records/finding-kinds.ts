/** Methods by which a strength is measured; a finding by another one follows from other compositions. */
export const METHODS = [
  'mass-balance',
  'gravity-drop-table',
  'alcohol-density',
  'alcoholometer',
  'certificate',
  'joined',
] as const;
export type Method = (typeof METHODS)[number];

export const STANDINGS = ['provisional', 'of-record', 'supporting'] as const;
export type Standing = (typeof STANDINGS)[number];
