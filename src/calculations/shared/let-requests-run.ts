/** Lets waiting requests run first, because a Monte Carlo occupies the thread for a while. */
export const letRequestsRun = (): Promise<void> =>
  new Promise((resolve) => {
    setImmediate(resolve);
  });
