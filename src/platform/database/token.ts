/** Injection token of the one Prisma client; only the door of tenancy asks for it. */
export const DATABASE = Symbol('gaugebook:database');
