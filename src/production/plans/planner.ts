import { Injectable } from '@nestjs/common';
import { gaugePressureForVolumes } from '../../alcoholometry/carbonation/carbonation.js';
import type { Amount } from '../../ledger/books/amount.js';
import { bookStrengthPercent, pureAlcohol } from '../../ledger/books/amount.js';
import type { Components } from '../../ledger/books/components.js';
import type { Decimal } from '../../metrology/decimals.js';
import { COVERAGE_95 } from '../../metrology/student.js';
import { toBase } from '../../metrology/units.js';
import type { Tx } from '../../tenancy/producer-database/producer-database.js';
import { SettingsReader } from '../../tenancy/producers/settings.reader.js';
import { requireAddable } from '../operations/additions/addition-amount.js';
import { mixAddition } from '../operations/additions/addition-mix.js';
import { AdditionReader } from '../operations/additions/addition.reader.js';
import { mixBlend, requireBlendable } from '../operations/blends/blend-mix.js';
import { BlendReader } from '../operations/blends/blend.reader.js';
import { blendedParts } from '../operations/blends/blended-parts.js';
import { requireWaterOrTarget } from '../operations/composition/water.js';
import { mixDilution } from '../operations/dilutions/dilution-mix.js';
import { liquidIn, requireOfRecord } from '../measuring/position/vessel-liquid.js';
import { bookStrength, checkLabel, strengthUncertaintyPercent } from '../shared/labels/label-check.js';
import { PositionReader } from '../measuring/position/position.reader.js';
import { malformed, referenced } from '../shared/references.js';
import type { AdditionPlan, BlendPlan, CarbonationPlan, ComputedPlan, DilutionPlan, NewPlan } from './plans.dto.js';
import { PLAN_KINDS } from '../shared/plan-reference.js';

interface Outcome {
  readonly amount: Amount;
  readonly components: Components;
  readonly volumeChange?: Decimal;
  readonly more: Partial<ComputedPlan>;
  readonly warnings: readonly string[];
}

/** Computes plans on the lot as it stands, by the same steps as the operations. */
@Injectable()
export class Planner {
  constructor(
    private readonly positions: PositionReader,
    private readonly blends: BlendReader,
    private readonly additions: AdditionReader,
    private readonly settings: SettingsReader,
  ) {}

  /** @throws what the operation would throw */
  async compute(tx: Tx, producerId: string, lotId: string, body: NewPlan, planId: string): Promise<ComputedPlan> {
    const outcome = await this.outcome(tx, producerId, lotId, body, `plan/${planId}`);
    const { amount, components } = outcome;
    const settings = await this.settings.of(tx, producerId);
    const declared = body.declaredStrength?.value;
    return {
      volume: { value: amount.litres.toNumber(), unit: 'L' },
      pureAlcohol: { value: pureAlcohol(amount).toNumber(), unit: 'L' },
      strength: { value: bookStrengthPercent(amount) ?? 0, unit: '%' },
      expandedUncertainty: { value: COVERAGE_95 * strengthUncertaintyPercent(amount, components), unit: '%' },
      volumeChange: { value: outcome.volumeChange?.toNumber() ?? 0, unit: 'L' },
      parts: [],
      ...outcome.more,
      ...(declared === undefined
        ? {}
        : { labelCheck: checkLabel(bookStrength(amount, components), declared, settings) }),
      warnings: [...outcome.warnings],
    };
  }

  private outcome(tx: Tx, producerId: string, lotId: string, body: NewPlan, origin: string): Promise<Outcome> {
    const { dilution, blend, addition, carbonation } = body;
    if (dilution !== undefined) {
      return this.dilution(tx, producerId, lotId, dilution, origin);
    }
    if (blend !== undefined) {
      return this.blend(tx, producerId, lotId, blend, origin);
    }
    if (addition !== undefined) {
      return this.addition(tx, producerId, lotId, addition, origin);
    }
    return this.carbonation(tx, producerId, lotId, carbonation as CarbonationPlan);
  }

  private async dilution(
    tx: Tx,
    producerId: string,
    lotId: string,
    body: DilutionPlan,
    origin: string,
  ): Promise<Outcome> {
    requireWaterOrTarget(body);
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.vesselId, '/dilution/vesselId');
    const { target, account } = liquidIn(position, body.vesselId);
    const { mixed, water } = mixDilution(body, account, requireOfRecord(target), origin);
    return { ...mixed, more: { water: { value: water.amount.litres.toNumber(), unit: 'L' } } };
  }

  private async blend(tx: Tx, producerId: string, lotId: string, body: BlendPlan, origin: string): Promise<Outcome> {
    requireBlendable(body);
    const mix = mixBlend(body, await this.blends.read(tx, producerId, lotId, body), origin);
    return { ...mix.mixed, more: { parts: blendedParts(mix) }, warnings: mix.warnings };
  }

  private async addition(
    tx: Tx,
    producerId: string,
    lotId: string,
    body: AdditionPlan,
    origin: string,
  ): Promise<Outcome> {
    requireAddable(body);
    const mix = mixAddition(body, await this.additions.read(tx, producerId, lotId, body), origin);
    return { ...mix, more: { added: { value: mix.addedLitres.toNumber(), unit: 'L' } } };
  }

  private async carbonation(tx: Tx, producerId: string, lotId: string, body: CarbonationPlan): Promise<Outcome> {
    const position = await this.positions.ofLot(tx, producerId, lotId);
    await referenced(tx, producerId, 'vessel', body.vesselId, '/carbonation/vesselId');
    const { target, account } = liquidIn(position, body.vesselId);
    const finding = requireOfRecord(target);
    const gas = gaugePressureForVolumes(
      {
        liquid: body.liquid,
        temperatureC: toBase('temperature', body.temperature),
        atmosphericPressureKPa:
          body.atmosphericPressure === undefined ? undefined : toBase('pressure', body.atmosphericPressure),
        strengthPercent: bookStrengthPercent(account.balance),
        extractPlato: Math.max(-1, finding.realExtractPlato ?? 0),
      },
      body.volumesOfCO2,
    );
    return {
      amount: account.balance,
      components: account.components,
      more: {
        gas: {
          gaugePressure: { value: gas.gaugePressureKPa, unit: 'kPa' },
          dissolved: { value: gas.dissolvedGPerL, unit: 'g/L' },
        },
      },
      warnings: gas.warnings,
    };
  }
}

/** The one property that the kind names, and no other. @throws ProblemException `validation-failed` */
export function requireOnePlan(body: NewPlan): void {
  const given = PLAN_KINDS.filter((kind) => body[kind] !== undefined);
  if (given.length !== 1 || given[0] !== body.kind) {
    throw malformed({
      pointer: `/${body.kind}`,
      rule: 'as-kind',
      detail: `A plan of the kind ${body.kind} has the property ${body.kind} and none of the other three.`,
    });
  }
}
