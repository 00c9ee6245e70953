import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { TapInput } from '../../src/simulate/scenario.ts';
import { fullTrack } from '../../src/tones/track.ts';
import { analysedSpoilt } from './spoilt.ts';

/** A seat-belt chime of 1 s and a voice of 2 s, as loud as the sweeps at this setting are, in one take of three. */
const KINDS = { chime: 1, voice: 2 } as const;
/** Both fronts of the example are alike: the voice is asked of a pair, the chime of one. */
const CHIMES_ON = { taps: [{ id: 'front-left', side: 'left', position: 'front' }] } as const;
const TAKE_STARTS_SECONDS = 1;
const SPOILT_SETTING = 20;
type Kind = keyof typeof KINDS;

function analysed(announcements: TapInput['announcements'], everyTap: TapInput = {}): Results {
  const hasChime = announcements?.some(({ kind }) => kind === 'chime');
  return analysedSpoilt({
    scenario: exampleScenario('flat full range', {
      ...(hasChime ? CHIMES_ON : {}),
      settings: [16, SPOILT_SETTING, 26],
      recorder: { startSeconds: [TAKE_STARTS_SECONDS, TAKE_STARTS_SECONDS] },
      everyTap: { ...everyTap, announcements },
    }),
  });
}

function announced(kind: Kind, secondsIntoTrack: number): Results {
  return analysed([
    {
      kind,
      file: `setting-${SPOILT_SETTING}.wav`,
      atSeconds: TAKE_STARTS_SECONDS + secondsIntoTrack,
      durationSeconds: KINDS[kind],
      voltsRms: 0.5,
    },
  ]);
}

/** What is said of the takes: setting, tap, code and weight. */
function remarks(results: Results): string[] {
  return results.checks!.takes.flatMap(({ facts, remarks: said }) =>
    said.map(
      ({ reason, tapIds, weight }) => `${facts.setting} ${tapIds.join()}: ${codeOf(reason)}, ${weight}`,
    ),
  );
}

/** Every finding of a flat, clean and quiet radio, as one expects it. */
function expectNothingFound(results: Results): void {
  for (const { verdict, changes } of findingsOf(results.findings, 'bass-change')) {
    expect(verdict).toBe('steady');
    for (const value of changes.flatMap(({ changeDb }) => changeDb))
      if (!isNotMeasurable(value)) expect(Math.abs(value.value)).toBeLessThan(0.1);
  }
  for (const { verdict, fixedEq } of findingsOf(results.findings, 'band'))
    expect([verdict, fixedEq]).toEqual(['full range', []]);
  for (const { place } of findingsOf(results.findings, 'clipping')) expect(place).toBe('none seen');
  for (const { highestCleanRecorded, firstClippingRecorded } of findingsOf(
    results.findings,
    'clean-settings',
  ))
    expect([highestCleanRecorded, firstClippingRecorded]).toEqual([26, null]);
  for (const { lines, mutesInSilence } of findingsOf(results.findings, 'noise'))
    expect([lines, mutesInSilence]).toEqual([[], false]);
  for (const { agreesWithSession } of findingsOf(results.findings, 'routing'))
    expect(agreesWithSession).toBe(true);
  for (const kind of ['bass-limiter', 'loudness-contour', 'common-ceiling', 'crossover'] as const)
    expect(findingsOf(results.findings, kind)).toEqual([]);
}

const startOf = (id: string) => fullTrack.sections.find((section) => section.id === id)!.startSeconds;

describe.each(Object.keys(KINDS) as Kind[])('a %s', (kind) => {
  test.each([
    ['sweep left', 3, 'note'],
    ['sweep both low', 2.5, 'record again'],
    ['ladder bass', 3, 'record again'],
    ['ladder middle', 0.3, 'record again'],
    ['closing left', 0.2, 'note'],
    ['quiet tone', 0.9, 'note'],
  ] as const)(
    'in the %s: told with its time, what it covers is not used, nothing is found',
    (section, into, weight) => {
      const results = announced(kind, startOf(section) + into);
      const heard = results.checks!.takes.find(({ facts }) => facts.setting === SPOILT_SETTING)!.facts
        .channels[0].announcements!;
      expect(heard).toHaveLength(1);
      expect(heard[0].sections[0]).toBe(section);
      const from = TAKE_STARTS_SECONDS + startOf(section) + into;
      expect(Math.abs(heard[0].fromSeconds - from)).toBeLessThan(0.4);
      expect(Math.abs(heard[0].toSeconds - from - KINDS[kind])).toBeLessThan(0.7);
      expect(remarks(results)).toContain(`${SPOILT_SETTING} front-left: chime or voice, ${weight}`);
      expect(remarks(results).filter((one) => !one.includes('chime or voice'))).toEqual([]);
      expectNothingFound(results);
    },
  );
});

test.each([
  ['clips', 'rail clip'],
  ['limits its bass in front of the volume control', 'limiter before the volume control'],
  ['limits its bass behind it', 'limiter after the volume control'],
] as const)('a radio that %s is not taken for one that speaks', (_, name) => {
  const results = analysedSpoilt({
    scenario: exampleScenario(name, {
      settings: [20, 32],
      everyTap: { fixedEq: [{ kind: 'low shelf', frequencyHz: 100, gainDb: 10 }] },
    }),
  });
  expect(remarks(results).filter((one) => one.includes('chime or voice'))).toEqual([]);
});
