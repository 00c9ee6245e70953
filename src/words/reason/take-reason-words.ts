import type { takeReasons } from '../../model/reason/take-reasons.ts';
import { listed } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const takeReasonWords: ReasonWords<keyof typeof takeReasons> = {
  'recorder clipped in a sweep': ({ times }) =>
    `the recorder clipped ${times === 1 ? 'once' : `${times} times`}: lower its gain`,
  'recorder clipped on the ladder': ({ fromDriveDbFs }) =>
    `the recorder clipped from a drive of ${fromDriveDbFs} dBFS up: that part is not used. Lower its gain`,
  'little headroom': ({ headroomDb }) => `only ${headroomDb.toFixed(1)} dB of headroom at the recorder`,
  'low level': ({ peakDbFs }) => `the highest peak is ${peakDbFs.toFixed(0)} dBFS: raise the recorder’s gain`,
  'little above the noise': ({ snrDb }) => `full drive is above the noise by only ${snrDb.toFixed(0)} dB`,
  'offset at the recorder': ({ percent }) =>
    `an offset of ${percent.toFixed(0)} % of full scale takes headroom: use the recorder’s AC-coupled input`,
  'gain changed within the take': ({ changeDb }) =>
    `the closing sweep is ${Math.abs(changeDb).toFixed(1)} dB ${changeDb > 0 ? 'louder' : 'quieter'} than the opening one: the recorder’s automatic gain or its knob, a supply that sags, or a slow limiter of the radio`,
  'gain differs along the ladder': ({ spreadDb }) =>
    `quiet and loud steps differ in gain by ${spreadDb.toFixed(1)} dB: the recorder’s automatic gain, or a limiter of the radio over the whole band`,
  'gain follows the level': () =>
    'the gain follows the level at every setting: switch the recorder’s automatic gain and noise gate off',
  'tone does not follow the sweeps': ({ toneHz, differsDb }) =>
    `even its quiet ${toneHz} Hz steps are ${Math.abs(differsDb).toFixed(1)} dB ${differsDb > 0 ? 'louder' : 'quieter'} than the sweeps say: something changed between them`,
  'muted at the start': ({ upToHz }) =>
    `the radio was still muted when the track began: the left sweep is missing up to ${upToHz.toFixed(0)} Hz`,
  'fading in under the sweep': ({ upToHz }) =>
    `the radio was still fading in when the sweep began: nothing below ${upToHz.toFixed(0)} Hz is read from the left sweep`,
  'fading in under the lead-in': ({ lacksDb }) =>
    `the first tones are ${lacksDb.toFixed(1)} dB too quiet: the radio was still fading in, or lowers what is quiet. The measurements are not touched`,
  knock: ({ section, atSeconds, spoiltHz }) =>
    spoiltHz === null
      ? `a knock, or a glitch of a lossy codec, at ${atSeconds.toFixed(1)} s in ${section}: that moment is not used`
      : `a knock, or a glitch of a lossy codec, at ${atSeconds.toFixed(1)} s in ${section}: ${spoiltHz[0].toFixed(0)} to ${spoiltHz[1].toFixed(0)} Hz are less certain there`,
  'chime or voice': ({ sections, fromSeconds, toSeconds }) =>
    `a chime, a voice or talk from ${fromSeconds.toFixed(1)} to ${toSeconds.toFixed(1)} s in ${sections.join(', ')}: what it covered is not used; switch prompts off, fasten the belt and keep quiet`,
  'nothing on this channel': () =>
    'nothing of the track stands clear of the noise on this channel: a wire off, an input not switched on, an output without signal, or a level far too low',
  'silent to the last bit': () =>
    'between the sweeps every sample is the same: something gates quiet sound, or rounds it to 8 bits. Record with 24 bits, noise gate off',
  'same signal as another output': ({ tapId }) =>
    `the same signal as ${tapId}, hiss included: both inputs are on one output, the recorder is set to mono, or a codec joined the channels`,
  'carries another side': ({ noted, carries }) =>
    `the notes say ${noted}, but the channel carries ${carries === 'difference' ? 'left less right' : carries}`,
  'channels swapped': ({ tapId, otherTapId, carries, otherCarries }) =>
    `${tapId} carries ${carries} and ${otherTapId} carries ${otherCarries}: the channels are swapped against the notes, or wires are crossed`,
  'sections not heard': ({ sections }) =>
    `${sections.join(', ')} not heard: the recording began late, or something covered it`,
  'stopped early': ({ sections }) =>
    `${listed(sections)} not heard to the end: somebody stopped the recording early`,
  'samples lost or added': ({ after, before, milliseconds }) =>
    `the recording ${slipText(milliseconds)} between ${after} and ${before}: a slow card, a full buffer or a wireless link`,
  'sweeps contradict each other': ({ section }) =>
    `${section} is torn: samples were lost, or something else played over it`,
  'samples that no recorder makes': ({ count, atSeconds }) =>
    `${count === 1 ? 'one sample' : `${count} samples`} far beyond full scale, the first at ${atSeconds.toFixed(1)} s: the file was damaged or written by a faulty program`,
  'ends lower than a quieter take': ({ upToHz, otherUpToHz, file }) =>
    `nothing above ${upToHz} Hz, where ${file} goes up to ${otherUpToHz} Hz: the file went through a codec or another sample rate`,
  'every take has one peak': ({ peakDbFs }) =>
    `every take peaks at ${peakDbFs.toFixed(1)} dBFS: a program made them equally loud, so no level is the radio’s. Use the files as recorded`,
  'clocks not compared': () => 'the clocks of player and recorder were not compared',
  'clocks far apart': ({ ppm }) => `player and recorder differ by ${ppm.toFixed(0)} ppm, which is corrected`,
  'averaged with an earlier take': ({ file, atSeconds }) =>
    `repeats ${file} at ${atSeconds.toFixed(1)} s: the two are averaged`,
  'differs from an earlier take': ({ file, atSeconds, differsDb }) =>
    `repeats ${file} at ${atSeconds.toFixed(1)} s, but its level differs by ${differsDb.toFixed(1)} dB: was the volume or the recorder touched, or does the radio follow the engine or the speed?`,
  'same samples as another take': ({ file, atSeconds }) =>
    `the same recording as ${file} at ${atSeconds.toFixed(1)} s: one file copied or named twice`,
};

function slipText(milliseconds: number | null): string {
  if (milliseconds === null) return 'lost or doubled samples';
  const size = Math.abs(milliseconds);
  return `${milliseconds < 0 ? 'lost' : 'gained'} ${size < 10 ? size.toFixed(2) : size.toFixed(0)} ms`;
}
