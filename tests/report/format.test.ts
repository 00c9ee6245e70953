import { describe, expect, it } from 'vitest';
import {
  fixed,
  formatDb,
  formatDbu,
  formatDelay,
  formatFileTime,
  formatHz,
  formatVolts,
  plainHz,
  plainVolts,
  voltsToDbu,
} from '../../src/report/format.ts';
import { listed } from '../../src/words/figures.ts';

describe('numbers in words', () => {
  it('gives an uncertainty one digit, two where it begins with 1, and the value the same place (JCGM 100:2008, 7.2.6)', () => {
    expect(formatDb({ value: 8.1234, plusMinus: 0.23 })).toBe('8.1 ± 0.2 dB');
    expect(formatDb({ value: 8.1234, plusMinus: 0.13 })).toBe('8.12 ± 0.13 dB');
    expect(formatHz({ value: 80.26, plusMinus: 1.9 })).toBe('80.3 ± 1.9 Hz');
    expect(formatHz({ value: 3000, plusMinus: 25 })).toBe('3.00 ± 0.03 kHz');
    expect(formatVolts({ value: 8.617, plusMinus: 0.13 })).toBe('8.62 ± 0.13 V');
  });

  it('never states an uncertainty of nothing', () => {
    expect(formatDb({ value: 3, plusMinus: 0.0004 })).toBe('3.00 ± 0.01 dB');
    expect(formatDelay({ value: 20e-6, plusMinus: 1e-9 })).toBe('20.0 ± 0.1 µs');
  });

  it('uses a true minus sign and has no minus zero', () => {
    expect(fixed(-1.25, 1)).toBe('\u22121.3');
    expect(fixed(-0.01, 1)).toBe('0.0');
  });

  it('writes nominal octave frequencies as the trade does (IEC 61260-1)', () => {
    const nominal = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000];
    expect(nominal.map(plainHz)).toEqual([
      '31.5 Hz',
      '63 Hz',
      '125 Hz',
      '250 Hz',
      '500 Hz',
      '1 kHz',
      '2 kHz',
      '4 kHz',
      '8 kHz',
      '16 kHz',
    ]);
    expect(plainHz(999.6)).toBe('1 kHz');
  });

  it('keeps three digits of a voltage, whatever its size', () => {
    expect([44.72, 8.617, 0.2449, 0.0123, 0.00042].map(plainVolts)).toEqual([
      '44.7 V',
      '8.62 V',
      '0.245 V',
      '12.3 mV',
      '420 µV',
    ]);
  });

  it.each([
    [0.244949, -10],
    [0.774597, 0],
    [1.227653, 4],
    [12.27653, 24],
    [1, 2.2184875],
  ])('%f V is %f dBu (0 dBu is 1 mW in 600 ohm)', (volts, dbu) => {
    expect(voltsToDbu(volts)).toBeCloseTo(dbu, 4);
  });

  it('carries an uncertainty of 1 % of the volts over as 0.086 dB (20 / ln 10 / 100)', () => {
    expect(formatDbu({ value: 10, plusMinus: 0.1 })).toBe('22.2 ± 0.1 dBu');
    expect(formatDbu({ value: 10, plusMinus: 0.4 })).toBe('22.2 ± 0.3 dBu');
  });

  it('states places in a file by minute and second, without ever showing 60 seconds', () => {
    expect([0, 4.24, 59.96, 125.5].map(formatFileTime)).toEqual(['0:00.0', '0:04.2', '1:00.0', '2:05.5']);
  });

  it('lists words with "and" before the last', () => {
    expect([[], ['a'], ['a', 'b'], ['a', 'b', 'c']].map(listed)).toEqual(['', 'a', 'a and b', 'a, b and c']);
  });
});
