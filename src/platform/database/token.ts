/** Injection token of the one Prisma client; only the producer database of tenancy asks for it. */
export const DATABASE = Symbol('gaugebook:database');
