import type { Evidence } from '../../src/model/evidence.ts';
import type { Finding } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { asWritten } from '../../src/model/reason.ts';
import type { MeasurementRecord, ResponseRecord, Results } from '../../src/model/results.ts';
import type { Tap } from '../../src/model/session.ts';
import { exampleChain } from './example-chain.ts';
import { exampleFindings } from './example-findings.ts';
import { exampleRecommendations } from './example-recommendations.ts';

/**
 * An invented car, by formula: dash tweeters and door woofers split at 3 kHz, full-range rears of which the right one
 * is inverted, a bass shelf at 60 Hz that deepens above setting 20, 1 dB a step, a rail at 12.6 V peak. It is there to
 * look at the report with, not to prove any measuring.
 */
export const SETTINGS = [10, 14, 18, 22, 26, 30, 34, 38];
export const VOLTS_PER_FULL_SCALE = 20;
const RAIL_VOLTS_PEAK = 12.6;
/** 0 dBFS at 1 kHz at setting 30. */
const VOLTS_AT_30 = 6.85;

const TAPS = [
  tap('dash-l', 'dash left', 'left', 'dash'),
  tap('dash-r', 'dash right', 'right', 'dash'),
  tap('door-l', 'door left', 'left', 'door'),
  tap('door-r', 'door right', 'right', 'door'),
  tap('rear-l', 'rear left', 'left', 'rear'),
  tap('rear-r', 'rear right', 'right', 'rear'),
];

export function exampleResults(): Results {
  const results: Results = {
    format: 'steptone results',
    version: 1,
    toolVersion: '0.1.0',
    session: {
      name: 'Grey estate, factory radio',
      taps: TAPS,
      settings: SETTINGS,
      recordings: [0, 2, 4].map((first) => ({
        file: fileOf(TAPS[first].id),
        channels: [TAPS[first].id, TAPS[first + 1].id],
        settings: SETTINGS,
        kind: 'takes' as const,
        supplyVolts: 14.4,
      })),
      calibration: { kind: 'pad', padRatio: 10, fullScaleVoltsRms: 2, tolerancePercent: 1.5 },
      referenceTapId: 'rear-l',
      source: 'USB stick',
      supply: { volts: 14.4, engineRunning: false },
      equipment: null,
      notes: [asWritten('Tone controls flat, fade in the middle')],
    },
    frequencyHz: [...gridFrequencyHz],
    measurements: TAPS.flatMap(({ id }) => SETTINGS.map((setting) => measurement(id, setting))),
    findings: exampleFindings(evidenceOf),
    recommendations: exampleRecommendations(bassLossDb),
    notes: [
      {
        file: 'dash pair.wav',
        reason: asWritten('The take at setting 26 holds a knock at 0:13; it lies outside the sweeps.'),
      },
      { file: 'spare.wav', reason: asWritten('Left out: no track was found in it.') },
    ],
    inputs: ['dash pair.wav', 'door pair.wav', 'rear pair.wav'].map((file, i) => ({
      file,
      sha256: String(i + 1).repeat(64),
      byteLength: 101_606_444,
    })),
  };
  return { ...results, chain: exampleChain(results) };
}

/** The same with one tap renamed, everywhere. */
export function exampleWithLabel(label: string): Results {
  const results = exampleResults();
  const taps = results.session.taps.map((one, i) => (i === 0 ? { ...one, label } : one));
  return { ...results, session: { ...results.session, name: label, taps } };
}

/** The same findings, but nothing could be told from the recordings. */
export function exampleNotKnown(): Results {
  const results = exampleResults();
  const findings: Finding[] = [
    {
      id: 'bass',
      tapIds: ['door-l'],
      evidence: [],
      kind: 'bass-change',
      verdict: 'cannot be told',
      reason: asWritten('no three settings agree within half a decibel'),
      plateauSettings: [],
      changes: [],
      onset: null,
      shape: null,
      recordNext: 12,
    },
    {
      id: 'band',
      tapIds: ['door-l'],
      evidence: [],
      kind: 'band',
      verdict: 'cannot be told',
      reason: asWritten('its response stands too little above the noise'),
      lowEdge: null,
      highEdge: null,
      fixedEq: [],
    },
  ];
  return { ...results, findings, recommendations: [], chain: undefined };
}

/** Depth of the radio's bass shelf at a setting. */
export function bassLossDb(setting: number): number {
  return Math.max(0, 0.6 * (setting - 20));
}

function tap(id: string, label: string, side: Tap['side'], position: Tap['position']): Tap {
  return { id, label, side, position, load: 'speaker', connection: 'pair' };
}

function fileOf(tapId: string): string {
  return `${tapId.split('-')[0]} pair.wav`;
}

export function evidenceOf(tapId: string, setting: number): Evidence {
  return {
    file: fileOf(tapId),
    channel: tapId.endsWith('-l') ? 1 : 2,
    setting,
    takeStartSeconds: 4.2 + 52.5 * SETTINGS.indexOf(setting),
  };
}

function voltsAt(setting: number): number {
  return VOLTS_AT_30 * 10 ** ((setting - 30) / 20);
}

function measurement(tapId: string, setting: number): MeasurementRecord {
  const left = tapId.endsWith('-l');
  const own = response(tapId, setting, 1);
  const other = { ...response(tapId, setting, 0.0005), trustedHz: null };
  return {
    tapId,
    setting,
    evidence: [evidenceOf(tapId, setting)],
    timeOrigin: fileOf(tapId),
    left: left ? own : other,
    right: left ? other : own,
    bothLowDrive: own,
    ladders: [55, 997].map((toneHz) => ({
      toneHz,
      highestHarmonic: 10,
      steps: ladderSteps(tapId, setting, toneHz),
    })),
    noise: {
      underQuietToneDbFs: -92 + setting / 10,
      underQuietToneADbFs: -95 + setting / 10,
      inSilenceDbFs: -108,
      lines: [],
      recorderDbFs: -110,
    },
    recorder: { peakDbFs: -6 + (setting - 38), clippedRuns: 0, dcOffset: 0, clockPpm: 37.4 },
    voltsPerFullScale: { volts: VOLTS_PER_FULL_SCALE, relativeUncertainty: 0.015 },
    supplyVolts: 14.4,
    repeats: { count: 1, spreadDb: 0 },
  };
}

function response(tapId: string, setting: number, gain: number): ResponseRecord {
  const volume = (gain * voltsAt(setting)) / VOLTS_PER_FULL_SCALE;
  const values = [...gridFrequencyHz].map((hz) => {
    const { size, degrees } = tapResponse(tapId, setting, hz);
    return { db: 20 * Math.log10(volume * size), degrees };
  });
  return {
    magnitudeDb: values.map(({ db }) => db),
    phaseDegrees: values.map(({ degrees }) => degrees),
    trustedHz: tapId.startsWith('dash') ? [180, 19_900] : [12, tapId.startsWith('door') ? 17_000 : 19_900],
  };
}

/** Second-order Linkwitz-Riley halves at 3 kHz, the shelf of the radio, a coupling at 8 Hz. */
function tapResponse(tapId: string, setting: number, hz: number): { size: number; degrees: number } {
  const ratio = hz / 3000;
  const split = 1 / (1 + ratio * ratio);
  const angle = (-2 * Math.atan(ratio) * 180) / Math.PI;
  if (tapId.startsWith('dash')) return { size: ratio * ratio * split, degrees: 180 + angle };
  const bass = 10 ** (-bassLossDb(setting) / 20 / (1 + (hz / 60) ** 3)) / Math.sqrt(1 + (8 / hz) ** 2);
  if (tapId.startsWith('door')) return { size: bass * split, degrees: angle };
  return { size: bass, degrees: tapId === 'rear-r' ? 180 : 0 };
}

function ladderSteps(tapId: string, setting: number, toneHz: number) {
  const drives = Array.from({ length: 41 }, (_, i) => i - 40);
  return drives.map((driveDbFs) => {
    const { size } = tapResponse(tapId, setting, toneHz);
    const peakVolts = voltsAt(setting) * size * Math.SQRT2 * 10 ** (driveDbFs / 20);
    const thd = Math.max(0.0004, clippedSineThd(RAIL_VOLTS_PEAK / peakVolts));
    const levelDbFs =
      20 * Math.log10(Math.min(peakVolts, RAIL_VOLTS_PEAK) / Math.SQRT2 / VOLTS_PER_FULL_SCALE);
    return {
      driveDbFs,
      levelDbFs,
      levelSigmaDb: 0.01,
      harmonics: [0, thd],
      thd,
      thdBeforeFilters: thd,
      thdNoise: 0.0004,
      peakDbFs: levelDbFs,
    };
  });
}

/** Closed form of a sine clipped at `r` of its peak: harmonics over fundamental. */
function clippedSineThd(r: number): number {
  if (r >= 1) return 0;
  const th = Math.asin(r);
  const b1 = (2 / Math.PI) * (th + r * Math.sqrt(1 - r * r));
  const ms = (2 / Math.PI) * (th / 2 - Math.sin(2 * th) / 4 + r * r * (Math.PI / 2 - th));
  return Math.sqrt(Math.max(0, (2 * ms) / (b1 * b1) - 1));
}
