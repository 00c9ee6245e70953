import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { SteptoneError } from '../../../src/model/errors.ts';
import { type Progress, Stopped, stopWork } from '../work/ask.ts';

/** Work that takes a while: how far it is, and what went wrong with it. */
interface Running {
  readonly busy: boolean;
  readonly progress: Progress | null;
  readonly trouble: Error | null;
  /** Runs work, unless some is running. */
  readonly run: (work: (onProgress: (progress: Progress) => void) => Promise<void>) => void;
}

export function useRunning(): Running {
  const [busy, setBusy] = useState(false);
  const [progress, setProgress] = useState<Progress | null>(null);
  const [trouble, setTrouble] = useState<Error | null>(null);
  return {
    busy,
    progress,
    trouble,
    run(work) {
      if (busy) return;
      setBusy(true);
      setTrouble(null);
      setProgress(null);
      work(setProgress)
        .catch((error: unknown) => {
          if (!(error instanceof Stopped))
            setTrouble(error instanceof Error ? error : new Error(String(error)));
        })
        .finally(() => setBusy(false));
    },
  };
}

/** A button that starts work; while it runs, how far it is and a button that stops it. */
export function RunButton({
  running,
  work,
  disabled = false,
  main = false,
  children,
}: {
  readonly running: Running;
  readonly work: (onProgress: (progress: Progress) => void) => Promise<void>;
  readonly disabled?: boolean;
  /** The one thing to do next on its step. */
  readonly main?: boolean;
  readonly children: ComponentChildren;
}) {
  const { busy, progress, trouble, run } = running;
  return (
    <div class="run">
      <button
        type="button"
        class={main ? 'main' : undefined}
        disabled={disabled || busy}
        onClick={() => run(work)}
      >
        {children}
      </button>
      {busy && (
        <>
          {' '}
          <button type="button" onClick={stopWork}>
            Stop
          </button>
          <p role="status" class="progress">
            {progress === null
              ? 'Beginning …'
              : `${progress.total > 0 ? Math.round((100 * progress.done) / progress.total) : 0} % · ${progress.what}`}
          </p>
        </>
      )}
      {trouble !== null && <Trouble error={trouble} />}
    </div>
  );
}

/** What went wrong: what was expected and found, where, and what to do. */
export function Trouble({ error }: { readonly error: Error }) {
  if (!(error instanceof SteptoneError))
    return (
      <div class="trouble" role="alert">
        <p>
          <strong>This is a fault of the tool, not of your recordings.</strong> Send its maintainers what
          follows.
        </p>
        <pre>{error.stack ?? error.message}</pre>
      </div>
    );
  const { expected, found, where, likelyCause, nextStep } = error.parts;
  return (
    <div class="trouble" role="alert">
      <p>
        <strong>{where}:</strong> expected {expected}, found {found}.
        {likelyCause !== undefined && ` Likely cause: ${likelyCause}.`}
      </p>
      <p>Next: {nextStep}.</p>
    </div>
  );
}
