import '../no-eval.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import type { ReportAssets } from '../../../src/report/report-assets.ts';
import type { Answer, Asked } from './ask.ts';
import { pageSha256, sha256Base64 } from './page-sha256.ts';
import { type HelperWork, helpReading, readInWorkers } from './read-in-workers.ts';
import { tasks } from './tasks.ts';

declare const STEPTONE_VERSION: string;

/** A worker of the page: does the tasks that it is asked for one after another, or helps another worker to read. */
self.onmessage = ({ data }: MessageEvent<HelperWork | Asked>) => {
  if ('help' in data) helpReading(data.help);
  else carryOut(data);
};

async function carryOut({ id, task, input, files, inside, assets, script }: Asked): Promise<void> {
  const answer = (one: Answer) => self.postMessage(one);
  const progress = (done: number, total: number, what: string) =>
    answer({ id, progress: { done, total, what } });
  const shell = {
    toolVersion: STEPTONE_VERSION,
    sha256: pageSha256,
    progress,
    readAhead: (of: Pick<Parameters<typeof readInWorkers>[0], 'loaded' | 'recordings'>) =>
      readInWorkers({ ...of, files, inside, script, progress }),
    reportAssets: (): ReportAssets => ({ ...assets!, sha256Base64 }),
  };
  try {
    const work = tasks[task] as (input: unknown, around: unknown) => Promise<unknown>;
    answer({ id, done: await work(input, { files, inside, shell }) });
  } catch (error) {
    answer({ id, failed: error instanceof SteptoneError ? error.parts : faultOf(error) });
  }
}

function faultOf(error: unknown): { fault: string } {
  return { fault: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}
