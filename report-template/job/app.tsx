import { useEffect, useState } from 'preact/hooks';
import { JobCard } from './job-card.tsx';
import { JobContext } from './job-view.ts';
import { Job } from './keep/job.ts';
import { takeJob } from './keep/only-tab.ts';

type Holding = 'opening' | 'elsewhere' | 'lost' | 'here';

/** Opens the job that the browser keeps, in one tab at a time. */
export function App() {
  const [holding, setHolding] = useState<Holding>('opening');
  const [job, setJob] = useState<Job | null>(null);
  const take = async (over: boolean) => {
    if (!(await takeJob({ over, onLost: () => setHolding('lost') }))) return setHolding('elsewhere');
    setJob(await Job.open());
    setHolding('here');
    // So that the browser does not clear the job when room gets short; where it asks, the person decides.
    void navigator.storage?.persist?.();
  };
  useEffect(() => void take(false), []);
  if (holding === 'elsewhere' || holding === 'lost')
    return (
      <main>
        <h1>This job is open in another tab</h1>
        <p>
          Two tabs would write over each other. Go on there, or take the job over here; nothing kept is lost.
        </p>
        <button type="button" class="main" onClick={() => void take(true)}>
          Go on here
        </button>
      </main>
    );
  if (job === null) return <p>Opening the job card …</p>;
  return (
    <JobContext.Provider value={job}>
      <JobCard />
    </JobContext.Provider>
  );
}
