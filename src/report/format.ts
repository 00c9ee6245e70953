import { DB_PER_NEPER, decibels } from '../dsp/decibels.ts';
import type { Measured } from '../model/measured.ts';

/**
 * Numbers as people read them. An uncertainty is given to one significant digit, two where the first is a 1, and the
 * value to the same place (JCGM 100:2008, 7.2.6). Minus signs are U+2212.
 */

/** 0 dBu is the voltage of 1 mW in 600 ohm. */
const DBU_REFERENCE_VOLTS = Math.sqrt(0.6);

/** No report needs finer decibels than the meters and recorders behind it. */
const FINEST_DECIBEL_PLACES = 2;

export function formatDb({ value, plusMinus }: Measured): string {
  return withUncertainty({ value, plusMinus, unit: 'dB', mostPlaces: FINEST_DECIBEL_PLACES });
}

/** Decibels are shown with one decimal: less is said as this much. */
export const LEAST_SHOWN_DB = 0.1;

/** Decibels without uncertainty, to a tenth. */
export function plainDb(db: number): string {
  return `${fixed(db, 1)} dB`;
}

/** Decibels as one says them: whole ones from 2 dB up. */
export function roundDb(db: number): string {
  return `${fixed(db, Math.abs(db) < 2 ? 1 : 0)} dB`;
}

export function plainDbFs(dbFs: number): string {
  return `${fixed(dbFs, 1)} dBFS`;
}

/** Drives are set in half decibels. */
export function formatDrive({ value, plusMinus }: Measured): string {
  return withUncertainty({ value, plusMinus, unit: 'dBFS', mostPlaces: 1 });
}

/** Three significant digits from 1 kHz up, in kilohertz there; whole hertz from 100 Hz. */
export function plainHz(frequencyHz: number): string {
  if (frequencyHz >= 999.5) return `${trimmed((frequencyHz / 1000).toPrecision(3))} kHz`;
  return `${trimmed(frequencyHz.toPrecision(3))} Hz`;
}

export function formatHz({ value, plusMinus }: Measured): string {
  if (value < 999.5) return withUncertainty({ value, plusMinus, unit: 'Hz', mostPlaces: 1 });
  return withUncertainty({ value: value / 1000, plusMinus: plusMinus / 1000, unit: 'kHz', mostPlaces: 3 });
}

/** Three significant digits; millivolts below a tenth of a volt, microvolts below a millivolt. */
export function plainVolts(volts: number): string {
  const size = Math.abs(volts);
  if (size === 0) return '0 V';
  if (size < 1e-3) return `${significant(volts * 1e6, 3)} µV`;
  if (size < 0.1) return `${significant(volts * 1e3, 3)} mV`;
  return `${significant(volts, 3)} V`;
}

export function formatVolts({ value, plusMinus }: Measured): string {
  if (plusMinus === 0 || Math.abs(value) < 0.1) return plainVolts(value);
  return withUncertainty({ value, plusMinus, unit: 'V', mostPlaces: 3 });
}

export function voltsToDbu(volts: number): number {
  return decibels(volts / DBU_REFERENCE_VOLTS);
}

/** The same voltage in dBu; the uncertainty by the slope of the logarithm. */
export function formatDbu({ value, plusMinus }: Measured): string {
  if (value <= 0) return 'no level';
  const slopeDb = DB_PER_NEPER * (plusMinus / value);
  return withUncertainty({ value: voltsToDbu(value), plusMinus: slopeDb, unit: 'dBu', mostPlaces: 1 });
}

/** Volume settings are counted, so whole ones are shown whole. */
export function formatSetting(setting: number | null): string {
  if (setting === null) return 'none';
  return fixed(setting, Number.isInteger(setting) ? 0 : 1);
}

/** Microseconds below a millisecond, milliseconds above. */
export function formatDelay({ value, plusMinus }: Measured): string {
  if (Math.abs(value) < 1e-3) {
    return withUncertainty({ value: value * 1e6, plusMinus: plusMinus * 1e6, unit: 'µs', mostPlaces: 1 });
  }
  return withUncertainty({ value: value * 1e3, plusMinus: plusMinus * 1e3, unit: 'ms', mostPlaces: 3 });
}

/** A ratio as percent, two significant digits. */
export function formatPercent(ratio: number): string {
  return `${significant(ratio * 100, 2)} %`;
}

/** Place in a file: minutes and seconds. */
export function formatFileTime(seconds: number): string {
  const tenths = Math.round(seconds * 10);
  const minutes = Math.floor(tenths / 600);
  return `${minutes}:${((tenths % 600) / 10).toFixed(1).padStart(4, '0')}`;
}

export function formatPpm(ppm: number): string {
  return `${significant(ppm, 3)} ppm`;
}

/** Fixed decimals with a true minus sign; never "−0". */
export function fixed(value: number, places: number): string {
  const text = value.toFixed(places);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212');
}

interface Uncertain extends Measured {
  readonly unit: string;
  readonly mostPlaces: number;
}

function withUncertainty({ value, plusMinus, unit, mostPlaces }: Uncertain): string {
  if (plusMinus === 0) return `${fixed(value, Math.min(1, mostPlaces))} ${unit}`;
  const leading = Math.floor(Math.log10(plusMinus));
  const digits = plusMinus / 10 ** leading < 2 ? 2 : 1;
  const places = Math.min(mostPlaces, Math.max(0, digits - 1 - leading));
  // A tiny uncertainty never rounds to "± 0".
  const shown = Math.max(plusMinus, 10 ** -places);
  return `${fixed(value, places)} ± ${fixed(shown, places)} ${unit}`;
}

/** Fixed significant digits, true minus sign. */
export function significant(value: number, digits: number): string {
  const size = Math.abs(value);
  const places = size === 0 ? 0 : Math.max(0, digits - 1 - Math.floor(Math.log10(size)));
  return fixed(value, places);
}

/** Without trailing zeros: 1.25, 3, 31.5. */
function trimmed(text: string): string {
  return String(Number(text));
}
