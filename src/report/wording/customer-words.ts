import { type RecommendationOf, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { fixed, formatSetting, significant } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import { outputNames } from './output-names.ts';
import { howLoudFromOthers } from './source-words.ts';
import { capitalised, known, notKnown, type Statement, type TapLabel } from './statement.ts';

/** For the customer, without a technical word where a plain one does. */

export function whatWeDid(results: Results, label: TapLabel): Statement[] {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const restored = recommendationsOf(results.recommendations, 'restoration').some(
    ({ verdict, waits }) => verdict === 'restore' && waits !== true,
  );
  const waits = (output: string) =>
    results.chain?.feeds.some((feed) => feed.output === output && feed.noGains.length > 0) === true;
  if (results.chain?.verdict === 'not like this')
    return [
      {
        sentence: say`Nothing is fitted yet. What we measured shows why, and what would make it possible.`,
        known: false,
      },
    ];
  if (outputs.length === 0) return [notKnown({ what: 'What was done', reason: 'the results hold no plan' })];
  return [
    ...outputs.map((output) => {
      const ids = feeds
        .filter((feed) => feed.output === output)
        .flatMap(({ taps }) => taps.map(({ tapId }) => tapId));
      if (waits(output))
        return {
          sentence: say`${capitalised(output)}: not finished. We set its level after one more measurement.`,
          known: false,
        };
      return known(
        say`${capitalised(output)}: a new amplifier plays what the radio sends to ${outputNames(results, ids, label)}.`,
      );
    }),
    ...(restored
      ? [known(say`Your radio takes bass away as you turn it up. We put it back for the subwoofer.`)]
      : []),
  ];
}

export function howLoud(results: Results): Statement[] {
  const [highest] = recommendationsOf(results.recommendations, 'highest-clean-setting');
  const upTo = volumeUpTo(results);
  if (highest === undefined || upTo === null) {
    return [notKnown({ what: 'The highest clean setting', reason: 'it was not recorded' })];
  }
  const setting = formatSetting(upTo);
  const off = results.chain?.volume.engineOff?.setting ?? null;
  return [
    known(say`Turn the volume up to ${setting}, no higher, when you play from ${results.session.source}.`),
    ...howLoudFromOthers(results),
    known(aboveIt(highest, upTo)),
    ...(off === null || off >= upTo ? [] : [known(say`With the engine off, stop at ${formatSetting(off)}.`)]),
    known(
      say`If it hurts, or your ears ring afterwards, it was too loud. Loud music damages hearing for good.`,
    ),
  ];
}

/** What happens above the setting that the customer is told. */
function aboveIt(
  { recorded, endedBy, firstClippingRecorded }: RecommendationOf<'highest-clean-setting'>,
  upTo: number,
): Sentence {
  const setting = formatSetting(upTo);
  if (upTo !== recorded)
    return endedBy === undefined
      ? say`Above ${setting} the radio takes away more bass than we can put back.`
      : say`Above ${setting} the radio overdrives the amplifier. Distortion can destroy tweeters.`;
  return firstClippingRecorded === null
    ? say`Nobody has tried what happens above ${setting}. Distortion can destroy tweeters.`
    : say`Above ${setting} the radio itself distorts, and that can destroy tweeters.`;
}

export function whatBass({ recommendations, chain }: Results): Statement[] {
  const sub = chain?.feeds.find(({ output }) => output === 'subwoofer');
  if (chain?.verdict === 'not like this' || (sub !== undefined && sub.noGains.length > 0)) return [];
  const held = (chain?.because ?? []).flatMap((reason) =>
    reason.code === 'bass held by the limiter' ? [reason] : [],
  );
  const limiter = held
    .slice(0, 1)
    .map(({ fromSetting }) =>
      known(
        say`Your radio holds the bass back when it plays loud: turned up${fromSetting === null ? '' : ` past about ${formatSetting(Math.round(fromSetting))}`}, the rest gets louder and the bass does not. Nothing behind the radio can change that.`,
      ),
    );
  const reach = recommendationsOf(recommendations, 'bass-reach').map(
    ({ felt, lowestHzAtTarget, counted }) => {
      const lowest = `${significant(lowestHzAtTarget, 2)} Hz`;
      if (counted === 'travel' || counted === 'travel, ported box')
        return known(say`How deep the subwoofer goes depends on its box. Its cone allows about ${lowest}.`);
      return known(
        felt
          ? say`The subwoofer goes deep enough to be felt: down to about ${lowest} at full level.`
          : say`The subwoofer fills in the sound down to about ${lowest}. Shaking the seat takes a larger one.`,
      );
    },
  );
  return [...limiter, ...reach];
}

export function whatStays({ session, recommendations }: Results, label: TapLabel): Statement[] {
  const silent = recommendationsOf(recommendations, 'protection').filter(
    ({ factorySpeakerLosesFeed }) => factorySpeakerLosesFeed,
  );
  const playing = (session.equipment?.speakers ?? []).filter(
    ({ factory, feeds }) => factory && !silent.some(({ output }) => output === feeds),
  );
  return [
    known(
      say`The radio, its screen, camera, prompts and chimes stay as they came. Chimes may be louder than before.`,
    ),
    ...(playing.length === 0
      ? []
      : [known(say`Your factory speakers still play: ${listed(playing.map(({ feeds }) => feeds))}.`)]),
    ...silent.map(({ tapIds }) =>
      known(say`The small factory speakers on ${listed(tapIds.map(label))} no longer play from the radio.`),
    ),
  ];
}

/** The setting that the gains are for; of older results the highest clean one. */
function volumeUpTo({ chain, recommendations }: Results): number | null {
  const [highest] = recommendationsOf(recommendations, 'highest-clean-setting');
  return chain === undefined ? (highest?.recorded ?? null) : chain.volume.setting;
}

/** What a customer notices, and what to do about it. */
export function ifSomethingChanges(results: Results): readonly (readonly [string, string])[] {
  const clean = volumeUpTo(results);
  return [
    [
      'It sounds harsh',
      clean === null
        ? 'Turn it down until it is clean.'
        : `Turn it down to ${formatSetting(clean)} or below.`,
    ],
    ['No bass, or one side silent', 'Check balance and fade. Then bring the car to us.'],
    ['It whines with the engine, or hums', 'Note when it does, and bring the car to us.'],
    ['It cuts out when loud', 'Turn it down and let it cool. Again? Bring the car to us.'],
    ['A new phone, player or radio update', 'Start quiet: it may play louder or softer than before.'],
    ['The battery is flat, or work on the car', 'Tell the workshop about the fuse near the battery.'],
    ['Smoke, smell or a hot wire', 'Switch off, pull the main fuse, and do not drive on it.'],
  ];
}

export function fuseAndWire({ recommendations, session, chain }: Results): Statement[] {
  const supplies = recommendationsOf(recommendations, 'supply');
  const given = session.equipment?.supplyWire?.fuseAmps ?? null;
  const verdict = chain?.supply?.fittedFuse?.verdict ?? 'right';
  // One that does not suit is exchanged before the car leaves.
  const fitted = verdict === 'right' ? given : null;
  return supplies.flatMap(({ currentAmps, fuseAmps, wire }) => {
    const fuse = fitted ?? (chain?.supply == null ? fuseAmps : chain.supply.fuseAmps);
    const drawn = chain?.supply?.fullCurrentAmps ?? currentAmps;
    return [
      known(say`At full power the amplifiers draw ${fixed(drawn, 0)} A.`),
      ...(fuse === null ? [] : [known(say`Replace the main fuse only by the same: ${fixed(fuse, 0)} A.`)]),
      ...(wire === null ? [] : [known(say`Supply wire: ${{ mm2: wire.mm2, awg: wire.nearestAwg }}.`)]),
    ];
  });
}

export function undoSteps(tapped: boolean): readonly string[] {
  return [
    "Disconnect the battery and keep the maker's waiting time. Then take the main fuse out.",
    `${tapped ? 'At each output of the table' : 'At each tapped output'}, take the adapter off and put the factory plug back on. Keep away from airbag plugs, often yellow.`,
    "Take out the added wires and parts, then follow the maker's service information. No setting of the radio has to be undone.",
  ];
}

/** Done before the car leaves (common practice). */
export const LEFT_IN_ORDER = [
  'test stick taken out',
  'sleep current checked',
  'airbag lamp off',
  'camera and chimes work',
] as const;
