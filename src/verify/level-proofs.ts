import { decibels } from '../dsp/decibels.ts';
import { mean } from '../dsp/statistics.ts';
import { BASS_FREQUENCIES_HZ } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { Reason } from '../model/reason.ts';
import type { Knob, Proof } from '../model/verification.ts';
import { meterToneName } from '../tones/stick-files.ts';
import { type FeedFit, type FitRow, hzAt } from './feed-fit.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** Deviations of less are not heard in a car (common practice). */
const BASS_TOLERANCE_DB = 1.5;
const FLATNESS_TOLERANCE_DB = 1.5;
/** Dials of amplifiers are marked this coarsely (common practice: 15 percent of the corner). */
const CORNER_TOLERANCE_RATIO = 1.15;
/** Flatness is judged above the bass, which has a proof of its own. */
const ABOVE_BASS_HZ = 200;
/** As wide as the third-octave bands of IEC 61260-1. */
const SMOOTHED_OCTAVES = 1 / 3;
/** Less of its planned restoration than this, and it is off. */
const OFF_SHARE = 0.2;

/** Level, restoration, filters, bass and flatness of one recording against the plan. */
export function levelProofs(
  recorded: RecordedFeed,
  { rows, fit, inVolts, misconnected }: FeedFit,
  converterGainDb: number | null,
): Proof[] {
  const restoration = restorationProof(recorded, { rows, fit, inVolts, misconnected });
  const bassKnob: Knob = restoration?.verdict === 'fail' ? 'bass restoration' : 'equalizer or bass control';
  return [
    ...(misconnected === null ? [] : [connectionProof(misconnected)]),
    levelProof(recorded, { gainDb: fit.gainDb, inVolts, converterGainDb }),
    ...(restoration === null ? [] : [restoration]),
    ...filterProofs(recorded, fit),
    ...rows.flatMap((row) => [
      ...bassProof(row, bassKnob),
      ...flatnessProof(row, misconnected === null ? 'equalizer or bass control' : 'wiring'),
    ]),
  ];
}

function connectionProof({ tapId, how }: NonNullable<FeedFit['misconnected']>): Proof {
  return proof({
    what: 'wiring',
    verdict: 'fail',
    knob: how === 'inverted' ? 'polarity' : 'wiring',
    text:
      how === 'inverted'
        ? { code: 'tap reaches the converter inverted', tapId }
        : { code: 'tap is missing from the sum', tapId },
  });
}

function levelProof(
  { planned, node, series }: RecordedFeed,
  { gainDb, inVolts, converterGainDb }: { gainDb: number; inVolts: boolean; converterGainDb: number | null },
): Proof {
  const knob =
    node === 'converter output' || planned.amplifier === null ? 'converter level' : 'amplifier gain';
  if (!inVolts) {
    const text: Reason =
      planned.gain(node) === null
        ? { code: 'plan has no target volts', node }
        : { code: 'level not told without volts' };
    return proof({ what: 'level', verdict: 'not told', unit: 'dB', text });
  }
  const uncertain = Math.max(
    ...series.measurements.map(({ voltsPerFullScale }) => voltsPerFullScale?.relativeUncertainty ?? 0),
  );
  const relative = planned.tolerancePercent / 100 + planned.relativePlusMinus + uncertain;
  const tolerance = decibels(1 + relative);
  // What the converter gives too much is not the amplifier's fault.
  const own = gainDb - (node === 'amplifier output' ? (converterGainDb ?? 0) : 0);
  const passes = Math.abs(gainDb) <= tolerance;
  const atFault =
    !passes && Math.abs(own) <= tolerance && converterGainDb !== null ? 'converter level' : knob;
  return proof({
    what: 'level',
    verdict: passes ? 'pass' : 'fail',
    unit: 'dB',
    expected: 0,
    found: gainDb,
    tolerance,
    knob: passes ? null : atFault,
    text: passes
      ? { code: 'level against the target', db: gainDb, withinDb: tolerance }
      : {
          code: 'level off the target',
          db: gainDb,
          knob: atFault,
          tooHighDb: atFault === knob ? own : gainDb,
          until: readingAt(planned, atFault === knob ? node : 'converter output'),
        },
  });
}

/** A knob is not marked in decibels: what the meter reads when it is right. */
function readingAt(
  planned: RecordedFeed['planned'],
  node: RecordedFeed['node'],
): Extract<Reason, { code: 'level off the target' }>['until'] {
  const target = planned.target(node);
  if (target === null || isNotMeasurable(target.voltsRms)) return null;
  const { toneHz, driveDbFs, setting, restoration, voltsRms } = target;
  return { tone: meterToneName({ toneHz, driveDbFs }), setting, restoration, volts: voltsRms.value };
}

function restorationProof({ planned, restoration }: RecordedFeed, { rows, fit }: FeedFit): Proof | null {
  if (!planned.restores || restoration !== 'on') return null;
  const most = Math.max(...rows.flatMap(({ boostDb }) => [...boostDb]));
  const base = { what: 'restoration' as const, unit: 'dB' as const, expected: most };
  if (fit.restorationShare === null) {
    return proof({
      ...base,
      verdict: 'not told',
      text: { code: 'restoration and gain look alike' },
    });
  }
  const found = most * (1 + fit.restorationShare);
  const passes = Math.abs(found - most) <= BASS_TOLERANCE_DB;
  const off = 1 + fit.restorationShare < OFF_SHARE;
  return proof({
    ...base,
    verdict: passes ? 'pass' : 'fail',
    found,
    tolerance: BASS_TOLERANCE_DB,
    knob: passes ? null : 'bass restoration',
    text: { code: 'restoration gives', db: found, ofDb: most, fault: passes ? 'none' : off ? 'off' : 'turn' },
  });
}

function filterProofs({ planned, node }: RecordedFeed, fit: FeedFit['fit']): Proof[] {
  if (node !== 'amplifier output') return [];
  return planned.filters.map(({ type, cornerHz, shortfall }, k) => {
    const { family, cornerHz: found } = fit.filters[k];
    const base = { what: 'filter' as const, unit: 'Hz' as const, expected: cornerHz, knob: null };
    if (family === null) {
      return shortfall === null
        ? proof({
            ...base,
            verdict: 'fail',
            knob: type,
            text: { code: 'filter is off', filter: type, cornerHz },
          })
        : proof({ ...base, verdict: 'not told', text: shortfall });
    }
    const passes = Math.abs(Math.log(found / cornerHz)) <= Math.log(CORNER_TOLERANCE_RATIO);
    return proof({
      ...base,
      verdict: passes ? 'pass' : 'fail',
      found,
      tolerance: CORNER_TOLERANCE_RATIO,
      knob: passes ? null : type,
      text: passes
        ? { code: 'filter stands at', filter: type, cornerHz: found }
        : { code: 'filter is off its corner', filter: type, cornerHz: found, wantedHz: cornerHz },
    });
  });
}

function bassProof(row: FitRow, knob: Knob): Proof[] {
  const found = BASS_FREQUENCIES_HZ.flatMap((hz) => smoothedAt(row, hz) ?? []);
  if (found.length === 0) return [];
  const worst = found.reduce((most, one) => (Math.abs(one.db) > Math.abs(most.db) ? one : most));
  const passes = Math.abs(worst.db) <= BASS_TOLERANCE_DB;
  return [
    proof({
      what: 'bass',
      verdict: passes ? 'pass' : 'fail',
      setting: row.setting,
      unit: 'dB',
      expected: 0,
      found: worst.db,
      tolerance: BASS_TOLERANCE_DB,
      knob: passes ? null : knob,
      text: { code: 'bass against the plan', setting: row.setting, ...worst },
    }),
  ];
}

function flatnessProof(row: FitRow, knob: Knob): Proof[] {
  const found = row.points
    .filter((i) => hzAt(i) >= ABOVE_BASS_HZ)
    .flatMap((i) => smoothedAt(row, hzAt(i)) ?? []);
  if (found.length === 0) return [];
  const worst = found.reduce((most, one) => (Math.abs(one.db) > Math.abs(most.db) ? one : most));
  const passes = Math.abs(worst.db) <= FLATNESS_TOLERANCE_DB;
  return [
    proof({
      what: 'flatness',
      verdict: passes ? 'pass' : 'fail',
      setting: row.setting,
      unit: 'dB',
      expected: 0,
      found: worst.db,
      tolerance: FLATNESS_TOLERANCE_DB,
      knob: passes ? null : knob,
      text: { code: 'flatness against the plan', fromHz: ABOVE_BASS_HZ, setting: row.setting, ...worst },
    }),
  ];
}

/** Mean over a third of an octave; null where fewer than half of its points were judged. */
function smoothedAt({ points, remainsDb }: FitRow, hz: number): { hz: number; db: number } | null {
  const half = 2 ** (SMOOTHED_OCTAVES / 2);
  const near = points.flatMap((i, j) => (hzAt(i) >= hz / half && hzAt(i) <= hz * half ? [remainsDb[j]] : []));
  return near.length < 2 ? null : { hz, db: mean(near) };
}
