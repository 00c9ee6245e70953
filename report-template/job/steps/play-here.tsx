import { useState } from 'preact/hooks';
import { TRACK_RATES_HZ } from '../../../src/tones/render-track.ts';
import { stickFiles } from '../../../src/tones/stick-files.ts';
import { ChoiceField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import { Cautions } from '../parts/cautions.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import type { Playing } from '../sound/player.ts';
import { useSound } from '../sound/sound-view.ts';
import { ask } from '../work/ask.ts';

/** Where the radio takes no stick: the laptop or phone that feeds it plays the track. */
export function PlayHere() {
  const job = useJob();
  const [name, setName] = useState(stickFiles(48_000)[0].name);
  const [ready, setReady] = useState(false);
  const { player } = useSound();
  const running = useRunning();
  const files = TRACK_RATES_HZ.flatMap(stickFiles);
  return (
    <details>
      <summary>The radio takes no stick: play the track from here</summary>
      <Cautions moment={1} />
      <p>
        Set the volume of this device to its full, turn off its equaliser, sound effects and notifications,
        and connect it to the radio. Write in <em>Car and parts</em> what it is played from: a wireless link
        changes the sound, and a clean setting found with it holds for it only. To record with this device
        too, listen for the take under Record first, then play it here.
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
      <RunButton
        running={running}
        disabled={!ready || player.playing !== null}
        work={async () => {
          const wav = (await ask('stickFile', { name })) as Uint8Array<ArrayBuffer>;
          await player.play(name, wav);
          if (name.includes('track')) job.note('stick-written', true);
        }}
      >
        Play it
      </RunButton>
      {player.playing !== null && <OutputOfPage playing={player.playing} />}
    </details>
  );
}

/** What leaves the page, and what it becomes at the output. */
function OutputOfPage({ playing }: { readonly playing: Playing }) {
  const { peakDbFs, fileRateHz, outputRateHz } = playing;
  return (
    <p role="status">
      The file’s highest sample is {peakDbFs.toFixed(2)} dBFS and leaves this page as it is; file {fileRateHz}{' '}
      Hz, output {outputRateHz} Hz
      {fileRateHz === outputRateHz ? '.' : ': the browser converts it, choose the other rate.'}
    </p>
  );
}
