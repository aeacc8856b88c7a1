/** Lets waiting requests go first: a Monte Carlo holds the one thread for a while. */
export const breathe = (): Promise<void> =>
  new Promise((resolve) => {
    setImmediate(resolve);
  });
