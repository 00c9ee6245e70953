import { expect, it } from 'vitest';
import { asWritten } from '../../src/model/reason.ts';
import type { Verification, VerifiedFeed } from '../../src/model/verification.ts';
import { proofPage } from '../../src/proof/proof-page.ts';
import { exampleResults } from '../report/example-results.ts';

const feed: VerifiedFeed = {
  tapId: '<script>alert(1)</script>',
  feedId: 'feed-front-left',
  output: 'front',
  side: 'left',
  node: 'amplifier output',
  restoration: 'none',
  settings: [10],
  proofs: [
    {
      what: 'level',
      verdict: 'fail',
      setting: null,
      expected: 0,
      found: 3,
      unit: 'dB',
      tolerance: 0.7,
      knob: 'amplifier gain',
      text: asWritten('turn it down by 3.0 dB'),
    },
  ],
  asLeft: [
    {
      feedId: 'feed-front-left',
      node: 'amplifier output',
      restoration: 'none',
      setting: 10,
      toneHz: 100,
      voltsRms: 13.21,
    },
  ],
  frequencyHz: [100, 200, 400, 800, 1600],
  curves: [
    { setting: 10, beforeDb: [0, 0, 0, 0, 0], plannedDb: [0, 0, 0, 0, 0], afterDb: [3, 3, null, 3, -60] },
  ],
};

const verification: Verification = {
  format: 'steptone verification',
  version: 1,
  toolVersion: '0',
  name: 'A & B',
  passes: false,
  feeds: [feed],
  notRecorded: ['feed-subwoofer'],
  turn: [{ feedId: 'feed-front-left', knob: 'amplifier gain', text: asWritten('turn it down by 3.0 dB') }],
  notes: [],
  inputs: [{ file: 'a.wav', sha256: 'ab', byteLength: 1 }],
};

it('Pass or fail, the knob, what was not recorded and a drawing with three lines stand on one page without scripts.', () => {
  const page = proofPage(verification, null);
  expect(page).toContain('Proof of the install: failed');
  expect(page).toContain('<strong>front left, amplifier gain:</strong> turn it down by 3.0 dB.');
  expect(page).toContain('± 0.7 dB</td>');
  expect(page).toContain('As left at setting 10, full-scale tone: 100 Hz 13.2 V.');
  expect(page).toContain('Not recorded: subwoofer.');
  expect(page.match(/<path /g)).toHaveLength(3);
  expect(page).not.toContain('<script');
  expect(page).toContain('A &#38; B');
});

it('The chain is drawn as it came and as it is now.', () => {
  const page = proofPage(verification, exampleResults());
  expect(page).toMatch(/<h2>Before<\/h2>.*As found\..*<h2>Now<\/h2>.*As planned\./s);
});

it('A picture leaves a gap where the recording is not trusted and where it runs out of the picture.', () => {
  const paths = [...proofPage(verification, null).matchAll(/<path d="([^"]*)"/g)].map(([, path]) => path);
  // Every second point is drawn: 100, 400 and 1600 Hz; of the recording only the first can be.
  expect(paths.map((path) => path.match(/[ML]/g)?.join(''))).toEqual(['MLL', 'MLL', 'M']);
});
