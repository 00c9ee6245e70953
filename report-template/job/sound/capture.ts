import { capturePeriodFrames, captureProcessor } from './capture-processor.ts';

/** What comes in from a sound interface. */
export interface Capture {
  /** Of the samples that the page is given. */
  readonly sampleRateHz: number;
  readonly channelCount: number;
  readonly device: string;
  /** What the browser or the system does to the sound on its way, in plain words; none where it is left alone. */
  readonly processing: readonly string[];
  /** Samples that came late or not at all since the start, seconds. */
  lostSeconds(): number;
  close(): void;
}

/** One array a channel. */
export type Block = readonly Float32Array[];

/** Browsers give two channels of one device and no more, whatever the device has. */
export const MOST_CHANNELS = 2;

/** A block may be on its way while the clock is read, and two clocks part by a tenth of a thousandth. */
const CLOCK_SLACK_SECONDS = 0.15;

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
  let frames = 0;
  let startedAt: number | null = null;
  node.port.onmessage = ({ data }: MessageEvent<Block>) => {
    startedAt ??= performance.now() - (1000 * capturePeriodFrames) / context.sampleRate;
    frames += data[0].length;
    onBlock(data);
  };
  const source = context.createMediaStreamSource(stream);
  source.connect(node);
  track.addEventListener('ended', onEnd);
  return {
    sampleRateHz: context.sampleRate,
    channelCount,
    device: track.label,
    processing: processingOf(settings, context.sampleRate),
    lostSeconds() {
      if (startedAt === null) return 0;
      const missing = (performance.now() - startedAt) / 1000 - frames / context.sampleRate;
      return missing > CLOCK_SLACK_SECONDS ? missing : 0;
    },
    close() {
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
