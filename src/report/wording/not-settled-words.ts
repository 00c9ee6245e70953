import { touches } from '../../model/doubt.ts';
import { findingsOf } from '../../model/finding.ts';
import { codeOf, isSameReason, type Reason } from '../../model/reason.ts';
import type { Results } from '../../model/results.ts';
import { ofSettings } from '../../words/figures.ts';
import { type Sentence, say } from '../sentence.ts';
import { outputsText } from './output-names.ts';
import { asClause, capitalised, type TapLabel } from './statement.ts';

/** Everything that has to be settled before the answers are whole. */
interface NotSettled {
  readonly sentence: Sentence;
  readonly evidenceIds: readonly string[];
}

/** More than this is a session to record anew: the rest stands with the takes. */
const MOST_SAID = 3;

/** What keeps takes, labels or volts from being what the notes say, in one sentence each; null where nothing does. */
export function notSettledWords(results: Results, label: TapLabel): NotSettled | null {
  const open = openPoints(results);
  if (open.length === 0) return null;
  const joined = withoutFigures(open);
  const said = joined.slice(0, MOST_SAID).map((point) => pointText(results, point, label));
  const more = joined.length - said.length;
  const rest = more === 0 ? '' : ` ${more} more ${more === 1 ? 'stands' : 'stand'} with the takes.`;
  return {
    sentence: say`${said.join(' ')}${rest}`,
    evidenceIds: [...new Set(open.flatMap(({ evidenceIds }) => evidenceIds))],
  };
}

interface OpenPoint {
  readonly reason: Reason;
  tapIds: readonly string[];
  /** Empty where it is about all of them. */
  settings: readonly number[];
  evidenceIds: readonly string[];
  /** Settings at which the same was seen with other figures. */
  alikeAt?: readonly number[];
}

function openPoints(results: Results): OpenPoint[] {
  const { findings, doubts = [], checks } = results;
  const points: OpenPoint[] = [];
  const add = (point: OpenPoint) => {
    const same = points.find(({ reason }) => isSameReason(reason, point.reason));
    if (same === undefined) {
      points.push({ ...point });
      return;
    }
    same.tapIds = [...new Set([...same.tapIds, ...point.tapIds])];
    same.settings = [...new Set([...same.settings, ...point.settings])].sort((a, b) => a - b);
    same.evidenceIds = [...new Set([...same.evidenceIds, ...point.evidenceIds])];
  };
  for (const { kind, reason, tapIds, settings } of doubts)
    if (kind !== 'microphone') add({ reason, tapIds, settings: settings ?? [], evidenceIds: [] });
  for (const finding of findings)
    for (const { kind, reason, tapIds, settings } of finding.doubts ?? [])
      if (kind !== 'microphone')
        add({
          reason,
          tapIds: tapIds.length > 0 ? tapIds : finding.tapIds,
          settings: settings ?? [],
          evidenceIds: [finding.id],
        });
  const settled = (checks?.takes ?? []).flatMap(({ facts: { setting }, remarks }) =>
    remarks
      .filter(({ weight, tapIds }) =>
        weight === 'settle'
          ? !tapIds.every((id) => isDoubted(results, id))
          : weight === 'record again' && tapIds.some((id) => isMissing(results, id, setting)),
      )
      .map((remark) => ({ ...remark, setting })),
  );
  for (const { reason, tapIds, setting } of settled)
    add({ reason, tapIds, settings: setting === null ? [] : [setting], evidenceIds: [] });
  for (const { reason, tapIds } of checks?.reasons ?? [])
    if (codeOf(reason) === 'balance off centre') add({ reason, tapIds, settings: [], evidenceIds: [] });
  for (const { id, tapIds, carries, agreesWithSession } of findingsOf(findings, 'routing'))
    if (!agreesWithSession && !points.some((point) => tapIds.every((tapId) => point.tapIds.includes(tapId))))
      add({
        reason: { code: 'carries another side', noted: sideNoted(results, tapIds[0]), carries },
        tapIds,
        settings: [],
        evidenceIds: [id],
      });
  return points;
}

/** One line for what was seen of the same outputs at several settings, each time with figures of its own. */
function withoutFigures(points: readonly OpenPoint[]): OpenPoint[] {
  const all: OpenPoint[] = [];
  for (const point of points) {
    const same = all.find(
      (one) =>
        codeOf(one.reason) !== null &&
        codeOf(one.reason) === codeOf(point.reason) &&
        JSON.stringify(one.tapIds) === JSON.stringify(point.tapIds),
    );
    if (same === undefined) all.push({ ...point, alikeAt: [] });
    else
      same.alikeAt = [...new Set([...same.alikeAt!, ...point.settings])]
        .filter((setting) => !same.settings.includes(setting))
        .sort((a, b) => a - b);
  }
  return all;
}

/** What a doubt says already needs no second line. */
function isDoubted({ doubts = [] }: Results, tapId: string): boolean {
  return doubts.some(({ kind, tapIds }) => kind === 'take' && tapIds.includes(tapId));
}

/** Whether a take that is to be recorded again keeps the dash open, and no doubt says why. */
function isMissing({ checks, doubts = [] }: Results, tapId: string, setting: number | null): boolean {
  return (
    setting !== null &&
    (checks?.missing ?? []).some((one) => one.tapId === tapId && one.settings.includes(setting)) &&
    !doubts.some((doubt) => touches(doubt, { tapId, setting }))
  );
}

function sideNoted({ session }: Results, tapId: string): string {
  return session.taps.find(({ id }) => id === tapId)?.side ?? 'unknown';
}

function pointText(
  results: Results,
  { reason, tapIds, settings, alikeAt = [] }: OpenPoint,
  label: TapLabel,
): string {
  const on = tapIds.length === 0 ? '' : `On ${outputsText(results, tapIds, label)}`;
  const names = typeof reason !== 'string' && ('settings' in reason || 'tapIds' in reason);
  const at = settings.length === 0 || names ? '' : `${on === '' ? 'At' : ' at'} ${ofSettings(settings)}`;
  const where = `${on}${at}`;
  const alike = alikeAt.length === 0 ? '' : ` Much the same at ${ofSettings(alikeAt)}.`;
  const said = asClause(reason);
  const point = `${where === '' ? capitalised(said) : `${where}: ${said}`}${said.endsWith('?') ? '' : '.'}`;
  return `${point}${alike}`;
}
