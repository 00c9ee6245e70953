import type { Reason } from '../model/reason.ts';
import { reasonText } from './reason-text.ts';

/** What was noted of a file or, where none is named, of the session. */
export function noteText({ file, reason }: { file: string | null; reason: Reason }): string {
  return file === null ? reasonText(reason) : `${file}: ${reasonText(reason)}`;
}
