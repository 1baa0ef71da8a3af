import { defineConfig } from 'prisma/config';

// `prisma generate` needs no schema engine, but looks for its binary and would load it from the net. Any existing file satisfies it.
process.env.PRISMA_SCHEMA_ENGINE_BINARY ??= process.execPath;

export default defineConfig({ schema: 'prisma/schema.prisma' });
