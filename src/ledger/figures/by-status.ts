import type { DutyStatus } from '../books/account.js';

export const DUTY_STATUSES: readonly DutyStatus[] = ['suspended', 'paid'];

/** Key of what is one thing in each of the two balances. */
export const statusKey = (name: string, dutyStatus: string): string => `${dutyStatus}/${name}`;

/** The thing and the balance of a key. */
export function fromStatusKey(key: string): { readonly name: string; readonly dutyStatus: DutyStatus } {
  const [dutyStatus, ...name] = key.split('/');
  return { name: name.join('/'), dutyStatus: dutyStatus === 'paid' ? 'paid' : 'suspended' };
}

/** Suspended before paid, then by name. */
export const byNameAndStatus = (a: string, b: string): number => {
  const [left, right] = [fromStatusKey(a), fromStatusKey(b)];
  const [one, other] = left.name === right.name ? [right.dutyStatus, left.dutyStatus] : [left.name, right.name];
  return one < other ? -1 : one > other ? 1 : 0;
};
