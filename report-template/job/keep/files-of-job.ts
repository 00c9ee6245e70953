/** Recordings, session and parts files, results, photos, and the pages that were made of them. */
const OF_A_JOB = /\.(wav|wave|bwf|rf64|ya?ml|json|jpe?g|png|html|csv)$/i;
/** Left by systems and editors. */
const OF_A_SYSTEM = /(^|\/)(\.|__MACOSX|Thumbs\.db|node_modules\/)/;
/** As many as a session may list. */
const MOST_FILES = 2048;

/** Of what was given, what a job can use, and the names of the rest. Null where so much was given that it is another folder. */
export function filesOfJob(
  given: ReadonlyMap<string, Blob>,
): { files: Map<string, Blob>; others: string[] } | null {
  const names = [...given.keys()].filter((name) => !OF_A_SYSTEM.test(name));
  const files = new Map(names.filter((name) => OF_A_JOB.test(name)).map((name) => [name, given.get(name)!]));
  return files.size > MOST_FILES ? null : { files, others: names.filter((name) => !OF_A_JOB.test(name)) };
}
