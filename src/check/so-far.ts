import { CARRIES_NO_BASS } from '../findings/bass/bass-levels.ts';
import { NO_LOW_DRIVE } from '../findings/bass/bass-onset.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import type { Check } from '../model/check.ts';
import { cleanWithMusic } from '../model/clipping-findings.ts';
import { type Doubt, touches } from '../model/doubt.ts';
import {
  BASS_FREQUENCIES_HZ,
  type BandEdge,
  type Finding,
  type FindingOf,
  findingsOf,
} from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { codeOf, isSameReason, type Reason } from '../model/reason.ts';
import type { Session } from '../model/session.ts';
import { bassSpread } from './bass-spread.ts';

/** Bass that differs by less is the same (the width of a plateau). */
const ALIKE_DB = 0.5;
/** Pairs rarely meet closer than this; a later tap is worth a word from here on (a tenth of a period at 1 kHz). */
const LATE_SECONDS = 1e-4;

/** What the recordings say of the radio up to now; taps of which the same is known stand together. */
export function soFar(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
  doubts?: readonly Doubt[];
}): Check['soFar'] {
  const { session, measurements, findings, doubts = [] } = of;
  const all: Check['soFar'] = [];
  for (const tap of session.taps) {
    const { id } = tap;
    const own = measurements
      .filter(({ tapId }) => tapId === id)
      .sort((one, other) => one.setting - other.setting);
    if (own.length === 0) continue;
    const about = findings.filter(({ tapIds }) => tapIds[0] === id);
    const taken = doubts.filter(({ kind }) => kind === 'take' || kind === 'gain');
    const isDoubted = own.every(({ setting }) =>
      taken.some((doubt) => touches(doubt, { tapId: id, setting })),
    );
    const known = isDoubted
      ? [{ code: 'nothing settled' as const }]
      : isMicrophone(tap)
        ? knownFromMicrophone(about, own)
        : knownOfTap(about, own, notReadAbove(own, doubts));
    const same = all.find((other) => isAlike(other.known, known));
    if (same === undefined) all.push({ tapIds: [id], known });
    else same.tapIds.push(id);
  }
  return all;
}

/** Settings above all that were read, listed and not read: no take that said no. */
function notReadAbove(measurements: readonly TapMeasurement[], doubts: readonly Doubt[]): number[] {
  const tapId = measurements[0]?.tapId;
  const highest = Math.max(...measurements.map(({ setting }) => setting));
  const unread = doubts.flatMap(({ reason, tapIds, settings }) =>
    codeOf(reason) === 'listed and not read' && tapIds.includes(tapId) ? (settings ?? []) : [],
  );
  return [...new Set(unread)].filter((setting) => setting > highest).sort((a, b) => a - b);
}

function isAlike(one: readonly Reason[], other: readonly Reason[]): boolean {
  return one.length === other.length && one.every((reason, i) => isSameReason(reason, other[i]));
}

function knownOfTap(
  about: readonly Finding[],
  measurements: readonly TapMeasurement[],
  notRead: number[],
): Reason[] {
  if (findingsOf(about, 'routing')[0]?.carries === 'nothing') return [{ code: 'nothing carried' }];
  return [
    ...band(about),
    ...volume(about),
    ...bass(about, measurements, notRead),
    ...clipping(about, measurements, notRead),
    ...timing(about),
  ];
}

/** A phone left in the car: what changes between settings is the radio's, nothing else is. */
function knownFromMicrophone(about: readonly Finding[], measurements: readonly TapMeasurement[]): Reason[] {
  return [...bass(about, measurements), { code: 'heard in the air alone' }];
}

function band(about: readonly Finding[]): Reason[] {
  const [finding] = findingsOf(about, 'band');
  if (finding === undefined) return [];
  switch (finding.verdict) {
    case 'full range':
      return [{ code: 'full range' }];
    case 'cannot be told':
      return [{ code: 'band not known' }];
    case 'band-limited':
      return [{ code: 'band-limited', fromHz: edgeHz(finding.lowEdge), toHz: edgeHz(finding.highEdge) }];
  }
}

function edgeHz(edge: BandEdge | null): number | null {
  if (edge === null || isNotMeasurable(edge.minus3Hz)) return null;
  return Number(edge.minus3Hz.value.toPrecision(2));
}

function volume(about: readonly Finding[]): Reason[] {
  return findingsOf(about, 'volume-law').some(({ followsVolume }) => !followsVolume)
    ? [{ code: 'does not follow the volume' }]
    : [];
}

function bass(
  about: readonly Finding[],
  measurements: readonly TapMeasurement[],
  notRead: number[] = [],
): Reason[] {
  const [finding] = findingsOf(about, 'bass-change');
  const lifted = findingsOf(about, 'loudness-contour').map(
    ({ upToSetting: setting }): Reason => ({ code: 'bass lifted up to', setting }),
  );
  const limited = findingsOf(about, 'bass-limiter').map((): Reason => ({ code: 'limiter holds bass' }));
  return [
    ...lifted,
    ...(finding === undefined ? [] : bassChange(finding, measurements, notRead)),
    ...limited,
  ];
}

function bassChange(
  { verdict, onset, changes, reason }: FindingOf<'bass-change'>,
  measurements: readonly TapMeasurement[],
  notRead: number[],
): Reason[] {
  const highest = measurements.at(-1)?.setting;
  if (verdict === 'steady')
    return [
      notRead.length === 0 || highest === undefined
        ? { code: 'bass steady' }
        : { code: 'bass steady up to', setting: highest, notRead },
    ];
  if (verdict === 'falls with volume' && onset !== null) {
    const { lastIntact, firstChanged } = onset;
    return [{ code: 'bass falls', lastIntact, firstChanged, most: largestLoss(changes) }];
  }
  const spread = bassSpread(measurements);
  if (spread === null) return isReason(reason, CARRIES_NO_BASS) ? [] : [{ code: 'bass not known yet' }];
  const { atHz, lowSetting: low, highSetting: high, changeDb } = spread;
  return [
    Math.abs(changeDb) < ALIKE_DB
      ? { code: 'bass alike', low, high }
      : {
          code: 'bass differs',
          atHz,
          changeDb: Number(changeDb.toFixed(1)),
          low,
          high,
          notKnown: isReason(reason, NO_LOW_DRIVE) ? 'by the volume or a limiter' : 'from where on',
        },
  ];
}

function isReason(one: Reason | null, other: Reason): boolean {
  return one !== null && isSameReason(one, other);
}

function largestLoss(
  changes: FindingOf<'bass-change'>['changes'],
): { setting: number; atHz: number; db: number } | null {
  const losses = changes.flatMap(({ setting, changeDb }) =>
    changeDb.flatMap((value, at) =>
      isNotMeasurable(value)
        ? []
        : [{ setting, atHz: BASS_FREQUENCIES_HZ[at], db: Number((-value.value).toFixed(1)) }],
    ),
  );
  return losses.sort((one, other) => other.db - one.db)[0] ?? null;
}

function clipping(
  about: readonly Finding[],
  measurements: readonly TapMeasurement[],
  notRead: number[],
): Reason[] {
  if (measurements.every(({ ladders }) => ladders.length === 0)) return [{ code: 'clipping not recorded' }];
  const [finding] = findingsOf(about, 'clean-settings');
  if (finding === undefined) return [];
  const { firstClippingRecorded: clips } = finding;
  const clean = cleanWithMusic(finding);
  const mayBeRecorder = findingsOf(about, 'clipping').some((one) => one.mayBeRecorder === true);
  if (clean !== null && clips !== null) return [{ code: 'clips between', clean, clips, mayBeRecorder }];
  if (clean === null)
    return clips === null
      ? [{ code: 'clipping not known' }]
      : [{ code: 'clips at the lowest', setting: clips, mayBeRecorder }];
  const isHighest = measurements.every(({ setting }) => setting <= clean);
  return [{ code: 'clean up to', setting: clean, isHighest, notRead }];
}

function timing(about: readonly Finding[]): Reason[] {
  return findingsOf(about, 'timing').flatMap(({ polarity, delaySeconds, referenceTapId: tapId }) => {
    const inverted: Reason[] = polarity === 'inverted' ? [{ code: 'inverted against', tapId }] : [];
    return isNotMeasurable(delaySeconds) || Math.abs(delaySeconds.value) <= LATE_SECONDS
      ? inverted
      : [...inverted, { code: 'later than' as const, tapId, seconds: Number(delaySeconds.value.toFixed(5)) }];
  });
}
