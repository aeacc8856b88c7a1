import { defineConfig } from 'prisma/config';

// Any existing file keeps the command line from fetching an engine that generate and validate do not need.
process.env.PRISMA_SCHEMA_ENGINE_BINARY ??= new URL('./package.json', import.meta.url).pathname;

export default defineConfig({ schema: 'prisma/schema.prisma', migrations: { path: 'prisma/migrations' } });
