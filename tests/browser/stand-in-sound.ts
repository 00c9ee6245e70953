import type { JobPage } from './job-page.ts';

/**
 * A sound interface that exists in the page only: the test hands it samples, and the page hears them block after block, far
 * faster than a real one gives them, none lost however busy the machine is. Tones that the page plays are noted.
 */
const STAND_IN = `(() => {
  const blockFrames = 2048;
  const blocksAtOnce = 16;
  // No interface is as quiet as nothing.
  let random = 1;
  const quiet = () =>
    Float32Array.from({ length: blockFrames }, () => {
      random = (16807 * random) % 2147483647;
      return 4e-5 * (random / 2147483647 - 0.5);
    });
  class Part extends EventTarget {
    connect(to) { return to; }
    disconnect() {}
  }
  class Context extends Part {
    constructor({ sampleRate = 48000 } = {}) {
      super();
      Object.assign(this, { sampleRate, currentTime: 0, destination: {}, audioWorklet: { addModule: async () => {} } });
    }
    async resume() {}
    async close() {}
    createMediaStreamSource() { return new Part(); }
  }
  const standIn = (window.standIn = {
    settings: { sampleRate: 48000, channelCount: 2 },
    refuses: null,
    tones: [],
    port: null,
    running: 0,
    playing: null,
    isOpen: false,
    asleep: false,
    /** Hands over samples, then quiet, or the same over and over, until the page has what it waits for. */
    async play(channels, over) {
      const run = (standIn.playing = ++standIn.running);
      const { length } = channels[0];
      for (let at = 0; standIn.running === run; at += blockFrames) {
        const block = channels.map((samples) => {
          const piece = new Float32Array(blockFrames);
          piece.set(samples.subarray(Math.min(at, length), at + blockFrames));
          return at >= length ? quiet() : piece;
        });
        standIn.port.onmessage({ data: block });
        if (over && at + blockFrames >= length) at = -blockFrames;
        // Quick on until the page has had reason to look for the track once more; from there no quicker than a real one, since
        // the page gives up after so many seconds of sound, however long a busy machine takes to look.
        const isLate = at - length > 5 * standIn.settings.sampleRate;
        if ((at / blockFrames) % (isLate ? 1 : blocksAtOnce) === 0)
          await new Promise((done) => setTimeout(done, isLate ? 40 : at >= length ? 20 : 0));
      }
    },
  });
  // An interface that is open gives something all the time.
  setInterval(() => {
    if (standIn.isOpen && !standIn.asleep && standIn.playing !== standIn.running)
      standIn.port?.onmessage({ data: Array.from({ length: standIn.settings.channelCount }, quiet) });
  }, 40);
  window.AudioContext = Context;
  window.GainNode = Part;
  window.OscillatorNode = class extends Part {
    constructor(context, { frequency }) {
      super();
      this.frequency = frequency;
    }
    start() {
      standIn.tones.push(this.frequency);
      setTimeout(() => this.onended?.());
    }
    stop() {}
  };
  window.AudioWorkletNode = class extends Part {
    constructor() {
      super();
      this.port = standIn.port = { onmessage() {} };
    }
  };
  const devices = {
    async getUserMedia() {
      if (standIn.refuses !== null) throw new DOMException('as the test wants it', standIn.refuses);
      const track = Object.assign(new EventTarget(), {
        label: 'Stand-in interface',
        getSettings: () => standIn.settings,
        stop() { Object.assign(standIn, { running: standIn.running + 1, isOpen: false }); },
      });
      Object.assign(standIn, { track, isOpen: true });
      return { getAudioTracks: () => [track] };
    },
    enumerateDevices: async () => [{ kind: 'audioinput', deviceId: 'one', label: 'Stand-in interface' }],
  };
  Object.defineProperty(navigator, 'mediaDevices', { configurable: true, get: () => devices });
})()`;

/** Puts it in the place of the browser's own; again after each loading of the page. */
export async function standInForSound(
  page: JobPage,
  settings: { sampleRate?: number; channelCount?: number; autoGainControl?: boolean } = {},
): Promise<void> {
  await page.evaluate(STAND_IN);
  await page.evaluate(`Object.assign(standIn.settings, ${JSON.stringify(settings)})`);
}

/** Begins to play samples into it, as 16 bits have them. */
export async function playInto(
  page: JobPage,
  channels: readonly Float32Array[],
  { over = false }: { over?: boolean } = {},
): Promise<void> {
  await page.evaluate(`window.standInTexts = []`);
  for (const samples of channels) {
    const whole = Int16Array.from(samples, (sample) => Math.round(32_768 * sample));
    const text = Buffer.from(whole.buffer).toString('base64');
    await page.evaluate(`void standInTexts.push(${JSON.stringify(text)})`);
  }
  await page.evaluate(`(() => {
    const channels = standInTexts.map((text) => {
      const letters = atob(text);
      const bytes = new Uint8Array(letters.length);
      for (let i = 0; i < bytes.length; i++) bytes[i] = letters.charCodeAt(i);
      return Float32Array.from(new Int16Array(bytes.buffer), (value) => value / 32768);
    });
    void standIn.play(channels, ${over});
  })()`);
}

/** No more comes in. */
export function endPlaying(page: JobPage): Promise<void> {
  return page.evaluate('void standIn.running++');
}

/** Frequencies of the tones that the page played. */
export function tonesHeard(page: JobPage): Promise<number[]> {
  return page.evaluate('standIn.tones');
}

/** The cable is pulled. */
export function pullCable(page: JobPage): Promise<void> {
  return page.evaluate(
    `(standIn.running++, standIn.isOpen = false, void standIn.track.dispatchEvent(new Event('ended')))`,
  );
}
