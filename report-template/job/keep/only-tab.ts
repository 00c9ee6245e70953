const LOCK = 'steptone-job';
/** A tab that is loaded anew lets go of the job a moment after it asks for it. */
const PATIENCE_MS = 5000;

/**
 * Sees to it that one tab works on the job at a time: two would write over each other.
 *
 * @param onLost called where another tab has taken the job over
 * @returns whether this tab has the job now
 */
export function takeJob({ over, onLost }: { over: boolean; onLost: () => void }): Promise<boolean> {
  return new Promise((answer) => {
    let isOurs = false;
    navigator.locks
      .request(LOCK, over ? { steal: true } : { signal: AbortSignal.timeout(PATIENCE_MS) }, () => {
        isOurs = true;
        answer(true);
        // Held until the tab is closed or another takes it.
        return new Promise(() => {});
      })
      .catch(() => (isOurs ? onLost() : answer(false)));
  });
}
