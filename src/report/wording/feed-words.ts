import { ended } from '../../model/ended.ts';
import { codeOf } from '../../model/reason.ts';
import type { FeedTap, Flatness, RecommendationOf } from '../../model/recommendation.ts';
import { listed } from '../../words/figures.ts';
import {
  fixed,
  formatDelay,
  formatSetting,
  LEAST_SHOWN_DB,
  plainDb,
  plainHz,
  significant,
} from '../format.ts';
import { joined, type Sentence, say, volts } from '../sentence.ts';
import { TURN_ON } from './install-words.ts';
import type { RecommendationWords, Step } from './statement.ts';
import {
  asClause,
  capitalised,
  known,
  measuredOr,
  notKnown,
  type Statement,
  type TapLabel,
} from './statement.ts';

type Order = RecommendationOf<'order'>;
type Feed = RecommendationOf<'feed'>;

/** "front left", "subwoofer": what a feed is called. */
export function feedName({ output, side }: { output: string; side: string }): string {
  return side === 'both' ? output : `${output} ${side}`;
}

/** A part without restoration is bought for no loss that nobody knows yet. */
export function waitsForBass({ reasons }: Order): boolean {
  return reasons.some((reason) => codeOf(reason) === 'loss not known yet');
}

export function orderWords(order: Order): RecommendationWords {
  const title = 'What to order';
  if (order.nothingToOrder) {
    return {
      title,
      statements: [
        known(say`Order nothing for the signal path.`),
        ...straightStatements(order),
        ...(order.level === 'line' ? [] : [known(say`${ended(capitalised(asClause(order.load)))}`)]),
        ...givenStatements(order),
      ],
      step: null,
    };
  }
  const abilities = [
    `${order.inputs} ${order.level ?? 'speaker'}-level ${order.inputs === 1 ? 'input' : 'inputs'}`,
    ...(order.summing ? ['summing'] : []),
    ...(order.delay ? ['delay on each input'] : []),
    ...(order.restorationDb > 0 ? [`${plainDb(order.restorationDb)} of bass restoration`] : []),
    `turn-on by ${TURN_ON[order.turnOn]}`,
  ];
  return {
    title,
    statements: [
      known(
        waitsForBass(order)
          ? say`Order no converter yet: how much bass the radio takes decides which. It needs ${listed(abilities)} in any case.`
          : say`Order a converter of the class "${order.converterClass}": ${listed(abilities)}.`,
      ),
      measuredOr({
        what: 'the volts that its inputs must stand',
        answer: order.inputRatingVoltsRms,
        sentence: ({ value, plusMinus }) =>
          say`Its inputs must stand ${volts(value, plusMinus)}, margin included.`,
      }),
      measuredOr({
        what: 'the most that an output gives',
        answer: order.worstInputVoltsRms,
        sentence: ({ value, plusMinus }) =>
          say`However far it is turned up, an output gives at most ${volts(value, plusMinus)}.`,
      }),
      ...straightStatements(order),
      known(say`${ended(capitalised(asClause(order.load)))}`),
      ...givenStatements(order),
    ].filter(({ sentence }) => sentence.length > 0),
    step: null,
  };
}

/** A converter would only add noise to these. */
function straightStatements({ straight = [] }: Order): Statement[] {
  return (['line', 'speaker'] as const).flatMap((into) => {
    const outputs = straight.filter((feed) => feed.into === into).map(({ output }) => output);
    return outputs.length === 0
      ? []
      : [
          known(
            say`Run the ${listed(outputs)} ${outputs.length === 1 ? 'feed' : 'feeds'} straight into the ${into === 'line' ? 'line' : 'speaker-level'} inputs of the amplifier.`,
          ),
        ];
  });
}

export function feedWords(feed: Feed, tapLabel: TapLabel): RecommendationWords {
  const name = feedName(feed);
  const taps = listed(feed.taps.map((tap) => feedTapText(tap, tapLabel)));
  const action = feedAction(feed, taps);
  const step: Step = {
    where: `Wiring: ${name}`,
    setTo: joined([action, ...connectionStatements(feed, tapLabel).map(({ sentence }) => sentence)]),
    check: feedCheck(feed),
    known: feed.unknownTiming === null,
  };
  return {
    title: 'Feed',
    of: name,
    statements: [
      known(action),
      ...connectionStatements(feed, tapLabel),
      ...leftStatements(feed, tapLabel),
      ...flatnessStatements(feed),
      ...timingStatements(feed),
      ...costStatements(feed, tapLabel),
    ],
    step,
  };
}

function feedAction({ summed, taps }: Feed, names: string): Sentence {
  if (summed) return say`Sum ${names}.`;
  return taps.length === 1 ? say`Use ${names} alone.` : say`Use ${names}: the amplifier adds left and right.`;
}

function feedCheck({ programmes, summed }: Feed): Sentence {
  if (programmes === null) return say`Record the outputs together first.`;
  return summed ? say`See the picture of the sum.` : say`It sounds as it was recorded.`;
}

/** What goes on playing from the radio beside the amplifier has a volume law of its own. */
function leftStatements({ leftWithRadio = [] }: Feed, tapLabel: TapLabel): Statement[] {
  if (leftWithRadio.length === 0) return [];
  return [
    known(
      say`${capitalised(listed(leftWithRadio.map(tapLabel)))} stays with the radio's own amplifier: match the levels at the usual setting.`,
    ),
  ];
}

/** How a hand connects what is crossed, and what to look at before a factory speaker is. */
function connectionStatements({ connections = [], output }: Feed, tapLabel: TapLabel): Statement[] {
  return connections.flatMap(({ tapId, cross, plusTo, minusTo, lookAtCone }) => {
    const crossing = cross ? [known(say`Cross ${tapLabel(tapId)}: ${terminals({ plusTo, minusTo })}.`)] : [];
    const cone =
      lookAtCone && output !== 'subwoofer'
        ? [
            known(
              say`Touch a 1.5 V cell to the factory speakers first, plus to plus: both cones must push the same way. If ${tapLabel(tapId)} does not, leave it uncrossed: the factory crossed the speaker, too.`,
            ),
          ]
        : [];
    return [...crossing, ...cone];
  });
}

function terminals({ plusTo, minusTo }: { plusTo: string | null; minusTo: string | null }): string {
  return `plus to ${plusTo ?? "the output's minus wire"}, minus to ${minusTo ?? "the output's plus wire"}`;
}

export function padWords(pad: RecommendationOf<'pad'>, tapLabel: TapLabel): RecommendationWords {
  const parts = say`${ohms(pad.seriesOhms)} in series (${fixed(pad.seriesRatingWatts, 2)} W) and ${ohms(pad.shuntOhms)} across (${fixed(pad.shuntRatingWatts, 2)} W)`;
  const taps = listed(pad.tapIds.map(tapLabel));
  return {
    title: 'Pad before an input',
    statements: [
      known(
        say`Put ${parts} at ${taps}: it takes ${plainDb(pad.lossDb)} and leaves ${volts(pad.outputVoltsRms)}.`,
      ),
      known(
        say`The resistors turn ${significant(pad.seriesWatts, 2)} W and ${significant(pad.shuntWatts, 2)} W into heat. The radio sees ${ohms(pad.loadOnRadioOhms)}.`,
      ),
    ],
    step: {
      where: `Pad: ${taps}`,
      setTo: say`${parts}.`,
      check: say`${volts(pad.outputVoltsRms)} behind it at most.`,
      known: true,
    },
  };
}

/** "door left (inverted, −2.0 dB, delayed by 100 µs)". */
export function feedTapText({ tapId, polarity, trimDb, delaySeconds }: FeedTap, tapLabel: TapLabel): string {
  const changes = [
    ...(polarity === 'inverted' ? ['inverted'] : []),
    ...(trimDb === 0 ? [] : [plainDb(trimDb)]),
    ...(delaySeconds === 0 ? [] : [`delayed by ${formatDelay({ value: delaySeconds, plusMinus: 0 })}`]),
  ];
  return changes.length === 0 ? tapLabel(tapId) : `${tapLabel(tapId)} (${changes.join(', ')})`;
}

function givenStatements({ given }: Order): Statement[] {
  if (given === null) return [];
  if (given.shortfalls.length === 0) return [known(say`Your ${given.name} does it.`)];
  return [known(say`Your ${given.name} falls short: ${listed(given.shortfalls.map(asClause))}.`)];
}

function flatnessStatements({ programmes, side, setting }: Feed): Statement[] {
  if (programmes === null) return [];
  const { rippleDb, bandHz } = programmes[side];
  const band = bandHz === null ? '' : ` from ${plainHz(bandHz[0])} to ${plainHz(bandHz[1])}`;
  return [
    known(
      say`At setting ${formatSetting(setting)} it is even within ${plainDb(Math.max(LEAST_SHOWN_DB, rippleDb))}${band}${dipText(programmes[side])}.`,
    ),
    ...otherDips(programmes, side),
  ];
}

function dipText({ worstDipDb, worstDipHz }: Flatness): string {
  return Math.abs(worstDipDb) < LEAST_SHOWN_DB
    ? ''
    : `; the deepest cancellation is ${plainDb(worstDipDb)} at ${plainHz(worstDipHz)}`;
}

/** A dip that a listener hears as a hole (common practice). */
const AUDIBLE_DIP_DB = -3;

/** What music on one side only loses, where a feed carries both. */
function otherDips(programmes: NonNullable<Feed['programmes']>, side: Feed['side']): Statement[] {
  if (side !== 'both') return [];
  return (['left', 'right'] as const)
    .filter((other) => programmes[other].worstDipDb <= AUDIBLE_DIP_DB)
    .map((other) =>
      known(
        say`With programme on the ${other} alone the deepest cancellation is ${plainDb(programmes[other].worstDipDb)} at ${plainHz(programmes[other].worstDipHz)}.`,
      ),
    );
}

function timingStatements({ unknownTiming }: Feed): Statement[] {
  if (unknownTiming === null) return [];
  const { bestDipDb, worstDipDb, atHz, recordNext } = unknownTiming;
  const range = `anything from ${plainDb(bestDipDb)} to ${plainDb(worstDipDb)} at ${plainHz(atHz)} is possible`;
  return [
    notKnown({
      what: 'how these outputs add',
      reason: `they were not recorded together: ${range}`,
      recordNext,
    }),
  ];
}

function costStatements({ lost, separationDb, runnersUp }: Feed, tapLabel: TapLabel): Statement[] {
  const separation =
    separationDb === null
      ? []
      : [known(say`The other side comes through weaker by ${plainDb(separationDb)}.`)];
  const losses = lost.length === 0 ? [] : [known(say`Lost with it: ${listed(lost.map(asClause))}.`)];
  const others = runnersUp.map(({ taps, rippleDb, lostBecause }) =>
    known(
      say`${capitalised(listed(taps.map((tap) => feedTapText(tap, tapLabel))))}: even within ${plainDb(Math.max(LEAST_SHOWN_DB, rippleDb))}; not chosen, because ${asClause(lostBecause)}.`,
    ),
  );
  return [...separation, ...losses, ...others];
}

function ohms(value: number): string {
  return value >= 1000 ? `${significant(value / 1000, 2)} kΩ` : `${significant(value, 2)} Ω`;
}
