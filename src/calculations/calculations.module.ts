import { Module } from '@nestjs/common';
import { CalculationsController } from './calculations.controller.js';
import { MeasurementCalculationsController } from './measurement-calculations.controller.js';
import { ProductionCalculationsController } from './production-calculations.controller.js';

/** Computations without a lot. They read and store nothing. */
@Module({
  controllers: [CalculationsController, ProductionCalculationsController, MeasurementCalculationsController],
})
export class CalculationsModule {}
