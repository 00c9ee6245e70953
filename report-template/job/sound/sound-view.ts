import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Input } from './use-input.ts';
import type { Player } from './use-player.ts';
import type { TakeControl } from './use-take.ts';

/** The input, the take and the player of this page: one of each, whatever step is shown. */
interface SoundView {
  readonly input: Input;
  readonly recording: TakeControl;
  readonly player: Player;
}

export const SoundContext = createContext<SoundView | null>(null);

export function useSound(): SoundView {
  return useContext(SoundContext)!;
}
