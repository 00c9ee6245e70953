import { useState } from 'preact/hooks';
import { type Playing, play } from './player.ts';

/** What this device plays, whatever step is shown: it can be stopped from everywhere. */
export interface Player {
  readonly playing: Playing | null;
  readonly play: (name: string, wav: Uint8Array<ArrayBuffer>) => Promise<void>;
}

export function usePlayer(): Player {
  const [playing, setPlaying] = useState<Playing | null>(null);
  return {
    playing,
    async play(name, wav) {
      playing?.stop();
      setPlaying(await play(name, wav, () => setPlaying(null)));
    },
  };
}
