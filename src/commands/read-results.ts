import { SteptoneError } from '../model/errors.ts';
import { type Results, resultsSchema } from '../model/results.ts';
import { bytesOf, type JobFolder, withFile } from './job-folder.ts';

/**
 * Results that `analyse` wrote.
 *
 * @throws SteptoneError 'file-missing'; 'usage' where the file is another one or of another version
 */
export function readResults(folder: JobFolder, file: string): Results {
  const found = parsed(withFile({ folder, file }, (source) => new TextDecoder().decode(bytesOf(source))));
  const checked = resultsSchema.safeParse(found);
  if (checked.success) return checked.data;
  const [issue] = checked.error.issues;
  throw new SteptoneError({
    code: 'usage',
    expected: 'a results file that steptone analyse wrote',
    found:
      found === null ? 'no JSON' : `a wrong field ${issue.path.join('.')}: ${issue.message.toLowerCase()}`,
    where: folder.place(file),
    likelyCause: 'it is another file, or was written by another version',
    nextStep: 'name the results.json beside the report',
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
