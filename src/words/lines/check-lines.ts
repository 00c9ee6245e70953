import type { Check, Remark, TakeFacts } from '../../model/check.ts';
import { ended } from '../../model/ended.ts';
import { isSameReason } from '../../model/reason.ts';
import { reasonText } from '../reason-text.ts';
import { statementText, takeToRecordText } from '../statement-text.ts';

/** The check as an installer reads it on the terminal: a line a take, what is known, what to record next, and the answer last. */
export function checkLines(check: Check): string[] {
  const { takes, files, notes, recordNext, mayCloseDash, reasons } = check;
  return [
    ...takes.map(takeLine),
    ...files.map(({ file, reason }) => `${file}: ${reasonText(reason)}`),
    ...listUnder(
      'So far',
      check.soFar.map(({ tapIds, known }) => `${tapIds.join(', ')}: ${known.map(reasonText).join('; ')}`),
    ),
    ...listUnder(
      'To look at',
      notes.map((note) => statementText(note)),
    ),
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
      : ended(`You may close the dash: no, ${reasons.map((one) => statementText(one)).join('; ')}`),
  ];
}

function listUnder(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : [`${title}:`, ...lines.map((line) => `  ${line}`)];
}

function nextLines(title: string, next: Check['recordNext']): string[] {
  return listUnder(
    `${title}${settingsText(next.flatMap(({ settings }) => settings))}`,
    next.map((one) => takeToRecordText(one)),
  );
}

/** All of them in one go: the installer turns the volume once. */
function settingsText(settings: readonly number[]): string {
  const each = [...new Set(settings)].sort((a, b) => a - b);
  return each.length < 2 ? '' : ` (in one go: ${each.join(', ')})`;
}

function takeLine({ facts, remarks }: Check['takes'][number]): string {
  const { setting, file, takeStartSeconds, channels, clockPpm } = facts;
  const where = `${setting === null ? 'No setting' : `Setting ${setting}`} (${file} at ${takeStartSeconds.toFixed(1)} s)`;
  const clock = clockPpm === null ? 'clock not known' : `clock ${clockPpm.value.toFixed(1)} ppm`;
  const said = together(remarks).map((remark) => {
    const text = statementText({ ...remark, settings: [] });
    return remark.weight === 'note' ? text : `${text} (${remark.weight})`;
  });
  return `${where}: ${channels.map(channelText).join(', ')}; ${clock}. ${said.length === 0 ? 'Good.' : ended(said.join('; '))}`;
}

/** What is said of several taps alike is said once. */
function together(remarks: readonly Remark[]): Remark[] {
  const all: Remark[] = [];
  for (const remark of remarks) {
    const same = all.find((one) => one.weight === remark.weight && isSameReason(one.reason, remark.reason));
    if (same === undefined) all.push({ ...remark, tapIds: [...remark.tapIds] });
    else same.tapIds.push(...remark.tapIds);
  }
  return all;
}

function channelText({ tapId, levelDbFs, peakDbFs, noiseDbFs }: TakeFacts['channels'][number]): string {
  const level = levelDbFs === null ? 'nothing' : `${levelDbFs.toFixed(1)} dBFS`;
  const noise = noiseDbFs === null ? '' : `, noise ${noiseDbFs.toFixed(0)}`;
  return `${tapId} ${level} (headroom ${Math.max(0, -peakDbFs).toFixed(1)} dB${noise})`;
}
