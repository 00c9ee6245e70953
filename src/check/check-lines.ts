import type { Check, TakeFacts } from '../model/check.ts';

/** The check as an installer reads it on the terminal: a line a take, what to record next, and the answer last. */
export function checkLines({ takes, files, recordNext, mayCloseDash, reasons }: Check): string[] {
  const next = recordNext.map(
    ({ tapIds, settings, why }) =>
      `  ${tapIds.join(', ')}${settings.length === 0 ? '' : ` at ${settings.join(', ')}`}: ${why}`,
  );
  return [
    ...takes.map(takeLine),
    ...files.map(({ file, text }) => `${file}: ${text}`),
    ...(next.length === 0 ? [] : ['Record next:', ...next]),
    mayCloseDash ? 'You may close the dash: yes.' : `You may close the dash: no, ${reasons.join('; ')}.`,
  ];
}

function takeLine({ facts, remarks }: Check['takes'][number]): string {
  const { setting, file, takeStartSeconds, channels, clockPpm } = facts;
  const where = `${setting === null ? 'No setting' : `Setting ${setting}`} (${file} at ${takeStartSeconds.toFixed(1)} s)`;
  const clock = clockPpm === null ? 'clock unknown' : `clock ${clockPpm.value.toFixed(1)} ppm`;
  const said = remarks.map(({ weight, text }) => (weight === 'note' ? text : `${text} (${weight})`));
  return `${where}: ${channels.map(channelText).join(', ')}; ${clock}. ${said.length === 0 ? 'Good.' : `${said.join('; ')}.`}`;
}

function channelText({ tapId, levelDbFs, peakDbFs, noiseDbFs }: TakeFacts['channels'][number]): string {
  const level = levelDbFs === null ? 'nothing' : `${levelDbFs.toFixed(1)} dBFS`;
  const noise = noiseDbFs === null ? '' : `, noise ${noiseDbFs.toFixed(0)}`;
  return `${tapId} ${level} (headroom ${Math.max(0, -peakDbFs).toFixed(1)} dB${noise})`;
}
