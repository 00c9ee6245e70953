const LOCK = 'steptone-job';

/**
 * Sees to it that one tab works on the job at a time: two would write over each other.
 *
 * @param onLost called where another tab has taken the job over
 * @returns whether this tab has the job now
 */
export function takeJob({ over, onLost }: { over: boolean; onLost: () => void }): Promise<boolean> {
  return new Promise((answer) => {
    navigator.locks
      .request(LOCK, over ? { steal: true } : { ifAvailable: true }, (lock) => {
        answer(lock !== null);
        // Held until the tab is closed or another takes it.
        return lock === null ? undefined : new Promise(() => {});
      })
      .catch(onLost);
  });
}
