import { Module } from '@nestjs/common';
import { CalculationsController } from './calculations.controller.js';
import { MeasurementCalculationsController } from './measurement-calculations.controller.js';
import { ProductionCalculationsController } from './production-calculations.controller.js';

/** Computations without a lot; nothing is read and nothing is kept. */
@Module({
  controllers: [CalculationsController, ProductionCalculationsController, MeasurementCalculationsController],
})
export class CalculationsModule {}
