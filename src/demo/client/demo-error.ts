/** The invented producer could not be made. */
export class DemoError extends Error {
  override readonly name = 'DemoError';
}
