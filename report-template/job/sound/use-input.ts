import { useEffect, useRef, useState } from 'preact/hooks';
import type { Block } from './block.ts';
import { type Capture, openCapture, soundInputs } from './capture.ts';
import { type Level, Levels } from './levels.ts';

/** A sound interface that is open or can be opened. */
export interface Input {
  readonly devices: readonly { readonly id: string; readonly label: string }[];
  readonly deviceId: string;
  readonly capture: Capture | null;
  /** The browser is asked for it. */
  readonly opening: boolean;
  /** Why it could not be opened, or that it went away. */
  readonly trouble: string | null;
  readonly choose: (deviceId: string) => void;
  readonly open: () => void;
  readonly close: () => void;
  /** Of every channel, as they are now. */
  readonly levels: () => readonly Level[];
  readonly resetLevels: () => void;
  /** Hears every block until the answer is called. */
  readonly listen: (listener: (block: Block) => void) => () => void;
}

/** An interface gives a block every twentieth of a second: without one for so long it gives none any more (chosen here). */
const SILENT_MS = 3000;
const LOOK_EVERY_MS = 1000;

const WENT_AWAY = 'The input went away: is its cable in? What was recorded before is kept. Open it again.';
const STOPPED =
  'No more sound comes from the input: did the laptop sleep, or does another program use it? What was recorded before is kept. Open it again.';

export function useInput(): Input {
  const [devices, setDevices] = useState<Input['devices']>([]);
  const [deviceId, setDeviceId] = useState('');
  const [capture, setCapture] = useState<Capture | null>(null);
  const [opening, setOpening] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const hold = useRef({
    levels: new Levels(),
    listeners: new Set<(block: Block) => void>(),
    heardAt: 0,
  }).current;

  const end = (why: string) => {
    setCapture(null);
    setTrouble(why);
  };

  const open = async (device: string) => {
    capture?.close();
    setCapture(null);
    setTrouble(null);
    setOpening(true);
    hold.levels.reset();
    try {
      const opened = await openCapture({
        deviceId: device,
        onBlock(block) {
          hold.heardAt = performance.now();
          hold.levels.add(block);
          for (const listener of hold.listeners) listener(block);
        },
        onEnd: () => end(WENT_AWAY),
      });
      hold.heardAt = performance.now();
      setCapture(opened);
      setDevices(await soundInputs());
    } catch (error) {
      setTrouble(refusal(error));
      // Plugged in anew, an interface may go by another name.
      const there = await soundInputs().catch(() => []);
      setDevices(there);
      if (!there.some(({ id }) => id === device)) setDeviceId('');
    } finally {
      setOpening(false);
    }
  };

  useWatch(capture, { heardAt: () => hold.heardAt, onSilence: () => end(STOPPED) });

  return {
    devices,
    deviceId,
    capture,
    opening,
    trouble,
    choose(device) {
      setDeviceId(device);
      if (capture !== null) void open(device);
    },
    open: () => void open(deviceId),
    close: () => setCapture(null),
    levels: () => hold.levels.levels(),
    resetLevels: () => hold.levels.reset(),
    listen(listener) {
      hold.listeners.add(listener);
      return () => hold.listeners.delete(listener);
    },
  };
}

/** Keeps the machine awake while an input is open, closes it at the end, and notices when nothing comes any more. */
function useWatch(
  capture: Capture | null,
  { heardAt, onSilence }: { heardAt: () => number; onSilence: () => void },
): void {
  useEffect(() => {
    if (capture === null) return;
    const awake = keepAwake();
    let lookedAt = performance.now();
    const timer = setInterval(() => {
      const now = performance.now();
      // A page that was held up itself hears what came in meanwhile a moment later.
      const wasHeldUp = now - lookedAt > 2 * LOOK_EVERY_MS;
      lookedAt = now;
      if (!wasHeldUp && now - heardAt() > SILENT_MS) onSilence();
    }, LOOK_EVERY_MS);
    return () => {
      clearInterval(timer);
      void awake.then((lock) => lock?.release());
      capture.close();
    };
  }, [capture]);
}

/** A phone or laptop that goes to sleep loses the take; where the browser cannot prevent it, nothing else can. */
async function keepAwake(): Promise<WakeLockSentinel | null> {
  try {
    return (await navigator.wakeLock?.request('screen')) ?? null;
  } catch {
    return null;
  }
}

function refusal(error: unknown): string {
  const name = error instanceof DOMException ? error.name : '';
  if (navigator.mediaDevices === undefined)
    return 'This browser lets no page record that is opened from here. Open the page from the disk of a laptop, or record with a recorder and drop its files here.';
  if (name === 'NotAllowedError')
    return 'The browser was not given leave to record. Allow the microphone for this page, and open the input again.';
  if (name === 'NotFoundError' || name === 'OverconstrainedError')
    return 'That input is not there. Plug the interface in, choose it again, and open the input.';
  return `The input cannot be opened (${error instanceof Error ? error.message : error}). Is another program using it?`;
}
