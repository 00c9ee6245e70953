import type { Verification } from '../../model/verification.ts';
import { noteText } from '../note-text.ts';
import { plainFeed } from '../plain-feed.ts';
import { reasonText } from '../reason-text.ts';

/** The outcome in a few lines: pass or fail first, then what to turn, then what could not be told. */
export function verifyLines({ passes, feeds, turn, notRecorded, notes }: Verification): string[] {
  const notChecked = feeds.flatMap(({ feedId, proofs }) =>
    proofs
      .filter(({ verdict }) => verdict === 'not told')
      .map(({ text }) => `  ${plainFeed(feedId)}: ${reasonText(text)}`),
  );
  const proofs = feeds.flatMap((feed) => feed.proofs);
  const passed = proofs.filter(({ verdict }) => verdict === 'pass').length;
  const section = (title: string, lines: readonly string[]) => (lines.length === 0 ? [] : [title, ...lines]);
  return [
    passes
      ? `Passed: the install is as planned (${passed} proofs, ${feeds.length} ${feeds.length === 1 ? 'feed' : 'feeds'} recorded).`
      : `Failed: ${proofs.filter(({ verdict }) => verdict === 'fail').length} of ${proofs.length} proofs.`,
    ...section(
      'To do, in this order:',
      turn.map(
        ({ feedId, knob, text }, i) => `  ${i + 1}. ${plainFeed(feedId)}, ${knob}: ${reasonText(text)}`,
      ),
    ),
    ...section('Not checked:', [...new Set(notChecked)]),
    ...section(
      'Not recorded:',
      notRecorded.length === 0 ? [] : [`  ${notRecorded.map(plainFeed).join(', ')}`],
    ),
    ...section(
      'Noted:',
      notes.map((note) => `  ${noteText(note)}`),
    ),
  ];
}
