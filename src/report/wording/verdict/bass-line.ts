import { BASS_FREQUENCIES_HZ, type FindingOf, findingsOf } from '../../../model/finding.ts';
import { isNotMeasurable } from '../../../model/measured.ts';
import { recommendationsOf } from '../../../model/recommendation.ts';
import type { Results } from '../../../model/results.ts';
import { formatSetting, plainHz, roundDb, significant } from '../../format.ts';
import { say } from '../../sentence.ts';
import { carriesNoBass } from '../bass-words.ts';
import { outputNames } from '../output-names.ts';
import { LEAST_RESTORED_DB } from '../restoration-words.ts';
import { asClause, capitalised, type TapLabel } from '../statement.ts';
import { because, idsOf, type VerdictLine } from './verdict-line.ts';

/** Whether the radio cuts the bass, from where, by how much, and what to restore. */
export function bassLine(results: Results, label: TapLabel): VerdictLine {
  const changes = findingsOf(results.findings, 'bass-change');
  const falls = changes.filter(({ verdict }) => verdict === 'falls with volume');
  const steady = changes.filter(({ verdict }) => verdict === 'steady');
  const limiters = findingsOf(results.findings, 'bass-limiter');
  const line = (text: string, known: boolean, ids: readonly { id: string }[]): VerdictLine => ({
    name: 'Bass',
    sentence: say`${text}`,
    known,
    evidenceIds: idsOf(ids),
  });
  const none = because(results, 'no bass at any output');
  if (none !== undefined)
    return line(`No output carries it: the lowest starts at ${plainHz(none.fromHz)}.`, true, changes);
  if (falls.length > 0) {
    const held = limiters.length === 0 ? '' : `, and ${limiterClause(results, limiters, label)}`;
    return line(`${fallClause(results, falls, label)}${held}${restoreClause(results)}.`, true, [
      ...falls,
      ...limiters,
      ...recommendationsOf(results.recommendations, 'restoration'),
    ]);
  }
  if (limiters.length > 0) {
    const steadily = steady.length === 0 ? '' : 'The radio does not cut it, but ';
    return line(`${capitalised(`${steadily}${limiterClause(results, limiters, label)}`)}.`, true, [
      ...limiters,
      ...steady,
    ]);
  }
  const unclear = changes.filter((one) => one.verdict === 'cannot be told' && !carriesNoBass(one));
  if (steady.length > 0 && unclear.length === 0) return line('The radio does not cut it.', true, steady);
  if (steady.length > 0) {
    const [known, open] = [steady, unclear].map((some) => outputNames(results, ids(some), label));
    const why = unclear[0].reason === null ? NO_TAKE : asClause(unclear[0].reason);
    return line(`The radio does not cut it on ${known}. Not known on ${open}: ${why}.`, false, [
      ...steady,
      ...unclear,
    ]);
  }
  const reason = changes.find((one) => one.reason !== null)?.reason ?? null;
  return line(
    `Not known whether the radio cuts it: ${reason === null ? NO_TAKE : asClause(reason)}.`,
    false,
    changes,
  );
}

const NO_TAKE = 'no take shows it';

/** "a limiter holds it at 1.5 V from about 12 up, 4 W of 75 W, and boosting cannot undo it" */
function limiterClause(
  results: Results,
  limiters: readonly FindingOf<'bass-limiter'>[],
  label: TapLabel,
): string {
  const held = because(results, 'bass held by the limiter');
  const where =
    ids(limiters).length === results.session.taps.length
      ? ''
      : ` on ${outputNames(results, ids(limiters), label)}`;
  const volts = held?.thresholdVolts == null ? '' : ` at ${significant(held.thresholdVolts, 2)} V`;
  const from =
    held?.fromSetting == null ? '' : ` from about ${formatSetting(Math.round(held.fromSetting))} up`;
  const watts =
    held?.watts == null
      ? ''
      : ` (${significant(held.watts, 1)} W${held.fullWatts === null ? '' : ` of ${significant(held.fullWatts, 2)} W`})`;
  return `a limiter holds it${where}${volts}${from}${watts}: boosting cannot undo that`;
}

function fallClause(results: Results, falls: readonly FindingOf<'bass-change'>[], label: TapLabel): string {
  const worst = falls.reduce((most, one) => (lossAtTop(one).db > lossAtTop(most).db ? one : most));
  const { db, setting } = lossAtTop(worst);
  const carrying = findingsOf(results.findings, 'bass-change').filter(
    ({ verdict }) => verdict !== 'cannot be told',
  );
  const where =
    ids(falls).length === ids(carrying).length ? '' : ` on ${outputNames(results, ids(falls), label)}`;
  const onsets = falls.flatMap(({ onset }) => (onset === null ? [] : [onset.midpoint]));
  const from =
    onsets.length === 0
      ? ' as you turn it up'
      : ` from about ${formatSetting(Math.round(Math.min(...onsets)))}`;
  const size = worst.atLeast === undefined ? roundDb(db) : `at least ${roundDb(Math.floor(db))}`;
  const loss = db === 0 ? '' : `, by ${size} at ${formatSetting(setting)}`;
  return `The radio cuts it${where}${from}${loss}`;
}

/** The deepest of the frequencies at which a loss is stated, at the highest setting at which it is known. */
function lossAtTop({ changes }: FindingOf<'bass-change'>): { db: number; hz: number; setting: number } {
  const known = changes.flatMap(({ setting, changeDb }) => {
    const i = changeDb.findIndex((change) => !isNotMeasurable(change));
    const change = changeDb[i];
    return change === undefined || isNotMeasurable(change)
      ? []
      : [{ setting, db: -change.value, hz: BASS_FREQUENCIES_HZ[i] }];
  });
  return known.reduce((top, one) => (one.setting > top.setting ? one : top), {
    db: 0,
    hz: BASS_FREQUENCIES_HZ[0],
    setting: 0,
  });
}

function restoreClause({ recommendations }: Results): string {
  const [item] = recommendationsOf(recommendations, 'restoration');
  if (item === undefined) return '';
  switch (item.verdict) {
    case 'none needed':
      return '; nothing needs restoring';
    case 'cannot be told':
      return '; how much to restore is not known yet';
    case 'restore': {
      if (item.waits === true) return '; how much to restore is not known yet';
      if (item.amountDb < LEAST_RESTORED_DB) return '; your converter restores none of it';
      if (item.sameAtEverySetting === true)
        return `; your converter gives one boost at every setting: ${roundDb(item.amountDb)}, half of it`;
      const at = item.toSetting === null ? '' : ` at ${formatSetting(item.toSetting)}`;
      const most = item.limitedBy === 'the converter' ? ', the most that your converter gives' : '';
      return `; restore ${roundDb(item.amountDb)}${at}${most}`;
    }
  }
}

function ids(findings: readonly { tapIds: readonly string[] }[]): string[] {
  return [...new Set(findings.flatMap(({ tapIds }) => tapIds))];
}
