import { expect, it } from 'vitest';
import { fullTrack, responseTrack, sideOfSection } from '../../src/tones/track.ts';

it('A section is on one side where it is a sweep of one side, in either track, and on both otherwise.', () => {
  for (const { sections } of [fullTrack, responseTrack])
    for (const section of sections) {
      const alone = section.kind === 'sweep' && section.programme !== 'both';
      expect(sideOfSection(section.id), section.id).toBe(alone ? section.programme : null);
    }
  expect(sideOfSection('closing right')).toBe('right');
});
