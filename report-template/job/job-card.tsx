import type { ComponentChildren, ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { useJob, writtenSession } from './job-view.ts';
import { JobFiles } from './parts/job-files.tsx';
import { SoundContext, useSound } from './sound/sound-view.ts';
import { useInput } from './sound/use-input.ts';
import { usePlayer } from './sound/use-player.ts';
import { useTake } from './sound/use-take.ts';
import { CarStep } from './steps/car-step.tsx';
import { CheckStep } from './steps/check-step.tsx';
import { DialInStep } from './steps/dial-in-step.tsx';
import { nextStep, STEPS, type StepId, type StepState, stepStates } from './steps/progress-of-job.ts';
import { ProveStep } from './steps/prove-step.tsx';
import { RecordStep } from './steps/record-step.tsx';
import { ReportStep } from './steps/report-step.tsx';
import { ScreenStep } from './steps/screen-step.tsx';
import { StickStep } from './steps/stick-step.tsx';
import { isToldElsewhere, TakeElsewhere } from './steps/take-elsewhere.tsx';

const BODIES: Readonly<Record<StepId, ComponentType>> = {
  car: CarStep,
  stick: StickStep,
  screen: ScreenStep,
  record: RecordStep,
  check: CheckStep,
  report: ReportStep,
  'dial-in': DialInStep,
  prove: ProveStep,
};

/** The job in the order of work: what is done, what is missing, the one next thing, and the step that is open. */
export function JobCard() {
  const job = useJob();
  const states = stepStates(job);
  const input = useInput();
  const recording = useTake(input);
  const player = usePlayer();
  const [open, show] = useOpenStep(nextStep(states)?.id ?? 'car');
  const name = writtenSession(job).value.name;
  return (
    <SoundContext.Provider value={{ input, recording, player }}>
      <header>
        <p class="maker">Steptone job card</p>
        <h1>
          <bdi>{typeof name === 'string' && name !== '' ? name : 'New job'}</bdi>
        </h1>
        <JobFiles />
        {job.notKept !== null && <NotKept why={job.notKept} />}
        {job.trouble !== null && <KeepingTrouble />}
      </header>
      <WhatNext states={states} open={open} show={show} />
      <div class="card">
        <StepList states={states} open={open} show={show} />
        <OpenStep id={open} state={states[open]} />
      </div>
    </SoundContext.Provider>
  );
}

interface Shown {
  readonly states: ReturnType<typeof stepStates>;
  readonly open: StepId;
  readonly show: (id: StepId) => void;
}

/** The step that is open, by the page's address, and how another is opened. */
function useOpenStep(first: StepId): [StepId, Shown['show']] {
  const [open, setOpen] = useState<StepId>(() => stepOfAddress() ?? first);
  useEffect(() => {
    const follow = () => setOpen(stepOfAddress() ?? 'car');
    addEventListener('hashchange', follow);
    return () => removeEventListener('hashchange', follow);
  }, []);
  const show = (id: StepId) => {
    setOpen(id);
    // The browser's way back leads to the step before, not out of the job.
    if (id !== open) history.pushState(null, '', `#${id}`);
    document.getElementById('step')?.focus();
  };
  return [open, show];
}

/** A take that runs in another step comes before all else. */
function WhatNext({ states, open, show }: Shown) {
  const {
    recording,
    player: { playing },
  } = useSound();
  const next = nextStep(states);
  const step = recording.of?.step ?? open;
  return (
    <section class="next" aria-label="What to do next">
      {playing !== null && (
        <>
          <p>
            Playing <strong>{playing.name}</strong>.
          </p>
          <button type="button" class="warn" onClick={playing.stop}>
            Stop playing
          </button>
        </>
      )}
      {step !== open && isToldElsewhere(recording) ? (
        <NextThing words={<TakeElsewhere recording={recording} />} onGo={() => show(step)} />
      ) : next === null ? (
        <p>All done: hand the car over with its sheet, and keep the results file.</p>
      ) : (
        <NextThing
          words={
            <p>
              Next: <strong>{next.words}</strong>.
            </p>
          }
          onGo={next.id === open ? null : () => show(next.id)}
        />
      )}
    </section>
  );
}

function NextThing({
  words,
  onGo,
}: {
  readonly words: ComponentChildren;
  readonly onGo: (() => void) | null;
}) {
  return (
    <>
      {words}
      {onGo !== null && (
        <button type="button" onClick={onGo}>
          Go there
        </button>
      )}
    </>
  );
}

function StepList({ states, open, show }: Shown) {
  return (
    <nav aria-label="Steps of the job">
      <ol>
        {STEPS.map(([id, title]) => (
          <li key={id} class={states[id].done ? 'done' : undefined}>
            <a
              href={`#${id}`}
              aria-current={id === open ? 'step' : undefined}
              onClick={(event) => {
                event.preventDefault();
                show(id);
              }}
            >
              {title}
            </a>
            <span class="state">{stateText(states[id])}</span>
          </li>
        ))}
      </ol>
    </nav>
  );
}

function OpenStep({ id, state }: { readonly id: StepId; readonly state: StepState }) {
  const Body = BODIES[id];
  return (
    <main id="step" tabIndex={-1} aria-labelledby="step-title">
      <h2 id="step-title">{STEPS.find(([step]) => step === id)![1]}</h2>
      <p class="state of-step">{stateText(state)}</p>
      <Body key={id} />
    </main>
  );
}

function stateText({ done, words }: StepState): string {
  return `${done ? '✓ ' : ''}${words}`;
}

function stepOfAddress(): StepId | undefined {
  return STEPS.find(([id]) => `#${id}` === location.hash)?.[0];
}

function NotKept({ why }: { readonly why: string }) {
  return (
    <p class="trouble" role="alert">
      This browser keeps nothing here (it said: {why}); a private window or blocked site data does that. Save
      the job as one file before you close the page, or open the page in an ordinary window.
    </p>
  );
}

function KeepingTrouble() {
  const job = useJob();
  const full = job.trouble?.name === 'StorageFull';
  return (
    <p class="trouble" role="alert">
      {full
        ? 'The browser has no room left for this job: the last change or take was not kept. Save the job as one file, make room on the disk or take recordings out under Check, then do the last thing again.'
        : `The last change could not be kept (${job.trouble?.message}). Save the job as one file now.`}
    </p>
  );
}
