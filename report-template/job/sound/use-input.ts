import { useEffect, useRef, useState } from 'preact/hooks';
import { type Block, type Capture, openCapture, soundInputs } from './capture.ts';
import { type Level, Levels } from './levels.ts';

/** A sound interface that is open or can be opened. */
export interface Input {
  readonly devices: readonly { readonly id: string; readonly label: string }[];
  readonly deviceId: string;
  readonly capture: Capture | null;
  readonly levels: readonly Level[];
  /** Why it could not be opened, or that it went away. */
  readonly trouble: string | null;
  readonly choose: (deviceId: string) => void;
  readonly open: () => void;
  readonly close: () => void;
  readonly resetLevels: () => void;
  /** Hears every block until the answer is called. */
  readonly listen: (listener: (block: Block) => void) => () => void;
}

/** Levels are written anew this often: quick enough to turn a pad by, slow enough to read. */
const LEVELS_EVERY_MS = 200;

export function useInput(): Input {
  const [devices, setDevices] = useState<Input['devices']>([]);
  const [deviceId, setDeviceId] = useState('');
  const [capture, setCapture] = useState<Capture | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [levels, setLevels] = useState<readonly Level[]>([]);
  const hold = useRef({ levels: new Levels(), listeners: new Set<(block: Block) => void>() }).current;

  const open = async (device: string) => {
    capture?.close();
    setCapture(null);
    setTrouble(null);
    hold.levels.reset();
    try {
      const opened = await openCapture({
        deviceId: device,
        onBlock(block) {
          hold.levels.add(block);
          for (const listener of hold.listeners) listener(block);
        },
        onEnd() {
          setCapture(null);
          setTrouble(
            'The input went away: is its cable in? What was recorded before is kept. Open it again.',
          );
        },
      });
      setCapture(opened);
      setDevices(await soundInputs());
    } catch (error) {
      setTrouble(refusal(error));
    }
  };

  useEffect(() => {
    if (capture === null) return;
    const awake = keepAwake();
    const timer = setInterval(() => setLevels(hold.levels.levels()), LEVELS_EVERY_MS);
    return () => {
      clearInterval(timer);
      void awake.then((lock) => lock?.release());
      capture.close();
    };
  }, [capture]);

  return {
    devices,
    deviceId,
    capture,
    levels,
    trouble,
    choose(device) {
      setDeviceId(device);
      if (capture !== null) void open(device);
    },
    open: () => void open(deviceId),
    close: () => setCapture(null),
    resetLevels: () => hold.levels.reset(),
    listen(listener) {
      hold.listeners.add(listener);
      return () => hold.listeners.delete(listener);
    },
  };
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
