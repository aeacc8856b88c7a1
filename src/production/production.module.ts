import { Module } from '@nestjs/common';
import { LotWaterController } from './operations/water/lot-water.controller.js';
import { LotWaterReader } from './operations/water/lot-water.reader.js';
import { LotWaterService } from './operations/water/lot-water.service.js';
import { LotComparisonController } from './comparison/lots/lot-comparison.controller.js';
import { LotComparisonService } from './comparison/lots/lot-comparison.service.js';
import { LotFiguresReader } from './comparison/lots/lot-figures.reader.js';
import { TastingsController } from './comparison/tastings/tastings.controller.js';
import { TastingsService } from './comparison/tastings/tastings.service.js';
import { SpiritChargeService } from './operations/charges/spirit-charge.service.js';
import { WashChargeService } from './operations/charges/wash-charge.service.js';
import { CompositionReader } from './lots/compositions/composition.reader.js';
import { DilutionsService } from './operations/dilutions/dilutions.service.js';
import { CertifiedBalances } from './measuring/findings/certified-balances.reader.js';
import { FindingInputsReader } from './measuring/findings/finding-inputs.reader.js';
import { FindingReader } from './measuring/finding-records/finding.reader.js';
import { FindingsController } from './measuring/findings/findings.controller.js';
import { FindingsQuery } from './measuring/findings/findings.query.js';
import { ReadingCorrectionsService } from './measuring/findings/reading-corrections.service.js';
import { RestingFindings } from './measuring/findings/resting-findings.reader.js';
import { FindingPlanner } from './measuring/findings/finding.planner.js';
import { SuccessorReader } from './measuring/findings/successor.reader.js';
import { FindingsService } from './measuring/findings/findings.service.js';
import { GravityReadings } from './measuring/position/gravity-readings.js';
import { GaugesService } from './operations/gauges/gauges.service.js';
import { LotEventsController } from './operations/lot-events.controller.js';
import { MaterialLotsController } from './operations/material-lots/material-lots.controller.js';
import { BearingLots } from './operations/material-lots/bearing-lots.js';
import { GaugeDifferencesReader } from './operations/gauges/gauge-differences.reader.js';
import { FermentedLotsReader } from './operations/material-stock/fermented-lots.reader.js';
import { MaterialStockReader } from './operations/material-stock/material-stock.reader.js';
import { MaterialStockService } from './operations/material-stock/material-stock.service.js';
import { MaterialLotsService } from './operations/material-lots/material-lots.service.js';
import { VesselVolumeReader } from './measuring/volumes/vessel-volume.reader.js';
import { ReceiptReader } from './operations/receipts/receipt.reader.js';
import { ReceiptsController } from './operations/receipts/receipts.controller.js';
import { ReceiptsService } from './operations/receipts/receipts.service.js';
import { OpeningsController } from './operations/openings/openings.controller.js';
import { OpeningsService } from './operations/openings/openings.service.js';
import { ContainerReader } from './operations/containers/container.reader.js';
import { ContainersController } from './operations/containers/containers.controller.js';
import { ContainersService } from './operations/containers/containers.service.js';
import { DoubtfulLabels } from './measuring/packed/doubtful-labels.reader.js';
import { PackagedLotReader } from './measuring/packed/packaged-lot.reader.js';
import { PackedStrengthReader } from './measuring/packed/packed-strength.reader.js';
import { PackagedLotsQuery } from './operations/packaging/packaged-lots.query.js';
import { PackagingController } from './operations/packaging/packaging.controller.js';
import { DoseReader } from './operations/packaging/doses.js';
import { PackagingService } from './operations/packaging/packaging.service.js';
import { PositionReader } from './measuring/position/position.reader.js';
import { DifferenceController } from './corrections/differences/difference.controller.js';
import { DifferenceReader } from './corrections/differences/difference.reader.js';
import { DifferenceService } from './corrections/differences/difference.service.js';
import { RestatementReader } from './measuring/restatement/restatement.reader.js';
import { TraceController } from './trace/trace.controller.js';
import { TraceReader } from './trace/trace.reader.js';
import { TraceService } from './trace/trace.service.js';
import { TransfersService } from './operations/transfers/transfers.service.js';
import { InstrumentReader } from './registers/instruments/instrument.reader.js';
import { InstrumentsController } from './registers/instruments/instruments.controller.js';
import { InstrumentsService } from './registers/instruments/instruments.service.js';
import { LotReader } from './lots/lot.reader.js';
import { LotsController } from './lots/lots.controller.js';
import { LotsService } from './lots/lots.service.js';
import { MaterialReader } from './registers/materials/material.reader.js';
import { MaterialsController } from './registers/materials/materials.controller.js';
import { MaterialsService } from './registers/materials/materials.service.js';
import { ReadingDrafts } from './measuring/readings/reading-drafts.js';
import { FermentationController } from './measuring/fermentation/fermentation.controller.js';
import { FermentationReader } from './measuring/fermentation/fermentation.reader.js';
import { FermentationService } from './measuring/fermentation/fermentation.service.js';
import { ReadingReader } from './measuring/readings/reading.reader.js';
import { ReadingSurroundingsReader } from './measuring/readings/reading-surroundings.reader.js';
import { ReadingsController } from './measuring/readings/readings.controller.js';
import { ReadingsService } from './measuring/readings/readings.service.js';
import { StrikesService } from './measuring/readings/strikes.service.js';
import { RecipeReader } from './registers/recipes/recipe.reader.js';
import { RecipesController } from './registers/recipes/recipes.controller.js';
import { RecipesService } from './registers/recipes/recipes.service.js';
import { VesselsController } from './registers/vessels/vessels.controller.js';
import { VesselsService } from './registers/vessels/vessels.service.js';
import { AdditionReader } from './operations/additions/addition.reader.js';
import { AdditionsService } from './operations/additions/additions.service.js';
import { BlendReader } from './operations/blends/blend.reader.js';
import { BlendsController } from './operations/blends/blends.controller.js';
import { BlendsService } from './operations/blends/blends.service.js';
import { BalanceContentsReader } from './contents/contents.reader.js';
import { ContentsReader } from './shared/contents.dto.js';
import { LineageReader } from './lots/compositions/lineage.reader.js';
import { LotChangesController } from './operations/lot-changes.controller.js';
import { Planner } from './plans/planner.js';
import { PlansController } from './plans/plans.controller.js';
import { PlansService } from './plans/plans.service.js';
import { ExtractReader } from './measuring/position/extract.reader.js';
import { PackedStockReader } from './operations/repacking/packed-stock.reader.js';
import { RepackingController } from './operations/repacking/repacking.controller.js';
import { RepackingService } from './operations/repacking/repacking.service.js';
import { StepReader } from './steps/step.reader.js';
import { StepsController } from './steps/steps.controller.js';
import { StepsService } from './steps/steps.service.js';
import { LastEntryReader } from './undo/last-entry.reader.js';
import { UndoController } from './undo/undo.controller.js';
import { UndoService } from './undo/undo.service.js';
import { SplitsService } from './operations/splits/splits.service.js';
import { YeastCropsService } from './operations/yeast-crops/yeast-crops.service.js';

/** Production records: vessels, instruments, materials, recipes, lots, readings, findings and operations. */
@Module({
  controllers: [
    VesselsController,
    InstrumentsController,
    MaterialsController,
    RecipesController,
    LotComparisonController,
    LotsController,
    TastingsController,
    LotWaterController,
    ReadingsController,
    FermentationController,
    LotEventsController,
    FindingsController,
    MaterialLotsController,
    PackagingController,
    ContainersController,
    OpeningsController,
    ReceiptsController,
    BlendsController,
    LotChangesController,
    PlansController,
    RepackingController,
    TraceController,
    DifferenceController,
    StepsController,
    UndoController,
  ],
  providers: [
    BalanceContentsReader,
    { provide: ContentsReader, useExisting: BalanceContentsReader },
    VesselsService,
    InstrumentsService,
    InstrumentReader,
    MaterialsService,
    MaterialReader,
    RecipesService,
    RecipeReader,
    LotsService,
    TastingsService,
    LotComparisonService,
    LotFiguresReader,
    LotWaterReader,
    LotWaterService,
    LotReader,
    ReadingsService,
    StrikesService,
    ReadingDrafts,
    ReadingSurroundingsReader,
    FermentationReader,
    FermentationService,
    ReadingReader,
    CompositionReader,
    PositionReader,
    VesselVolumeReader,
    GravityReadings,
    CertifiedBalances,
    FindingInputsReader,
    FindingReader,
    FindingPlanner,
    RestingFindings,
    ReadingCorrectionsService,
    FindingsService,
    SuccessorReader,
    FindingsQuery,
    WashChargeService,
    SpiritChargeService,
    GaugesService,
    TransfersService,
    DilutionsService,
    ContainerReader,
    ContainersService,
    PackagedLotReader,
    PackedStrengthReader,
    DoubtfulLabels,
    PackagedLotsQuery,
    DoseReader,
    PackagingService,
    MaterialLotsService,
    MaterialStockReader,
    MaterialStockService,
    FermentedLotsReader,
    GaugeDifferencesReader,
    BearingLots,
    OpeningsService,
    ReceiptsService,
    ReceiptReader,
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
    DifferenceReader,
    DifferenceService,
    StepReader,
    StepsService,
    LastEntryReader,
    UndoService,
    TraceReader,
    TraceService,
  ],
  exports: [
    FermentedLotsReader,
    GaugeDifferencesReader,
    MaterialStockReader,
    BalanceContentsReader,
    BearingLots,
    ReceiptReader,
    FermentationReader,
    CompositionReader,
    FindingReader,
    PackagedLotReader,
    DoubtfulLabels,
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
