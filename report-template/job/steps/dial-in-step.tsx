import { useEffect, useState } from 'preact/hooks';
import { decibels } from '../../../src/dsp/decibels.ts';
import { steadyToneLevel } from '../../../src/measure/recorder/calibration.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { useJob } from '../job-view.ts';
import { OUT } from '../keep/folders.ts';
import { Cautions } from '../parts/cautions.tsx';
import { FileLinks } from '../parts/file-links.tsx';
import { InputLevels } from '../parts/input-levels.tsx';
import { Heard } from '../sound/heard.ts';
import { useSound } from '../sound/sound-view.ts';
import { ask } from '../work/ask.ts';
import { GainsByMeter } from './gains-by-meter.tsx';
import { InputChoice } from './input-choice.tsx';
import { RecordTakes } from './record-takes.tsx';

/** Gains set by meter down the sheet; the calibrated input can be the meter. */
export function DialInStep() {
  const job = useJob();
  const done = job.noted<boolean>('dialled-in') === true;
  return (
    <>
      <Cautions moment={2} />
      <p>
        Go down the dial-in sheet: tone to play, the radio’s setting, restoration off or on, and the volts to
        read at converter and amplifier, in the order of work.
      </p>
      <FileLinks job={job} files={[[`${OUT}/dial-in-sheet.html`, 'Dial-in sheet']]} />
      {job.hasReport() ? (
        <label class="tick">
          <input
            type="checkbox"
            checked={done}
            onChange={({ currentTarget }) => job.note('dialled-in', currentTarget.checked)}
          />{' '}
          I have set all gains as the sheet says
        </label>
      ) : (
        <p>The sheet comes with the analysis.</p>
      )}
      <ToneMeter />
      <GainsByMeter />
      <AtTheSeat />
    </>
  );
}

const SEAT_TAKES: readonly Take[] = [
  ['seat-sub.wav', 'Subwoofer alone'],
  ['seat-mains.wav', 'The other speakers alone'],
  ['seat-both.wav', 'Both'],
  ['seat-both-inverted.wav', 'Both, the subwoofer inverted'],
].map(([file, what], i) => ({ number: i + 1, what, setting: 'none', play: 'response only', file }));

/** Subwoofer and mains matched where the driver sits. */
function AtTheSeat() {
  return (
    <details>
      <summary>Match subwoofer and mains at the seat</summary>
      <p>
        Four takes of the response-only track with a microphone at the driver’s head; levels and microphone
        stay as they are between them. Then analyse again: polarity, trim and phase where the two meet stand
        in the report.
      </p>
      <RecordTakes
        step="dial-in"
        list={SEAT_TAKES}
        caution="Step up from quiet, protect your ears, and stop at any distress."
      />
    </details>
  );
}

/** The tone is measured over this long. */
const MEASURED_SECONDS = 1;
const READ_EVERY_MS = 400;

/** Reads the volts of a steady tone from the input that the recordings were made with. */
function ToneMeter() {
  const job = useJob();
  const { input } = useSound();
  const [volts, setVolts] = useState<number | null>(null);
  const [readings, setReadings] = useState<readonly (number | null)[]>([]);
  const { capture } = input;
  useEffect(() => {
    setReadings([]);
    if (capture === null) return;
    ask('voltsPerFullScale', {}, { files: job.files }).then(setVolts, () => setVolts(null));
    const heard = new Heard(capture.sampleRateHz);
    const letGo = input.listen((block) => {
      heard.add(block);
      heard.keepLast(MEASURED_SECONDS);
    });
    const timer = setInterval(() => {
      if (heard.seconds >= MEASURED_SECONDS)
        setReadings(heard.section().map((samples) => toneLevel(samples, capture.sampleRateHz)));
    }, READ_EVERY_MS);
    return () => {
      letGo();
      clearInterval(timer);
    };
  }, [capture]);
  return (
    <>
      <h3>Read volts from the input</h3>
      <p>
        The input reads a steady tone as a meter does, through the pad that was entered under Car and parts,
        with the recorder’s gain as it was.
      </p>
      <InputChoice input={input} />
      {capture !== null && (
        <>
          {readings.map((level, channel) => (
            <p key={channel} class="reading">
              Channel {channel + 1}: <strong>{readingWords(level, volts)}</strong>
            </p>
          ))}
          <InputLevels input={input} names={[]} />
        </>
      )}
    </>
  );
}

/** Amplitude of a steady tone, 1 is a full-scale sine; null where none stands out. */
function toneLevel(samples: Float32Array, sampleRateHz: number): number | null {
  try {
    return steadyToneLevel(samples, { sampleRateHz, file: 'the input' });
  } catch (error) {
    if (error instanceof SteptoneError) return null;
    throw error;
  }
}

function readingWords(level: number | null, voltsPerFullScale: number | null): string {
  if (level === null) return 'no steady tone';
  const dbFs = `${decibels(level).toFixed(1).replace('-', '−')} dBFS`;
  return voltsPerFullScale === null
    ? `${dbFs} (no volts: fill in the pad, or record a meter tone)`
    : `${(level * voltsPerFullScale).toPrecision(3)} V RMS (${dbFs})`;
}
