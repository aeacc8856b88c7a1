import { Module } from '@nestjs/common';
import { CalculationsController } from './calculations.controller.js';

/** Computations without a lot; nothing is read and nothing is kept. */
@Module({ controllers: [CalculationsController] })
export class CalculationsModule {}
