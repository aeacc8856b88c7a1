import { Module } from '@nestjs/common';
import { SpiritChargeService } from './charges/spirit-charge.service.js';
import { WashChargeService } from './charges/wash-charge.service.js';
import { CompositionReader } from './compositions/composition.reader.js';
import { DilutionsService } from './dilutions/dilutions.service.js';
import { FindingInputsReader } from './findings/finding-inputs.reader.js';
import { FindingReader } from './findings/finding.reader.js';
import { FindingsController } from './findings/findings.controller.js';
import { FindingsQuery } from './findings/findings.query.js';
import { FindingsService } from './findings/findings.service.js';
import { GravityReadings } from './findings/gravity-readings.js';
import { GaugesService } from './gauges/gauges.service.js';
import { LotEventsController } from './lots/lot-events.controller.js';
import { MaterialLotsController } from './material-lots/material-lots.controller.js';
import { BearingLots } from './material-lots/bearing-lots.js';
import { MaterialLotsService } from './material-lots/material-lots.service.js';
import { VesselVolumeReader } from './measuring/vessel-volume.reader.js';
import { OpeningsController } from './openings/openings.controller.js';
import { OpeningsService } from './openings/openings.service.js';
import { ContainerReader } from './containers/container.reader.js';
import { ContainersController } from './containers/containers.controller.js';
import { ContainersService } from './containers/containers.service.js';
import { PackagedLotReader } from './packaging/packaged-lot.reader.js';
import { PackagedLotsQuery } from './packaging/packaged-lots.query.js';
import { PackagingController } from './packaging/packaging.controller.js';
import { PackagingService } from './packaging/packaging.service.js';
import { PositionReader } from './position/position.reader.js';
import { DifferenceController } from './restatement/difference.controller.js';
import { DifferenceService } from './restatement/difference.service.js';
import { RestatementReader } from './restatement/restatement.reader.js';
import { TraceController } from './trace/trace.controller.js';
import { TraceReader } from './trace/trace.reader.js';
import { TraceService } from './trace/trace.service.js';
import { TransfersService } from './transfers/transfers.service.js';
import { InstrumentReader } from './instruments/instrument.reader.js';
import { InstrumentsController } from './instruments/instruments.controller.js';
import { InstrumentsService } from './instruments/instruments.service.js';
import { LotReader } from './lots/lot.reader.js';
import { LotsController } from './lots/lots.controller.js';
import { LotsService } from './lots/lots.service.js';
import { MaterialReader } from './materials/material.reader.js';
import { MaterialsController } from './materials/materials.controller.js';
import { MaterialsService } from './materials/materials.service.js';
import { ReadingDrafts } from './readings/reading-drafts.js';
import { ReadingReader } from './readings/reading.reader.js';
import { ReadingsController } from './readings/readings.controller.js';
import { ReadingsService } from './readings/readings.service.js';
import { StrikesService } from './readings/strikes.service.js';
import { RecipeReader } from './recipes/recipe.reader.js';
import { RecipesController } from './recipes/recipes.controller.js';
import { RecipesService } from './recipes/recipes.service.js';
import { VesselsController } from './vessels/vessels.controller.js';
import { VesselsService } from './vessels/vessels.service.js';
import { AdditionReader } from './additions/addition.reader.js';
import { AdditionsService } from './additions/additions.service.js';
import { BlendReader } from './blends/blend.reader.js';
import { BlendsController } from './blends/blends.controller.js';
import { BlendsService } from './blends/blends.service.js';
import { LineageReader } from './compositions/lineage.reader.js';
import { LotChangesController } from './lots/lot-changes.controller.js';
import { Planner } from './plans/planner.js';
import { PlansController } from './plans/plans.controller.js';
import { PlansService } from './plans/plans.service.js';
import { ExtractReader } from './position/extract.reader.js';
import { PackedStockReader } from './repacking/packed-stock.reader.js';
import { RepackingController } from './repacking/repacking.controller.js';
import { RepackingService } from './repacking/repacking.service.js';
import { SplitsService } from './splits/splits.service.js';
import { YeastCropsService } from './yeast/yeast-crops.service.js';

/** What is made: vessels, instruments, materials, recipes, lots and what is read of them. */
@Module({
  controllers: [
    VesselsController,
    InstrumentsController,
    MaterialsController,
    RecipesController,
    LotsController,
    ReadingsController,
    LotEventsController,
    FindingsController,
    MaterialLotsController,
    PackagingController,
    ContainersController,
    OpeningsController,
    BlendsController,
    LotChangesController,
    PlansController,
    RepackingController,
    TraceController,
    DifferenceController,
  ],
  providers: [
    VesselsService,
    InstrumentsService,
    InstrumentReader,
    MaterialsService,
    MaterialReader,
    RecipesService,
    RecipeReader,
    LotsService,
    LotReader,
    ReadingsService,
    StrikesService,
    ReadingDrafts,
    ReadingReader,
    CompositionReader,
    PositionReader,
    VesselVolumeReader,
    GravityReadings,
    FindingInputsReader,
    FindingReader,
    FindingsService,
    FindingsQuery,
    WashChargeService,
    SpiritChargeService,
    GaugesService,
    TransfersService,
    DilutionsService,
    ContainerReader,
    ContainersService,
    PackagedLotReader,
    PackagedLotsQuery,
    PackagingService,
    MaterialLotsService,
    BearingLots,
    OpeningsService,
    LineageReader,
    ExtractReader,
    BlendReader,
    BlendsService,
    AdditionReader,
    AdditionsService,
    SplitsService,
    YeastCropsService,
    PackedStockReader,
    RepackingService,
    Planner,
    PlansService,
    RestatementReader,
    DifferenceService,
    TraceReader,
    TraceService,
  ],
  exports: [
    BearingLots,
    CompositionReader,
    FindingReader,
    PackagedLotReader,
    PositionReader,
    VesselVolumeReader,
    GravityReadings,
    InstrumentReader,
    MaterialReader,
    RecipeReader,
    LotReader,
    ReadingReader,
  ],
})
export class ProductionModule {}
