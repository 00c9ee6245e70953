import { ArrivalLag } from './arrival-lag.ts';
import type { Block } from './block.ts';
import { captureProcessor } from './capture-processor.ts';

/** What comes in from a sound interface. */
export interface Capture {
  /** Of the samples that the page is given. */
  readonly sampleRateHz: number;
  readonly channelCount: number;
  readonly device: string;
  /** What the browser or the system does to the sound on its way, in plain words; none where it is left alone. */
  readonly processing: readonly string[];
  /** How far the sound stays behind the clock: what it grows by was lost on the way. */
  lagSeconds(): number;
  close(): void;
}

/** Browsers give two channels of one device and no more, whatever the device has. */
const MOST_CHANNELS = 2;

/**
 * Opens an input with everything off that would change the sound.
 *
 * @param onBlock called for every block, in order
 * @param onEnd called where the cable is pulled or the system takes the input away
 * @throws DOMException as the browser refuses: no leave given, no such device
 */
export async function openCapture({
  deviceId,
  onBlock,
  onEnd,
}: {
  deviceId: string;
  onBlock: (block: Block) => void;
  onEnd: () => void;
}): Promise<Capture> {
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: {
      ...(deviceId === '' ? {} : { deviceId: { exact: deviceId } }),
      echoCancellation: false,
      noiseSuppression: false,
      autoGainControl: false,
      channelCount: { ideal: MOST_CHANNELS },
    },
  });
  const [track] = stream.getAudioTracks();
  const settings = track.getSettings();
  const context = await contextFor(stream, settings.sampleRate);
  await context.resume();
  await context.audioWorklet.addModule(`data:text/javascript,${encodeURIComponent(captureProcessor)}`);
  const channelCount = Math.min(MOST_CHANNELS, settings.channelCount ?? MOST_CHANNELS);
  const node = new AudioWorkletNode(context, 'steptone-capture', {
    numberOfOutputs: 0,
    channelCount,
    channelCountMode: 'explicit',
    channelInterpretation: 'discrete',
  });
  const lag = new ArrivalLag(context.sampleRate);
  node.port.onmessage = ({ data }: MessageEvent<Block>) => {
    lag.add({ atSeconds: performance.now() / 1000, frames: data[0].length });
    onBlock(data);
  };
  // Systems hold it for a call or after sleep, and only some let it go again.
  context.onstatechange = () => {
    if (context.state !== 'closed' && context.state !== 'running') void context.resume();
  };
  const source = context.createMediaStreamSource(stream);
  source.connect(node);
  track.addEventListener('ended', onEnd);
  return {
    sampleRateHz: context.sampleRate,
    channelCount,
    device: track.label,
    processing: processingOf(settings, context.sampleRate),
    lagSeconds: () => lag.seconds,
    close() {
      context.onstatechange = null;
      track.removeEventListener('ended', onEnd);
      track.stop();
      source.disconnect();
      void context.close();
    },
  };
}

/** At the rate of the device, so that nothing is converted; at the system's, where the browser does not take that. */
async function contextFor(stream: MediaStream, rateHz: number | undefined): Promise<AudioContext> {
  const wanted = rateHz === undefined ? new AudioContext() : new AudioContext({ sampleRate: rateHz });
  try {
    wanted.createMediaStreamSource(stream).disconnect();
    return wanted;
  } catch {
    await wanted.close();
    return new AudioContext();
  }
}

function processingOf(settings: MediaTrackSettings, rateHz: number): string[] {
  const { echoCancellation, noiseSuppression, autoGainControl, sampleRate = rateHz } = settings;
  return [
    ...(echoCancellation ? ['echo cancelling is on'] : []),
    ...(noiseSuppression ? ['noise suppression is on'] : []),
    ...(autoGainControl ? ['automatic gain is on'] : []),
    ...(sampleRate === rateHz ? [] : [`the browser converts ${sampleRate} Hz to ${rateHz} Hz`]),
  ];
}

/** Inputs that can be chosen. Without leave to record, browsers tell no names. */
export async function soundInputs(): Promise<{ id: string; label: string }[]> {
  const devices = await navigator.mediaDevices.enumerateDevices();
  return devices
    .filter(({ kind, deviceId }) => kind === 'audioinput' && deviceId !== '')
    .map(({ deviceId, label }, i) => ({ id: deviceId, label: label || `Input ${i + 1}` }));
}
