import type { Floor } from '../support/floor.js';

type Json = Record<string, unknown>;

export interface Account {
  kind: string;
  litres: { value: number };
  fermented: { value: number };
  added: { value: number };
  expandedUncertainty: { litresOfPureAlcohol: { value: number } };
}

const litres = ({ value }: { value: number }): number => value;

/** Steps of the tests of restatements, on the producer of the file that asks. */
export function restatementSteps(floor: () => Floor) {
  /** A lot of 100 L in a vessel, at a strength that a certificate states. */
  async function lotAt(vessel: string, strength: number): Promise<string> {
    const lotId = await floor().lot();
    await floor().post(`/v1/lots/${lotId}/charges`, {
      vesselId: vessel,
      volume: { value: 100, unit: 'L' },
      standardUncertainty: { value: 0.5, unit: 'L' },
      occurredAt: '2026-04-02T10:00:00Z',
    });
    await certify(lotId, strength, { occurredAt: '2026-04-10T09:00:00Z' });
    return lotId;
  }

  const certify = (lotId: string, value: number, more: Json = {}, status = 201): Promise<Json> =>
    floor().post(
      `/v1/lots/${lotId}/findings`,
      {
        method: 'certificate',
        certificate: {
          strength: { value, unit: '%' },
          expandedUncertainty: { value: 0.1, unit: '%' },
          coverageFactor: 2,
          number: `${value}`,
        },
        ...more,
      },
      status,
    );

  const pack = (lotId: string, vesselId: string, count: number, more: Json = {}): Promise<Json> =>
    floor().post(`/v1/lots/${lotId}/packagings`, {
      vesselId,
      container: 'bottle',
      nominalVolume: { value: 500, unit: 'mL' },
      count,
      emptied: true,
      reasonCode: 'spill',
      declaredStrength: { value: 5, unit: '%' },
      occurredAt: '2026-04-15T09:00:00Z',
      ...more,
    });

  const accounts = async (): Promise<Account[]> =>
    ((await floor().get('/v1/accounts?limit=200')) as { items: Account[] }).items;
  const holding = async (id: unknown): Promise<Account> => {
    const found = (await accounts()).find((each) => JSON.stringify(each).includes(String(id)) && each.litres.value > 0);
    if (found === undefined) {
      throw new Error(`No stock account of ${String(id)}.`);
    }
    return found;
  };

  /** Postings of an operation: kind of account → [litres, fermented, added]. */
  async function postings(operationId: unknown): Promise<Record<string, number[]>> {
    const { postings: lines } = (await floor().get(`/v1/operations/${String(operationId)}`)) as {
      postings: (Account & { side: string })[];
    };
    const byKind: Record<string, number[]> = {};
    for (const line of lines) {
      const before = byKind[line.kind] ?? [0, 0, 0];
      const values = [line.litres, line.fermented, line.added].map(litres);
      byKind[line.kind] = before.map((value, index) => Math.round((value + values[index]) * 1e6) / 1e6);
    }
    return byKind;
  }

  return { lotAt, certify, pack, accounts, holding, postings };
}
