/** Headings of the CSV tables, units in them. */
export const HEADINGS = {
  tap: 'tap',
  setting: 'volume setting',
  programme: 'programme',
  frequency: 'frequency (Hz)',
  level: 'level (dBFS of the recording)',
  volts: 'level (V RMS)',
  uncertainty: 'uncertainty (V RMS)',
  phase: 'phase (degrees)',
  trusted: 'trusted (yes or no)',
  tone: 'tone (Hz)',
  drive: 'drive (dBFS)',
  distortion: 'distortion (%)',
  beforeFilters: 'distortion before the filters (%)',
  harmonic: 'highest harmonic',
} as const;
