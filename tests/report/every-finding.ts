import { type Finding, type FindingOf, findingsOf } from '../../src/model/finding.ts';
import { measured } from '../../src/model/measured.ts';
import { exampleResults } from './example-results.ts';

const example = exampleResults().findings;
const base = (kind: string) => ({ id: kind, tapIds: ['door-l'], evidence: [] });
const first = <Kind extends Finding['kind']>(kind: Kind): FindingOf<Kind> => findingsOf(example, kind)[0];

const contour: FindingOf<'loudness-contour'> = {
  ...base('loudness-contour'),
  kind: 'loudness-contour',
  changes: [{ setting: 10, changeDb: [6, 4, 3, 2].map((value) => measured({ value, plusMinus: 0.1 })) }],
  upToSetting: 14,
};
const limiter: FindingOf<'bass-limiter'> = {
  ...base('bass-limiter'),
  kind: 'bass-limiter',
  place: 'after the volume control',
  perSetting: [
    {
      setting: 34,
      thresholdDriveDbFs: measured({ value: -14, plusMinus: 0.5 }),
      levelVoltsRms: measured({ value: 3.1, plusMinus: 0.05 }),
    },
  ],
};
const recorder: FindingOf<'recorder-clipping'> = {
  ...base('recorder-clipping'),
  kind: 'recorder-clipping',
  settings: [34, 38],
};
const ceiling: FindingOf<'common-ceiling'> = {
  ...base('common-ceiling'),
  kind: 'common-ceiling',
  ceilingHz: 16_000,
};
const otherSource: FindingOf<'other-source'> = {
  ...base('other-source'),
  kind: 'other-source',
  source: 'a phone',
  comparedWith: 'the stick',
  settings: [22],
  levelDb: measured({ value: 3.2, plusMinus: 0.05 }),
  ceilingHz: 16_000,
  tone: { frequencyHz: 63, differsDb: 4.1 },
  movesDb: 1.5,
  clip: { setting: 22, driveDbFs: -3 },
};

const places = {
  limiter: ['before the volume control', 'after the volume control', 'cannot be told'],
  clipping: ['before the volume control', 'after the volume control', 'cannot be told', 'none seen'],
} as const;

/** Findings that differ in one verdict only: each must read differently. */
export const variantsOf: readonly { of: string; findings: readonly Finding[] }[] = [
  {
    of: 'verdict on the bass',
    findings: (['falls with volume', 'steady', 'cannot be told'] as const).map((verdict) => ({
      ...first('bass-change'),
      verdict,
    })),
  },
  {
    of: 'shape of the loss',
    findings: (['shelf', 'high-pass', 'shelf or high-pass'] as const).map((model) => {
      const finding = first('bass-change');
      return { ...finding, shape: finding.shape === null ? null : { ...finding.shape, model } };
    }),
  },
  { of: 'place of a limiter', findings: places.limiter.map((place) => ({ ...limiter, place })) },
  {
    of: 'verdict on the band',
    findings: (['full range', 'band-limited', 'cannot be told'] as const).map((verdict) => ({
      ...first('band'),
      verdict,
    })),
  },
  {
    of: 'doubt whether the recorder makes the low edge',
    findings: [true, false].map((lowEdgeMayBeRecorder) => ({ ...first('band'), lowEdgeMayBeRecorder })),
  },
  {
    of: 'programme carried',
    findings: (['left', 'right', 'left and right', 'difference', 'nothing'] as const).map((carries) => ({
      ...first('routing'),
      carries,
    })),
  },
  {
    of: 'agreement with the session',
    findings: [true, false].map((agreesWithSession) => ({ ...first('routing'), agreesWithSession })),
  },
  {
    of: 'polarity',
    findings: (['same', 'inverted', 'ambiguous'] as const).map((polarity) => ({
      ...first('timing'),
      polarity,
    })),
  },
  {
    of: 'order of arrival',
    findings: [-4e-5, 0, 4e-5].map((value) => ({
      ...first('timing'),
      delaySeconds: measured({ value, plusMinus: 2e-6 }),
    })),
  },
  {
    of: 'volume law',
    findings: [true, false].map((followsVolume) => ({ ...first('volume-law'), followsVolume })),
  },
  { of: 'place of clipping', findings: places.clipping.map((place) => ({ ...first('clipping'), place })) },
  {
    of: 'pair of settings about the clipping',
    findings: (
      [
        [30, 34],
        [38, null],
        [null, 10],
        [null, null],
      ] as const
    ).map(([highestCleanRecorded, firstClippingRecorded]) => ({
      ...first('clean-settings'),
      highestCleanRecorded,
      firstClippingRecorded,
    })),
  },
  {
    of: 'frequency that would be louder than any tone',
    findings: [{ ...first('clean-settings'), asLoudAsPlayed: { setting: 34, atHz: 20, louderByDb: 1.2 } }],
  },
  {
    of: 'doubt whether the recorder clips',
    findings: [true, false].map((mayBeRecorder) => ({ ...first('clipping'), mayBeRecorder })),
  },
  {
    of: 'verdict on the rail',
    findings: (
      ['as the supply allows', 'half of it', 'far below', 'above the supply', 'not told'] as const
    ).map((verdict) => ({ ...first('rail'), verdict })),
  },
  {
    of: 'source of the noise',
    findings: (['radio', 'recorder', 'not told'] as const).map((limitedBy) => ({
      ...first('noise'),
      limitedBy,
    })),
  },
  {
    of: 'loudness of another source',
    findings: [3.2, 0.01, -3.2].map((value) => ({
      ...otherSource,
      levelDb: measured({ value, plusMinus: 0.05 }),
    })),
  },
  { of: 'origin of the lines', findings: [50, 60, null].map((mainsHz) => ({ ...first('noise'), mainsHz })) },
];

export const findingsOfEveryKind: readonly Finding[] = [
  ...example,
  contour,
  limiter,
  recorder,
  ceiling,
  otherSource,
].concat(
  variantsOf.flatMap(({ of, findings }) =>
    findings.map((finding, i) => ({ ...finding, id: `${of} ${i + 1}` })),
  ),
);
