import { CARRIES_NO_BASS } from '../findings/bass/bass-levels.ts';
import { NO_LOW_DRIVE } from '../findings/bass/bass-onset.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import type { Check } from '../model/check.ts';
import {
  BASS_FREQUENCIES_HZ,
  type BandEdge,
  type Finding,
  type FindingOf,
  findingsOf,
} from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Session } from '../model/session.ts';
import { bassSpread } from './bass-spread.ts';

/** Bass that differs by less is the same (the width of a plateau). */
const ALIKE_DB = 0.5;
/** Pairs rarely meet closer than this; a later tap is worth a word from here on (a tenth of a period at 1 kHz). */
const LATE_SECONDS = 1e-4;

/** What the recordings say of the radio up to now, a few words a tap; taps that say the same share a line. */
export function soFar(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
}): Check['soFar'] {
  const { session, measurements, findings } = of;
  const lines = new Map<string, string[]>();
  for (const tap of session.taps) {
    const { id } = tap;
    const own = measurements
      .filter(({ tapId }) => tapId === id)
      .sort((one, other) => one.setting - other.setting);
    if (own.length === 0) continue;
    const about = findings.filter(({ tapIds }) => tapIds[0] === id);
    const text = isMicrophone(tap) ? heardText(about, own) : tapText(about, own);
    lines.set(text, [...(lines.get(text) ?? []), id]);
  }
  return Array.from(lines, ([text, tapIds]) => ({ tapIds, text }));
}

function tapText(about: readonly Finding[], measurements: readonly TapMeasurement[]): string {
  if (findingsOf(about, 'routing')[0]?.carries === 'nothing') return 'carries nothing';
  return [band(about), volume(about), bass(about, measurements), clipping(about, measurements), timing(about)]
    .flat()
    .join(', ');
}

/** A phone left in the car: what changes between settings is the radio's, nothing else is. */
function heardText(about: readonly Finding[], measurements: readonly TapMeasurement[]): string {
  return [
    ...bass(about, measurements),
    'heard by a microphone, so that volts, band limits, clipping, polarity and timing are withheld',
  ].join(', ');
}

function band(about: readonly Finding[]): string[] {
  const [finding] = findingsOf(about, 'band');
  if (finding === undefined) return [];
  switch (finding.verdict) {
    case 'full range':
      return ['full range'];
    case 'cannot be told':
      return ['band not told'];
    case 'band-limited':
      return [bandText(finding)];
  }
}

function bandText({ lowEdge, highEdge }: FindingOf<'band'>): string {
  const [from, to] = [edgeHz(lowEdge), edgeHz(highEdge)];
  if (from !== null && to !== null) return `band-limited, ${from} to ${to} Hz`;
  if (from !== null) return `band-limited, from ${from} Hz up`;
  return to !== null ? `band-limited, up to ${to} Hz` : 'band-limited';
}

function edgeHz(edge: BandEdge | null): number | null {
  if (edge === null || isNotMeasurable(edge.minus3Hz)) return null;
  return Number(edge.minus3Hz.value.toPrecision(2));
}

function volume(about: readonly Finding[]): string[] {
  return findingsOf(about, 'volume-law').some(({ followsVolume }) => !followsVolume)
    ? ['does not follow the volume']
    : [];
}

function bass(about: readonly Finding[], measurements: readonly TapMeasurement[]): string[] {
  const [finding] = findingsOf(about, 'bass-change');
  const lifted = findingsOf(about, 'loudness-contour').map(
    ({ upToSetting }) => `bass lifted up to setting ${upToSetting}`,
  );
  const limited = findingsOf(about, 'bass-limiter').map(() => 'a limiter holds loud bass');
  return [...lifted, ...(finding === undefined ? [] : bassText(finding, measurements)), ...limited];
}

function bassText(finding: FindingOf<'bass-change'>, measurements: readonly TapMeasurement[]): string[] {
  const { verdict, onset, changes } = finding;
  if (verdict === 'steady') return ['bass steady'];
  if (verdict === 'falls with volume' && onset !== null) {
    const most = largestLoss(changes);
    const how = most === null ? '' : ` (${most.db.toFixed(1)} dB less at ${most.atHz} Hz at ${most.setting})`;
    return [`bass falls from between ${onset.lastIntact} and ${onset.firstChanged} on${how}`];
  }
  const spread = bassSpread(measurements);
  if (spread === null) return finding.reason === CARRIES_NO_BASS ? [] : ['bass against volume not told yet'];
  const { atHz, lowSetting, highSetting, changeDb } = spread;
  return [
    Math.abs(changeDb) < ALIKE_DB
      ? `bass alike at ${lowSetting} and ${highSetting}`
      : `bass at ${atHz} Hz ${Math.abs(changeDb).toFixed(1)} dB ${changeDb < 0 ? 'lower' : 'higher'} at ${highSetting} than at ${lowSetting} (${finding.reason === NO_LOW_DRIVE ? 'by the volume or a limiter' : 'from where on'} is not told yet)`,
  ];
}

function largestLoss(
  changes: FindingOf<'bass-change'>['changes'],
): { setting: number; atHz: number; db: number } | null {
  const losses = changes.flatMap(({ setting, changeDb }) =>
    changeDb.flatMap((value, at) =>
      isNotMeasurable(value) ? [] : [{ setting, atHz: BASS_FREQUENCIES_HZ[at], db: -value.value }],
    ),
  );
  return losses.sort((one, other) => other.db - one.db)[0] ?? null;
}

function clipping(about: readonly Finding[], measurements: readonly TapMeasurement[]): string[] {
  if (measurements.every(({ ladders }) => ladders.length === 0)) return ['clipping not recorded'];
  const [finding] = findingsOf(about, 'clipping');
  if (finding === undefined) return [];
  const { highestCleanRecorded: clean, firstClippingRecorded: clips } = finding;
  const whose = findingsOf(about, 'clipping').some(({ mayBeRecorder }) => mayBeRecorder === true)
    ? ' (the radio or the recorder’s own input, not told which)'
    : '';
  if (clean !== null && clips !== null) return [`clips between ${clean} and ${clips}${whose}`];
  if (clean === null)
    return [clips === null ? 'clipping not told' : `clips at ${clips} already, the lowest recorded${whose}`];
  const higher = measurements.some(({ setting }) => setting > clean);
  return [`clean up to ${clean}, ${higher ? 'above it not told' : 'the highest recorded'}`];
}

function timing(about: readonly Finding[]): string[] {
  return findingsOf(about, 'timing').flatMap(({ polarity, delaySeconds, referenceTapId }) => [
    ...(polarity === 'inverted' ? [`inverted against ${referenceTapId}`] : []),
    ...(!isNotMeasurable(delaySeconds) && Math.abs(delaySeconds.value) > LATE_SECONDS
      ? [
          `${(1000 * Math.abs(delaySeconds.value)).toFixed(2)} ms ${delaySeconds.value > 0 ? 'later' : 'earlier'} than ${referenceTapId}`,
        ]
      : []),
  ]);
}
