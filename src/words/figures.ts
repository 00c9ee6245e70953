/** Figures as they are said in words: the digits that matter, the unit behind them. */

export function amount(value: number): string {
  return String(Number(value.toPrecision(3)));
}

export function oneDecimal(value: number): string {
  return value.toFixed(1).replace('-', '\u2212');
}

export function voltsText(volts: number): string {
  return `${volts >= 10 ? volts.toFixed(1) : volts >= 0.1 ? volts.toFixed(2) : volts.toPrecision(2)} V`;
}

export function wattsText(watts: number): string {
  return `${Number(watts.toPrecision(2))} W`;
}

export function hertz(hz: number): string {
  return hz < 1000 ? `${Number(hz.toPrecision(2))} Hz` : `${Number((hz / 1000).toPrecision(2))} kHz`;
}

/** "a", "a and b", "a, b and c". */
export function listed(things: readonly (string | number)[]): string {
  if (things.length < 2) return things.join('');
  return `${things.slice(0, -1).join(', ')} and ${things.at(-1)}`;
}

/** "1 setting", "3 settings". */
export function counted(count: number, one: string): string {
  return `${count} ${one}${count === 1 ? '' : 's'}`;
}

/** "setting 30", "settings 30 and 34". */
export function ofSettings(settings: readonly number[]): string {
  return `${settings.length === 1 ? 'setting' : 'settings'} ${listed(settings.map(signed))}`;
}

function signed(value: number): string {
  return String(value).replace('-', '\u2212');
}
