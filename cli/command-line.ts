import type { Command } from 'commander';
import type { Progress } from '../src/commands/progress.ts';
import type { Outcome } from './outcome.ts';

/** What a command works with beside its own options. */
interface Surroundings {
  readonly progress: Progress;
}

export type Work = (surroundings: Surroundings) => Promise<Outcome>;

export interface CommonOptions {
  readonly json: boolean;
  readonly quiet: boolean;
}

/** What was asked for: nothing runs before `work` is called. */
export interface Request extends CommonOptions {
  readonly work: Work;
}

/** Where commands are added, and where each says what it was asked for. */
export interface CommandLine {
  command(name: string, example: string): Command;
  asked(options: CommonOptions, work: Work): void;
}
