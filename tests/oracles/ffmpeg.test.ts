import { expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { responseTrack } from '../../src/tones/track.ts';
import { expectNear, expectWithinPercent } from '../end-to-end/expect-near.ts';
import { describeWith, runOutside } from '../outside-programs.ts';
import { analysedFolder, outsideFolder, writeTrack } from './analysed-folder.ts';

const SETTINGS = [
  { setting: 12, volume: 0.1 },
  { setting: 18, volume: 0.2 },
  { setting: 24, volume: 0.4 },
] as const;
const CORNER_HZ = 1600;
/** The dash tap comes later by whole samples, and upside down. */
const DASH_LATE_SAMPLES = 37;
/** The file is stretched by a second resampler, as a recorder whose clock runs fast stretches it. */
const FASTER_RATE_HZ = 48_004;

describeWith(['ffmpeg'], 'recordings that ffmpeg made', () => {
  const folder = outsideFolder();

  /** Left channel through a filter twice: of second order with Q 0.7071, that is Linkwitz-Riley of 24 dB an octave. */
  function tap(filter: 'highpass' | 'lowpass'): string {
    const once = `${filter}=f=${CORNER_HZ}:poles=2:width_type=q:width=0.70710678:precision=f64`;
    return `pan=mono|c0=c0,${once},${once}`;
  }

  test('a crossover, a late and inverted tap and a fast clock are found as ffmpeg was told', () => {
    writeTrack(folder.path('track.wav'), responseTrack);
    for (const { setting, volume } of SETTINGS) {
      const graph = [
        `[0:a]aformat=sample_fmts=dblp,volume=${volume}:precision=double,asplit[one][other]`,
        `[one]${tap('lowpass')}[door]`,
        `[other]${tap('highpass')},volume=-1:precision=double,adelay=${DASH_LATE_SAMPLES}S[dash]`,
        `[door][dash]join=inputs=2:channel_layout=stereo:map=0.0-FL|1.0-FR,apad=pad_len=24000,asetrate=48000,` +
          `aresample=${FASTER_RATE_HZ}:filter_size=256:cutoff=0.99:internal_sample_fmt=dblp:exact_rational=1,` +
          'asetrate=48000[out]',
      ].join(';');
      runOutside('ffmpeg', [
        ...['-v', 'error', '-i', folder.path('track.wav')],
        ...['-filter_complex', graph, '-map', '[out]'],
        ...['-c:a', 'pcm_s24le', folder.path(`setting-${setting}.wav`)],
      ]);
    }
    const { findings, measurements } = analysedFolder(folder, {
      settings: SETTINGS.map(({ setting }) => setting),
      taps: [
        { id: 'door', side: 'left', position: 'door' },
        { id: 'dash', side: 'left', position: 'dash' },
      ],
      channels: ['door', 'dash'],
      calibration: { kind: 'none' },
      referenceTapId: 'door',
    });

    const [crossover, ...more] = findingsOf(findings, 'crossover');
    expect(more).toEqual([]);
    expect([crossover.lowTapId, crossover.highTapId]).toEqual(['door', 'dash']);
    expectWithinPercent(crossover.frequencyHz, CORNER_HZ, 2);
    for (const band of findingsOf(findings, 'band')) {
      const edge = (band.tapIds[0] === 'door' ? band.highEdge : band.lowEdge)!;
      expectWithinPercent(edge.minus6Hz, CORNER_HZ, 2);
      expect(edge.slopeDbPerOctave).toBe(24);
      expect(edge.filter).toMatchObject({ family: 'linkwitz-riley', order: 4 });
    }
    const [timing] = findingsOf(findings, 'timing');
    expect(timing.polarity).toBe('inverted');
    // adelay counts samples of the 48 kHz file; the stretch by 83 millionths moves this by 0.06 microseconds.
    expectNear(timing.delaySeconds, DASH_LATE_SAMPLES / 48_000, 3e-6);
    for (const { recorder } of measurements)
      expect(Math.abs(recorder.clockPpm - (FASTER_RATE_HZ / 48_000 - 1) * 1e6)).toBeLessThan(0.1);
    expect(findingsOf(findings, 'bass-limiter')).toEqual([]);
    for (const { verdict } of findingsOf(findings, 'bass-change'))
      expect(verdict).not.toBe('falls with volume');
  });
});
