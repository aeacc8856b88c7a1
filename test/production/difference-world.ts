import type { DifferenceAnswer } from '../../src/production/corrections/differences/difference.dto.js';
import type { Floor } from '../support/floor.js';

type Json = Record<string, unknown>;

/** What the tests of difference entries do over and over, on the floor that there is by then. */
export function differencesOn(floor: () => Floor) {
  const charge = (lotId: string, vesselId: string, more: Json = {}): Promise<Json> =>
    floor().post(`/v1/lots/${lotId}/charges`, {
      vesselId,
      volume: { value: 100, unit: 'L' },
      occurredAt: '2026-03-02T10:00:00Z',
      ...more,
    });

  const certify = (lotId: string, value: number, more: Json = {}): Promise<Json> =>
    floor().post(`/v1/lots/${lotId}/findings`, {
      method: 'certificate',
      certificate: {
        strength: { value, unit: '%' },
        expandedUncertainty: { value: 0.1, unit: '%' },
        coverageFactor: 2,
      },
      occurredAt: '2026-03-10T09:00:00Z',
      ...more,
    });

  const pack = (lotId: string, vesselId: string, count: number, more: Json = {}): Promise<Json> =>
    floor().post(`/v1/lots/${lotId}/packagings`, {
      vesselId,
      container: 'bottle',
      nominalVolume: { value: 500, unit: 'mL' },
      count,
      emptied: true,
      reasonCode: 'spill',
      declaredStrength: { value: 5, unit: '%' },
      occurredAt: '2026-03-15T09:00:00Z',
      ...more,
    });

  async function differ(operationId: unknown, correct: Json, more: Json = {}, status = 201): Promise<DifferenceAnswer> {
    const body = { correct, reasonCode: 'misread', ...more };
    return (await floor().post(
      `/v1/operations/${String(operationId)}/difference`,
      body,
      status,
    )) as unknown as DifferenceAnswer;
  }

  async function holding(id: unknown): Promise<number[]> {
    const { items } = (await floor().get('/v1/accounts?limit=200&nonzero=true')) as {
      items: { litres: { value: number }; fermented: { value: number }; added: { value: number } }[];
    };
    const found = items.find((each) => JSON.stringify(each).includes(String(id)) && each.litres.value > 0);
    return found === undefined ? [] : [found.litres.value, found.fermented.value, found.added.value];
  }

  return { charge, certify, pack, differ, holding };
}

/** What an answer posts: `kind` or `kind/category` of the account → [litres, fermented, added]. */
export function lines({ operations }: DifferenceAnswer): Record<string, number[]> {
  const byKind: Record<string, number[]> = {};
  for (const { account, kind, side, litres, fermented, added } of operations.flatMap(({ postings }) => postings)) {
    const key = side === 'stock' ? kind : `${kind}/${String(account.split('/').at(-1))}`;
    const before = byKind[key] ?? [0, 0, 0];
    byKind[key] = [litres, fermented, added].map(({ value }, at) => Math.round((before[at] + value) * 1e6) / 1e6);
  }
  return byKind;
}
