import { BASS_FREQUENCIES_HZ, type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, listed, plainHz, roundDb, significant } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import { notSettledWords } from './not-settled-words.ts';
import { outputNames, outputsText } from './output-names.ts';
import { asClause, capitalised, settingsText, type TapLabel } from './statement.ts';

/** One line of the verdict: a decision, rounded as one would say it. */
export interface VerdictLine {
  readonly name: string;
  readonly sentence: Sentence;
  readonly told: boolean;
  /** Findings and recommendations with the exact figures. */
  readonly evidenceIds: readonly string[];
}

/** What to do with this radio, in at most seven lines: what is not settled, bass, outputs, volume, what to order, what comes first. */
export function verdictLines(results: Results, label: TapLabel): VerdictLine[] {
  const open = notSettledWords(results, label);
  return [
    ...(open === null ? [] : [{ name: 'Not settled', told: false, ...open }]),
    bassLine(results, label),
    outputsLine(results, label),
    volumeLine(results, label),
    ...orderLine(results),
    ...firstLine(results, label),
  ];
}

/** "Do it, with limits": null where no chain was solved. */
export function verdictTitle(results: Results): { title: string; because: Sentence } | null {
  const { chain } = results;
  if (chain === undefined) return null;
  const isSettled = notSettledWords(results, (tapId) => tapId) === null;
  const titles = {
    'do it': isSettled ? 'Do it.' : 'Do it, once the first line is settled.',
    'do it with limits': isSettled
      ? 'Do it, with limits.'
      : 'Do it with limits, once the first line is settled.',
    'not like this': 'Not like this.',
  } as const;
  const because = chain.because.slice(0, MOST_REASONS).map((reason) => `${capitalised(asClause(reason))}.`);
  return { title: titles[chain.verdict], because: say`${because.join(' ')}` };
}

/** More than two reasons are no verdict; the others stand with the advice. */
const MOST_REASONS = 2;

function bassLine(results: Results, label: TapLabel): VerdictLine {
  const changes = findingsOf(results.findings, 'bass-change');
  const falls = changes.filter(({ verdict }) => verdict === 'falls with volume');
  const steady = changes.filter(({ verdict }) => verdict === 'steady');
  const limiters = findingsOf(results.findings, 'bass-limiter');
  const name = 'Bass';
  const held =
    limiters.length === 0
      ? ''
      : ` A limiter holds the bass on ${outputsText(results, tapsOf(limiters), label)}: boosting cannot undo it.`;
  if (falls.length > 0) {
    return {
      name,
      sentence: say`${fallSentence(results, falls, label)}${held} ${restoreSentence(results)}`,
      told: true,
      evidenceIds: idsOf([
        ...falls,
        ...limiters,
        ...recommendationsOf(results.recommendations, 'restoration'),
      ]),
    };
  }
  if (limiters.length > 0 || steady.length > 0) {
    const stays = steady.length === 0 ? '' : `The radio does not cut the bass as you turn it up.`;
    return {
      name,
      sentence: say`${`${stays}${held}`.trim()}`,
      told: true,
      evidenceIds: idsOf([...steady, ...limiters]),
    };
  }
  const reason = changes.find((one) => one.reason !== null)?.reason ?? 'no take shows it';
  return {
    name,
    sentence: say`Whether the radio cuts the bass is not known: ${asClause(reason)}.`,
    told: false,
    evidenceIds: idsOf(changes),
  };
}

function fallSentence(
  results: Results,
  falls: readonly FindingOf<'bass-change'>[],
  label: TapLabel,
): Sentence {
  const worst = falls.reduce((most, one) => (lossAtTop(one).db > lossAtTop(most).db ? one : most));
  const { db, hz, setting } = lossAtTop(worst);
  const ids = tapsOf(falls);
  const carrying = findingsOf(results.findings, 'bass-change').filter(
    ({ verdict }) => verdict !== 'cannot be told',
  );
  const where = ids.length === tapsOf(carrying).length ? '' : ` on ${outputsText(results, ids, label)}`;
  const starts =
    worst.onset === null
      ? `The radio cuts bass as you turn it up${where}`
      : `The radio starts cutting bass at about ${formatSetting(Math.round(worst.onset.midpoint))}${where}`;
  return db === 0
    ? say`${starts}.`
    : say`${starts}: by ${formatSetting(setting)} it takes ${roundDb(db)} at ${plainHz(hz)}.`;
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

function restoreSentence({ recommendations }: Results): string {
  const [item] = recommendationsOf(recommendations, 'restoration');
  if (item === undefined) return '';
  switch (item.verdict) {
    case 'none needed':
      return 'Nothing needs restoring.';
    case 'cannot be told':
      return 'How much to restore is not known yet.';
    case 'restore': {
      const from = item.fromSetting === null ? '' : ` above ${formatSetting(item.fromSetting)}`;
      return `For the subwoofer${from}, restore ${roundDb(item.amountDb)} at ${plainHz(item.atHz)}.`;
    }
  }
}

function outputsLine(results: Results, label: TapLabel): VerdictLine {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const sources = outputs.map((output) => {
    const own = feeds.filter((feed) => feed.output === output);
    const ids = own.flatMap(({ taps }) => taps.map(({ tapId }) => tapId));
    const summed = own.some((feed) => feed.summed) ? ', summed' : '';
    return { output, source: `${outputNames(results, ids, label)}${summed}` };
  });
  const sentences = [...new Set(sources.map(({ source }) => source))].map((source) => {
    const fed = sources.filter((one) => one.source === source).map(({ output }) => output);
    return `${capitalised(listed(fed))} from ${source}.`;
  });
  const swapped = [
    ...new Set(
      feeds.flatMap(({ taps }) =>
        taps.flatMap(({ tapId, polarity }) => (polarity === 'inverted' ? [label(tapId)] : [])),
      ),
    ),
  ];
  const swap = swapped.length === 0 ? '' : ` Swap plus and minus of ${listed(swapped)}.`;
  const known = feeds.length > 0;
  return {
    name: 'Outputs',
    sentence: known
      ? say`${sentences.join(' ')}${swap}`
      : say`What feeds what is not known: no output carries a band that can be told.`,
    told: known,
    evidenceIds: idsOf(feeds),
  };
}

function volumeLine({ recommendations, chain }: Results, label: TapLabel): VerdictLine {
  const [item] = recommendationsOf(recommendations, 'highest-clean-setting');
  const name = 'Volume';
  if (item === undefined || item.recorded === null) {
    const reason = item?.basis ?? 'no take shows where the radio clips';
    return {
      name,
      sentence: say`How far the volume may go is not known: ${asClause(reason)}.`,
      told: false,
      evidenceIds: idsOf(item === undefined ? [] : [item]),
    };
  }
  const clips =
    item.firstClippingRecorded === null
      ? 'nothing recorded clips'
      : `at ${formatSetting(item.firstClippingRecorded)}${item.limitingTapId === null ? ' it' : ` ${label(item.limitingTapId)}`} clips`;
  const off = chain?.volume.engineOff?.setting ?? null;
  const engine =
    off === null || off === item.recorded ? '' : ` With the engine off, up to ${formatSetting(off)}.`;
  return {
    name,
    sentence: say`Up to ${formatSetting(item.recorded)}: ${clips}.${engine}`,
    told: true,
    evidenceIds: [item.id],
  };
}

function orderLine({ recommendations }: Results): VerdictLine[] {
  return recommendationsOf(recommendations, 'order').map((order) => {
    const volts = isNotMeasurable(order.inputRatingVoltsRms)
      ? ''
      : ` that stand ${significant(order.inputRatingVoltsRms.value, 2)} V`;
    const abilities = [
      `${order.inputs} ${order.inputs === 1 ? 'input' : 'inputs'}${volts}`,
      ...(order.summing ? ['summing'] : []),
      ...(order.delay ? ['delay'] : []),
      ...(order.restorationDb > 0 ? [`${roundDb(order.restorationDb)} of bass restoration`] : []),
    ];
    return {
      name: 'Order',
      sentence: order.nothingToOrder
        ? say`Nothing: the parts on hand do it.`
        : say`A converter with ${listed(abilities)}.`,
      told: true,
      evidenceIds: [order.id],
    };
  });
}

/** What has to be recorded before anything else, or what cannot be done. */
function firstLine(results: Results, label: TapLabel): VerdictLine[] {
  const { recommendations } = results;
  const next = recommendationsOf(recommendations, 'record-next');
  const [item] = [...next.filter(({ blocks }) => blocks), ...next];
  const [limit] = recommendationsOf(recommendations, 'cannot-be-done');
  if (item !== undefined) {
    const taps = item.tapIds.length === 0 ? '' : ` on ${outputsText(results, item.tapIds, label)}`;
    const what = asClause(item.what);
    const at = /\d/.test(what) || item.settings.length === 0 ? '' : ` at ${settingsText(item.settings)}`;
    return [
      {
        name: item.blocks ? 'First' : 'Next',
        sentence: say`Record ${what}${taps}${at}.`,
        told: false,
        evidenceIds: [item.id],
      },
    ];
  }
  if (limit === undefined) return [];
  return [
    {
      name: 'First',
      sentence: say`${capitalised(asClause(limit.wanted))} cannot be done: ${asClause(limit.bindingLimit)}.`,
      told: false,
      evidenceIds: [limit.id],
    },
  ];
}

function tapsOf(findings: readonly { tapIds: readonly string[] }[]): string[] {
  return [...new Set(findings.flatMap(({ tapIds }) => tapIds))];
}

function idsOf(items: readonly { id: string }[]): string[] {
  return items.map(({ id }) => id);
}
