// Node's environment, with a way to modules outside of Jest's registry: Node keeps them for as long as the worker lives, while Jest reads its own
// anew for every test file.
import { TestEnvironment } from 'jest-environment-node';

const compiled = new URL('../../dist/', import.meta.url);

export default class extends TestEnvironment {
  async setup() {
    await super.setup();
    /** A package by its name, or a compiled file by its path in dist/. */
    this.global.loadOnce = (name) => import(name.endsWith('.js') ? new URL(name, compiled).href : name);
  }
}
