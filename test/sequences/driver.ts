import type { Floor } from '../support/floor.js';
import type { Step } from './model.js';

const START_MS = Date.UTC(2026, 2, 1);
const HOUR_MS = 3_600_000;

export const timeOf = (hour: number): string => new Date(START_MS + hour * HOUR_MS).toISOString();

interface Answer {
  readonly status: number;
  readonly body: Record<string, unknown>;
}

/** Drives the steps of the model over HTTP, keeping the ids of what they made under the model's names. */
export class Driver {
  readonly #ids = new Map<string, string>();

  constructor(
    private readonly floor: Floor,
    private readonly strengthUncertainty = 0.02,
  ) {}

  name(name: string, id: string): void {
    this.#ids.set(name, id);
  }

  id(name: string): string {
    const id = this.#ids.get(name);
    if (id === undefined) {
      throw new Error(`nothing was made under the name ${name}`);
    }
    return id;
  }

  /** Carries a step out; answers the code of the problem, or ok. */
  async take(step: Step, name: string): Promise<string> {
    const { status, body } = await this.#call(step);
    if (status !== 201) {
      return String(body.code);
    }
    const [counted] = (body.counts ?? []) as { operationId: string }[];
    this.name(`operation/${name}`, counted?.operationId ?? String(body.operationId ?? body.id));
    if (step.kind === 'find') this.name(`operation/${name}`, String(body.operationId));
    if (step.kind === 'charge' || step.kind === 'dilute') this.name(`composition/${name}`, String(body.compositionId));
    if (step.kind === 'pack') this.name(`packaged/${name}`, String(body.packagedLotId));
    return 'ok';
  }

  #call(step: Step): Promise<Answer> {
    const litres = (value: string) => ({ value: Number(value), unit: 'L' });
    const celsius = { value: 20, unit: 'Cel' };
    switch (step.kind) {
      case 'charge':
        return this.#post(`/v1/lots/${this.id(step.lot)}/charges`, {
          vesselId: this.id(step.vessel),
          volume: litres(step.litres),
          temperature: celsius,
          standardUncertainty: 0.000001,
          occurredAt: timeOf(step.at),
        });
      case 'find':
        return this.#post(`/v1/lots/${this.id(step.lot)}/findings`, {
          method: 'certificate',
          compositionId: this.id(`composition/${step.composition}`),
          certificate: {
            strength: { value: Number(step.strength), unit: '%' },
            expandedUncertainty: 2 * this.strengthUncertainty,
            coverageFactor: 2,
          },
          occurredAt: timeOf(step.at),
        });
      case 'gauge':
        return this.#post(`/v1/lots/${this.id(step.lot)}/gauges`, {
          vesselId: this.id(step.vessel),
          volume: litres(step.litres),
          temperature: celsius,
          standardUncertainty: 0.000001,
          occurredAt: timeOf(step.at),
        });
      case 'transfer':
        return this.#post(`/v1/lots/${this.id(step.lot)}/transfers`, {
          fromVesselId: this.id(step.from),
          toVesselId: this.id(step.to),
          volume: litres(step.litres),
          loss: litres(step.loss),
          occurredAt: timeOf(step.at),
        });
      case 'dilute':
        return this.#post(`/v1/lots/${this.id(step.lot)}/dilutions`, {
          vesselId: this.id(step.vessel),
          water: litres(step.water),
          waterStandardUncertainty: 0.000001,
          occurredAt: timeOf(step.at),
        });
      case 'pack':
        return this.#post(`/v1/lots/${this.id(step.lot)}/packagings`, {
          vesselId: this.id(step.vessel),
          container: 'bottle',
          nominalVolume: { value: 0.5, unit: 'L' },
          count: step.count,
          declaredStrength: { value: 5, unit: '%' },
          ...(step.loss === undefined ? {} : { loss: litres(step.loss) }),
          occurredAt: timeOf(step.at),
        });
      case 'draw':
        return this.#post('/v1/movements', {
          kind: 'process-loss',
          lotId: this.id(step.lot),
          vesselId: this.id(step.vessel),
          volume: litres(step.litres),
          occurredAt: timeOf(step.at),
          ...this.#explains(step.explains),
        });
      case 'release':
        return this.#post('/v1/movements', {
          kind: 'release',
          packagedLotId: this.id(`packaged/${step.packaged}`),
          count: step.count,
          occurredAt: timeOf(step.at),
          ...this.#explains(step.explains),
        });
      case 'return':
        return this.#post('/v1/movements', {
          kind: 'return',
          packagedLotId: this.id(`packaged/${step.packaged}`),
          count: step.count,
          counterparty: 'A shop (invented)',
          occurredAt: timeOf(step.at),
        });
      case 'count':
        return this.#post('/v1/stock-takes', {
          premisesId: this.floor.premisesId,
          counts: [{ packagedLotId: this.id(`packaged/${step.packaged}`), count: step.count }],
          occurredAt: timeOf(step.at),
        });
      case 'reverse':
        return this.#post(`/v1/operations/${this.id(`operation/${step.operation}`)}/reversal`, { reasonCode: 'other' });
    }
  }

  #explains(name: string | undefined): { explains?: string } {
    return name === undefined ? {} : { explains: this.id(`operation/${name}`) };
  }

  async #post(path: string, body: Record<string, unknown>): Promise<Answer> {
    const { status, body: answer } = await this.floor.service.call('post', path, { key: this.floor.key, body });
    return { status, body: answer as Record<string, unknown> };
  }
}
