const SIGNALS = ['SIGINT', 'SIGTERM'] as const;

let holders = 0;
const cleanUps = new Set<() => void>();

/**
 * Ctrl-C waits while a file is half written, and ends the process right after it. At all other times it ends the process
 * at once, as the system does by itself: nothing unfinished lies about then.
 *
 * @param cleanUp what to do before the process ends by a signal that came meanwhile
 * @returns ends the holding; a signal that came meanwhile is heard when the process next looks for one
 */
export function holdSignals(cleanUp: () => void): () => void {
  if (holders++ === 0) for (const signal of SIGNALS) process.on(signal, endBy);
  cleanUps.add(cleanUp);
  return () => {
    cleanUps.delete(cleanUp);
    // Without a listener when the event loop looks, a signal that waits would be lost.
    hearSignals().then(() => {
      if (--holders === 0) stopListening();
    });
  };
}

/** For commands that write one file after another: a place between two of them where a signal that waited is heard. */
export function hearSignals(): Promise<void> {
  // Two turns of the event loop: in the first, Node 20 does not look yet.
  return new Promise((done) => setImmediate(() => setImmediate(done)));
}

/** Sent once more without a listener, it ends the process as it would have: shells show 130 for Ctrl-C, 143 for SIGTERM. */
function endBy(signal: NodeJS.Signals): void {
  for (const cleanUp of cleanUps) cleanUp();
  stopListening();
  process.kill(process.pid, signal);
}

function stopListening(): void {
  for (const signal of SIGNALS) process.off(signal, endBy);
}
