import type { Reason } from '../../model/reason.ts';
import { reasonText } from '../reason-text.ts';

/** What was put into the pages is named: it goes to whoever gets them. */
export function photoLines({
  images,
  remarks,
}: {
  images: ReadonlyMap<string, unknown>;
  remarks: readonly { readonly file: string; readonly reason: Reason }[];
}): string[] {
  const shown = [...images.keys()];
  return [
    ...(shown.length === 0 ? [] : [`Photos in report and sheets: ${shown.join(', ')}`]),
    ...remarks.map(({ file, reason }) => `Photo ${file}: ${reasonText(reason)}, so it is only named`),
  ];
}
