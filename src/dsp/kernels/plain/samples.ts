type Decode = (
  bytes: Uint8Array,
  samples: Float32Array,
  first: number,
  stride: number,
  to: number,
  count: number,
) => void;

/** There is one plain loop a format. Integers are moved to the top of 32 bits, which makes their scale 2^-31 whatever their length. */
export const decodeUint8: Decode = (bytes, samples, first, stride, to, count) => {
  for (let i = 0, byte = first; i < count; i++, byte += stride) samples[to + i] = (bytes[byte] - 128) / 128;
};

export const decodeInt16: Decode = (bytes, samples, first, stride, to, count) => {
  for (let i = 0, byte = first; i < count; i++, byte += stride)
    samples[to + i] = ((bytes[byte] << 16) | (bytes[byte + 1] << 24)) * 2 ** -31;
};

export const decodeInt24: Decode = (bytes, samples, first, stride, to, count) => {
  for (let i = 0, byte = first; i < count; i++, byte += stride)
    samples[to + i] = ((bytes[byte] << 8) | (bytes[byte + 1] << 16) | (bytes[byte + 2] << 24)) * 2 ** -31;
};

export const decodeInt32: Decode = (bytes, samples, first, stride, to, count) => {
  const view = viewOf(bytes);
  for (let i = 0, byte = first; i < count; i++, byte += stride)
    samples[to + i] = view.getInt32(byte, true) * 2 ** -31;
};

export const decodeFloat32: Decode = (bytes, samples, first, stride, to, count) => {
  const view = viewOf(bytes);
  for (let i = 0, byte = first; i < count; i++, byte += stride) {
    const value = view.getFloat32(byte, true);
    samples[to + i] = value - value === 0 ? value : 0;
  }
};

export const decodeFloat64: Decode = (bytes, samples, first, stride, to, count) => {
  const view = viewOf(bytes);
  for (let i = 0, byte = first; i < count; i++, byte += stride) {
    const value = Math.fround(view.getFloat64(byte, true));
    samples[to + i] = value - value === 0 ? value : 0;
  }
};

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

export function extent(samples: Float32Array, sum: Float64Array, count: number): number {
  let peak = 0;
  let total = 0;
  for (let n = 0; n < count; n++) {
    total += samples[n];
    peak = Math.max(peak, Math.abs(samples[n]));
  }
  sum[0] = total;
  return peak;
}

export function decimate(
  samples: Float32Array,
  taps: Float64Array,
  out: Float32Array,
  tapCount: number,
  factor: number,
  count: number,
): void {
  for (let j = 0; j < count; j++) {
    let sum = 0;
    for (let i = 0, n = j * factor; i < tapCount; i++, n++) sum += taps[i] * samples[n];
    out[j] = sum;
  }
}

type FrameEnergy<A> = (samples: A, energy: Float64Array, length: number, frames: number) => void;

export const frameEnergy: FrameEnergy<Float64Array> = energyOfFrames;
export const frameEnergyOfFloats: FrameEnergy<Float32Array> = energyOfFrames;

function energyOfFrames(
  samples: ArrayLike<number>,
  energy: Float64Array,
  length: number,
  frames: number,
): void {
  for (let f = 0; f < frames; f++) {
    let sum = 0;
    for (let n = f * length; n < (f + 1) * length; n++) sum += samples[n] * samples[n];
    energy[f] = sum;
  }
}
