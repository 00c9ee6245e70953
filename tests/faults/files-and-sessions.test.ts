import { describe, expect, test } from 'vitest';
import type { ByteSource } from '../../src/audio/byte-source.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { seededRandom } from '../../src/dsp/random.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { parseSessionFile } from '../../src/model/session-file.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { thrown } from '../thrown.ts';
import { analysedSpoilt, type Spoilable } from './spoilt.ts';

function bytes(content: Uint8Array): ByteSource {
  return {
    name: 'take.wav',
    byteLength: content.length,
    read(offset, target) {
      const part = content.subarray(offset, offset + target.length);
      target.set(part);
      return part.length;
    },
  };
}

const tone = Float32Array.from({ length: 4800 }, (_, n) => 0.5 * Math.sin(0.05 * n));
const wav = encodeWav({ channels: [tone, tone], sampleRateHz: 48_000, bitDepth: '24' });

/** A file with some bytes written over, without touching the original. */
function altered(at: number, value: number, width: 2 | 4 = 4): Uint8Array {
  const copy = wav.slice();
  const view = new DataView(copy.buffer);
  if (width === 4) view.setUint32(at, value, true);
  else view.setUint16(at, value, true);
  return copy;
}
/** Offset of the data chunk's size field. */
const dataSizeAt = new TextDecoder('latin1').decode(wav).indexOf('data') + 4;

describe('files', () => {
  test.each([
    ['a data size of 0', altered(dataSizeAt, 0)],
    ['a data size of 0xFFFFFFFF', altered(dataSizeAt, 0xffff_ffff)],
    ['a data size beyond the file', altered(dataSizeAt, 10_000_000)],
    ['the last third lost', wav.slice(0, Math.round((2 / 3) * wav.length))],
  ])('%s: what is there is used, with a note', (_, content) => {
    const sound = openWav(bytes(content));
    expect(sound.length).toBeGreaterThan(3000);
    expect(sound.notes.length).toBeGreaterThanOrEqual(1);
    const [left] = sound.readSection({ start: 0, count: 3000 });
    expect(Math.max(...left.map((value, n) => Math.abs(value - tone[n])))).toBeLessThan(1e-6);
  });

  test.each([
    ['a text', new TextEncoder().encode('not a recording, but a note about one'), 'not-wav'],
    ['an MP3 renamed', new TextEncoder().encode('ID3 and so on and so forth'), 'not-wav'],
    ['an empty file', new Uint8Array(), 'not-wav'],
    ['zeros for a header', new Uint8Array(4096), 'not-wav'],
    ['a header and nothing else', wav.slice(0, 30), 'wav-damaged'],
    ['no channels', altered(22, 0, 2), 'wav-damaged'],
    ['16 kHz', altered(24, 16_000), 'sample-rate'],
    ['384 kHz', altered(24, 384_000), 'sample-rate'],
    ['another coding inside', altered(20, 2, 2), 'wav-unsupported'],
  ])('%s: refused by name', (_, content, code) => {
    expect(thrown(() => openWav(bytes(content))).code).toBe(code);
  });

  test('headers with any bytes written over are read or refused, and never crash or hang', () => {
    const random = seededRandom(77);
    for (let round = 0; round < 400; round++) {
      const copy = wav.slice(0, 2000);
      for (let change = 0; change < 4; change++)
        copy[Math.floor(60 * random.uniform())] = Math.floor(256 * random.uniform());
      try {
        const sound = openWav(bytes(copy));
        sound.readSection({ start: -10, count: 100 });
      } catch (error) {
        expect(error).toBeInstanceOf(SteptoneError);
      }
    }
  });
});

describe('sessions', () => {
  const files = ['setting-10.wav', 'setting-24.wav'];
  const resolved = (text: string) =>
    resolveSession(parseSessionFile({ fileName: 'session.yaml', text }).input, { folderFiles: files });

  test.each([
    ['a setting that is no number', 'settings: [ten]', 'settings'],
    ['a range that misses its end', 'settings: 10-39/4', 'settings'],
    ['an empty list', 'settings: []', 'session-field'],
    ['a field that is none', 'setings: 10-24/14', 'session-field'],
    ['YAML that is none', 'settings: [10', 'session-syntax'],
    ['an unknown tap', 'settings: [10, 24]\nchannels: [a, b]\nreferenceTapId: c', 'unknown-tap'],
    ['one tap on two channels', 'settings: [10, 24]\ntaps: [a, b]\nchannels: [a, a]', 'session-field'],
    ['negative volts', 'settings: [10, 24]\nsupply: { volts: -1 }', 'session-field'],
    [
      'a pad of zero',
      'settings: [10, 24]\ncalibration: { kind: pad, padRatio: 0, fullScaleVoltsRms: 1 }',
      'calibration',
    ],
    [
      'a file listed twice',
      'settings: [10]\nrecordings: [{ file: setting-10.wav }, { file: setting-10.wav }]',
      'session-field',
    ],
    ['nothing on any channel', 'settings: [10, 24]\ntaps: [a, b]\nchannels: [null, null]', 'session-field'],
    ['a pattern that fits no file', 'settings: [10, 24]\nrecordings: ["rear-*.wav"]', 'file-missing'],
  ])('%s: refused by name', (_, text, code) => {
    const error = thrown(() => resolved(text));
    expect(error.code).toBe(code);
    expect(error.parts.nextStep).not.toBe('');
  });

  test('a pad entered ten times too high: asked about, and no volts are claimed until it is settled', () => {
    const scenario = exampleScenario('rail clip', {
      settings: [26, 32, 36],
      calibration: { kind: 'pad', statedPadRatio: 110 },
    });
    const results = analysedSpoilt({ scenario });
    const [rail] = findingsOf(results.findings, 'rail');
    expect(rail.verdict).toBe('above the supply');
    for (const law of findingsOf(results.findings, 'volume-law'))
      for (const { voltsRms } of law.levels) expect(isNotMeasurable(voltsRms)).toBe(true);
    const codes = results.checks!.reasons.map((one) => (typeof one === 'string' ? null : codeOf(one.reason)));
    expect(codes).toContain('volts withheld until settled');
    expect(results.checks!.mayCloseDash).toBe(false);
  });

  test('a delay that differs from take to take: arrival between taps within 3 microseconds all the same', () => {
    const scenario = exampleScenario('delay and inversion', {
      settings: [16, 20, 26],
      track: 'response only',
      files: { kind: 'per pair', referenceTapId: 'front-left' },
    });
    const late = (recording: Spoilable, index: number) => {
      recording.channels = recording.channels.map((channel) => {
        const later = new Float32Array(channel.length);
        later.set(channel.subarray(0, channel.length - 37 * index), 37 * index);
        return later;
      });
    };
    const [timing] = findingsOf(analysedSpoilt({ scenario, spoil: late }).findings, 'timing');
    if (isNotMeasurable(timing.delaySeconds)) throw new Error(reasonText(timing.delaySeconds.notMeasurable));
    expect(Math.abs(timing.delaySeconds.value - 412.3e-6)).toBeLessThan(3e-6);
    expect(timing.polarity).toBe('inverted');
  });
});
