import { encodeWav } from '../src/audio/write-wav.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { benchSheet } from '../src/tones/bench-sheet.ts';
import { renderMeterTone } from '../src/tones/meter-tone.ts';
import { renderTrack, TRACK_RATES_HZ } from '../src/tones/render-track.ts';
import { type StickFile, stickFiles } from '../src/tones/stick-files.ts';
import { findSession } from './find-session.ts';
import { hearSignals } from './hold-signals.ts';
import type { Outcome } from './outcome.ts';
import type { Progress } from './terminal.ts';
import { beginTogether } from './write-together.ts';

const BENCH_SHEET = 'steptone-bench-sheet.html';

export interface TonesArguments {
  readonly outFolder: string;
  readonly rates: readonly number[];
  readonly force: boolean;
  /** Volume settings for the take list; blanks are printed where there are none. */
  readonly settings?: readonly number[];
  /** Session file, or its folder, that names taps, recordings and wires for the bench sheet. */
  readonly sessionTarget?: string;
  readonly progress?: Progress;
}

/**
 * Writes the test tracks, the meter tones and the bench sheet, all or none.
 *
 * @throws SteptoneError 'usage' for a rate that is not one of the tracks', 'would-overwrite' before anything is written,
 *   'cannot-write'
 */
export async function tonesCommand({
  outFolder,
  rates,
  force,
  settings,
  sessionTarget,
  progress,
}: TonesArguments): Promise<Outcome> {
  rates.forEach(checkRate);
  const session = sessionTarget === undefined ? undefined : findSession(sessionTarget).written.input;
  const files = [...new Set(rates)].flatMap(stickFiles);
  const names = [...files.map((file) => file.name), BENCH_SHEET];
  const sheet = benchSheet({ settings, session, files });
  const set = beginTogether({ folder: outFolder, names, force });
  try {
    for (const [done, file] of files.entries()) {
      progress?.(done, files.length, file.name);
      set.add(file.name, wavOf(file));
      await hearSignals();
    }
    set.add(BENCH_SHEET, sheet);
    set.finish();
  } finally {
    set.abandon();
  }

  return {
    text: [
      `${files.length} sound files for the stick and a bench sheet to print are in ${outFolder}:`,
      ...names.map((name) => `  ${name}`),
      'Full-scale tones harm tweeters and ears: read the cautions on the bench sheet first.',
    ].join('\n'),
    data: { folder: outFolder, files: names },
  };
}

function wavOf(file: StickFile): Uint8Array {
  const { sampleRateHz } = file;
  if ('tone' in file) {
    const samples = renderMeterTone(file.tone, sampleRateHz);
    return encodeWav({ sampleRateHz, channels: [samples, samples], bitDepth: '16' });
  }
  const { left, right } = renderTrack(file.track, sampleRateHz);
  return encodeWav({ sampleRateHz, channels: [left, right], bitDepth: '16' });
}

function checkRate(rateHz: number): void {
  if (TRACK_RATES_HZ.some((known) => known === rateHz)) return;
  throw new SteptoneError({
    code: 'usage',
    expected: `a sample rate of ${TRACK_RATES_HZ.join(' or ')} Hz`,
    found: `${rateHz}`,
    where: 'the rates of the test files',
    nextStep: 'leave the rate out: both are written then',
  });
}
