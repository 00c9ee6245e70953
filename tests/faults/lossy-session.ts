import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileSource } from '../../cli/files.ts';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { seededRandom } from '../../src/dsp/random.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import { renderTrack } from '../../src/tones/render-track.ts';
import type { Track } from '../../src/tones/track.ts';
import { memorySound } from '../memory-sound.ts';
import { runOutside } from '../outside-programs.ts';

/** What a phone or a wireless link makes of the track; its own ceiling lies within these, null where it has none. */
export interface Codec {
  readonly name: string;
  readonly file: string;
  readonly coding: readonly string[];
  readonly ceilingHz: readonly [number, number] | null;
}

export const CODECS: readonly Codec[] = [
  {
    name: 'MP3 128 kbit/s',
    file: 'track.mp3',
    coding: ['libmp3lame', '-b:a', '128k'],
    ceilingHz: [15_500, 17_500],
  },
  { name: 'AAC 128 kbit/s', file: 'track.m4a', coding: ['aac', '-b:a', '128k'], ceilingHz: [16_000, 18_500] },
  { name: 'SBC 328 kbit/s', file: 'track.sbc', coding: ['sbc', '-b:a', '328k'], ceilingHz: null },
];

export const LOSSY_SETTINGS = [12, 18, 24];
const SAMPLE_RATE_HZ = 44_100;
/** Noise below a full-scale sine: 60 dB and a little, at every setting. */
const NOISE_RMS = 5e-4;

/** A flat, clean radio fed from the track, coded and decoded by ffmpeg, recorded at three settings. */
export function analysedThrough(codec: Codec, of: { track: Track; folder: string }): Results {
  const path = (file: string) => join(of.folder, `${of.track.name.replaceAll(' ', '-')}-${file}`);
  const [original, coded, decoded] = [`${codec.file}-original.wav`, codec.file, `${codec.file}.wav`].map(
    path,
  );
  const { left, right } = renderTrack(of.track, SAMPLE_RATE_HZ);
  writeFileSync(
    original,
    encodeWav({ sampleRateHz: SAMPLE_RATE_HZ, channels: [left, right], bitDepth: '16' }),
  );
  runOutside('ffmpeg', ['-v', 'error', '-y', '-i', original, '-c:a', ...codec.coding, coded]);
  runOutside('ffmpeg', ['-v', 'error', '-y', '-i', coded, '-c:a', 'pcm_s24le', decoded]);
  const source = fileSource(decoded);
  const sound = openWav(source);
  const track = sound.readSection({ start: -SAMPLE_RATE_HZ, count: sound.length + 2 * SAMPLE_RATE_HZ });
  source.close();
  const session = resolveSession(
    { taps: ['front-left', 'front-right'], settings: LOSSY_SETTINGS },
    { folderFiles: LOSSY_SETTINGS.map((setting) => `setting-${setting}.wav`) },
  );
  const recordings = new Map(
    session.recordings.map(({ file }) => [file, recorded(track, Number(/\d+/.exec(file)![0]))]),
  );
  return analyse({
    session,
    open: (name) => memorySound({ name, sampleRateHz: SAMPLE_RATE_HZ, channels: recordings.get(name)! }),
    toolVersion: 'test',
    inputs: [],
  });
}

function recorded(track: readonly Float32Array[], setting: number): Float32Array[] {
  const gain = 10 ** ((setting - 30) / 20);
  const random = seededRandom(setting);
  return track.map((channel) => {
    const samples = Float64Array.from(channel);
    random.addGaussian(samples, { sigma: NOISE_RMS });
    for (let n = 0; n < samples.length; n++) samples[n] *= gain;
    return Float32Array.from(samples);
  });
}
