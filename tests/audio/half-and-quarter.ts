import { openWav } from '../../src/audio/read-wav.ts';
import { type Chunk, sourceOf, u16 } from './wav-bytes.ts';

/** 16 bits: half of full scale down, and a quarter up. */
export const HALF_AND_QUARTER = [...u16(0xc000), ...u16(0x2000)];
export const data: Chunk = { id: 'data', body: HALF_AND_QUARTER };

export function codeOf(bytes: Uint8Array): unknown {
  try {
    openWav(sourceOf(bytes));
  } catch (error) {
    return (error as { code?: unknown }).code;
  }
  return 'opened';
}
