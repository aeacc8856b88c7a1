/** Version of the program; the same as in package.json, which a test holds it to. */
export const VERSION = '0.1.0';
