import { useState } from 'preact/hooks';
import { TRACK_RATES_HZ } from '../../../src/tones/render-track.ts';
import { stickFiles } from '../../../src/tones/stick-files.ts';
import { ChoiceField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import { Cautions } from '../parts/cautions.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { type Playing, play } from '../sound/player.ts';
import { ask } from '../work/ask.ts';

/** Where the radio takes no stick: the laptop or phone that feeds it plays the track. */
export function PlayHere() {
  const job = useJob();
  const [name, setName] = useState(stickFiles(48_000)[0].name);
  const [ready, setReady] = useState(false);
  const [playing, setPlaying] = useState<Playing | null>(null);
  const running = useRunning();
  const files = TRACK_RATES_HZ.flatMap(stickFiles);
  return (
    <details>
      <summary>The radio takes no stick: play the track from here</summary>
      <Cautions moment={1} />
      <p>
        Set the volume of this device to its full, turn off its equaliser, sound effects and notifications,
        and connect it to the radio. Write in <em>Car and parts</em> what it is played from: a wireless link
        changes the sound, and a clean setting found with it holds for it only.
      </p>
      <div class="fields">
        <ChoiceField
          label="File"
          value={name}
          choices={files.map((file) => [file.name, file.name])}
          onChoose={setName}
        />
      </div>
      <label class="tick">
        <input
          type="checkbox"
          checked={ready}
          onChange={({ currentTarget }) => setReady(currentTarget.checked)}
        />{' '}
        Ears are protected, the radio’s volume is where this take wants it, and tweeters are unplugged or
        loaded.
      </label>
      {playing === null ? (
        <RunButton
          running={running}
          disabled={!ready}
          work={async () => {
            const wav = (await ask('stickFile', { name })) as Uint8Array<ArrayBuffer>;
            setPlaying(await play(wav, () => setPlaying(null)));
            if (name.includes('track')) job.note('stick-written', true);
          }}
        >
          Play it
        </RunButton>
      ) : (
        <>
          <button type="button" onClick={playing.stop}>
            Stop playing
          </button>
          <HowItPlays playing={playing} />
        </>
      )}
    </details>
  );
}

function HowItPlays({ playing: { peakDbFs, fileRateHz, outputRateHz } }: { readonly playing: Playing }) {
  return (
    <p role="status">
      Playing. The file’s highest sample is {peakDbFs.toFixed(2)} dBFS and leaves this page as it is; file{' '}
      {fileRateHz} Hz, output {outputRateHz} Hz
      {fileRateHz === outputRateHz ? '.' : ': the browser converts it, choose the other rate.'}
    </p>
  );
}
