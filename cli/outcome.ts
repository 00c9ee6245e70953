/** What a command has to say; `main.ts` prints it. */
export interface Outcome {
  /** For people. */
  readonly text: string;
  /** The same facts for programs, printed with `--json`. */
  readonly data: unknown;
  /** Exit status of work that was done and whose answer is no; 0 where absent. */
  readonly status?: number;
}
