import type { Check, Remark, TakeFacts } from '../model/check.ts';
import { ended } from '../model/ended.ts';

/** The check as an installer reads it on the terminal: a line a take, what is known, what to record next, and the answer last. */
export function checkLines(check: Check): string[] {
  const { takes, files, notes, recordNext, mayCloseDash, reasons } = check;
  return [
    ...takes.map(takeLine),
    ...files.map(({ file, text }) => `${file}: ${text}`),
    ...listUnder(
      'So far',
      check.soFar.map(({ tapIds, text }) => `${tapIds.join(', ')}: ${text}`),
    ),
    ...listUnder('To look at', notes),
    ...nextLines(
      'Record next',
      recordNext.filter(({ needed }) => needed),
    ),
    ...nextLines(
      'If you have time',
      recordNext.filter(({ needed }) => !needed),
    ),
    mayCloseDash
      ? 'You may close the dash: yes.'
      : ended(`You may close the dash: no, ${reasons.join('; ')}`),
  ];
}

function listUnder(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : [`${title}:`, ...lines.map((line) => `  ${line}`)];
}

function nextLines(title: string, next: Check['recordNext']): string[] {
  return listUnder(`${title}${settingsText(next.flatMap(({ settings }) => settings))}`, next.map(nextLine));
}

/** All of them in one go: the installer turns the volume once. */
function settingsText(settings: readonly number[]): string {
  const each = [...new Set(settings)].sort((a, b) => a - b);
  return each.length < 2 ? '' : ` (in one go: ${each.join(', ')})`;
}

function nextLine({ tapIds, settings, why }: Check['recordNext'][number]): string {
  return `${tapIds.join(', ')}${settings.length === 0 ? '' : ` at ${settings.join(', ')}`}: ${why}`;
}

function takeLine({ facts, remarks }: Check['takes'][number]): string {
  const { setting, file, takeStartSeconds, channels, clockPpm } = facts;
  const where = `${setting === null ? 'No setting' : `Setting ${setting}`} (${file} at ${takeStartSeconds.toFixed(1)} s)`;
  const clock = clockPpm === null ? 'clock unknown' : `clock ${clockPpm.value.toFixed(1)} ppm`;
  const said = together(remarks).map(({ weight, text }) =>
    weight === 'note' ? text : `${text} (${weight})`,
  );
  return `${where}: ${channels.map(channelText).join(', ')}; ${clock}. ${said.length === 0 ? 'Good.' : ended(said.join('; '))}`;
}

/** What is said of several taps alike is said once. */
function together(remarks: readonly Remark[]): Pick<Remark, 'weight' | 'text'>[] {
  const lines = new Map<string, { weight: Remark['weight']; text: string; tapIds: string[] }>();
  for (const { weight, text, tapIds } of remarks) {
    const start = `${tapIds[0]}: `;
    const own = tapIds.length === 1 && text.startsWith(start);
    const rest = own ? text.slice(start.length) : text;
    const known = lines.get(`${weight} ${rest}`);
    if (known === undefined)
      lines.set(`${weight} ${rest}`, { weight, text: rest, tapIds: own ? [tapIds[0]] : [] });
    else if (own) known.tapIds.push(tapIds[0]);
  }
  return Array.from(lines.values(), ({ weight, text, tapIds }) => ({
    weight,
    text: tapIds.length === 0 ? text : `${tapIds.join(', ')}: ${text}`,
  }));
}

function channelText({ tapId, levelDbFs, peakDbFs, noiseDbFs }: TakeFacts['channels'][number]): string {
  const level = levelDbFs === null ? 'nothing' : `${levelDbFs.toFixed(1)} dBFS`;
  const noise = noiseDbFs === null ? '' : `, noise ${noiseDbFs.toFixed(0)}`;
  return `${tapId} ${level} (headroom ${Math.max(0, -peakDbFs).toFixed(1)} dB${noise})`;
}
