import { SteptoneError } from '../src/model/errors.ts';
import { type Results, resultsSchema } from '../src/model/results.ts';
import { readWhole } from './files.ts';

/**
 * Results that `analyse` wrote.
 *
 * @throws SteptoneError 'file-missing'; 'usage' where the file is another one or of another version
 */
export function readResults(path: string): Results {
  const found = parsed(readWhole(path).toString('utf8'));
  const checked = resultsSchema.safeParse(found);
  if (checked.success) return checked.data;
  const [issue] = checked.error.issues;
  throw new SteptoneError({
    code: 'usage',
    expected: 'a results file that steptone analyse wrote',
    found:
      found === null ? 'no JSON' : `a wrong field ${issue.path.join('.')}: ${issue.message.toLowerCase()}`,
    where: path,
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
