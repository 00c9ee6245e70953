import type { HandOverSum } from '../../model/recommendation/tuning.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import { listed } from '../../words/figures.ts';
import { fixed, LEAST_SHOWN_DB, plainDb, plainHz } from '../format.ts';
import { joined, type Sentence, say } from '../sentence.ts';
import { feedName } from './feed-words.ts';
import type { RecommendationWords } from './statement.ts';
import { asClause, capitalised, known, measuredOr, notKnown, type Statement } from './statement.ts';

export function filterWords(item: RecommendationOf<'filter'>): RecommendationWords {
  const name = item.type === 'high-pass' ? 'High-pass' : 'Low-pass';
  const slope = item.slopeKnown === false ? '' : `, ${fixed(item.slopeDbPerOctave, 0)} dB an octave`;
  const filter = `${plainHz(item.cornerHz)}${slope}`;
  const where = `${name}: ${item.output}`;
  const start = item.handOver === undefined ? [] : [startPolarity(item.handOver)];
  if (item.state === 'open') {
    const open = say`Leave open: the radio filters at ${filter}.`;
    return {
      title: name,
      of: item.output,
      statements: [
        known(say`Leave the amplifier's ${item.type} open: the radio filters at ${filter}.`),
        ...priceStatement(item.price),
        ...start,
      ],
      step: {
        where,
        setTo: joined([open, ...shortStart(item.handOver)]),
        check: say`Switching the amplifier's filter off and on changes the reading at ${plainHz(item.cornerHz)}: it stays off.`,
        known: true,
      },
    };
  }
  return {
    title: name,
    of: item.output,
    statements: [
      known(say`Set it to ${filter}.`),
      ...(item.shortfall === null
        ? []
        : [known(say`Your amplifier falls short: ${asClause(item.shortfall)}.`)]),
      ...start,
    ],
    step: {
      where,
      setTo: joined([say`${filter}.`, ...shortStart(item.handOver)]),
      check: say`At ${plainHz(item.cornerHz)} the meter reads 3 dB less than well inside the band (Linkwitz-Riley: 6 dB).`,
      known: true,
    },
  };
}

function priceStatement(price: RecommendationOf<'filter'>['price']): Statement[] {
  if (price === undefined) return [];
  const { atHz, aloneDb, withSecondDb, secondHz, secondSlopeDbPerOctave } = price;
  return [
    known(
      say`A second one at ${plainHz(secondHz)} (Butterworth, ${fixed(secondSlopeDbPerOctave, 0)} dB an octave) would take it from ${plainDb(aloneDb)} to ${plainDb(withSecondDb)} at ${plainHz(atHz)}.`,
    ),
  ];
}

/** Computed from the radio and the filters; the cabin has the last word. */
function startPolarity({ atHz, asWired, inverted, startWith }: HandOverSum): Statement {
  const span = ({ leastDb, mostDb }: HandOverSum['asWired']) => `${plainDb(leastDb)} to ${plainDb(mostDb)}`;
  const sums = `around ${plainHz(atHz)} both add to ${span(asWired)} as wired and ${span(inverted)} inverted`;
  return known(
    startWith === 'either'
      ? say`Start with the subwoofer as wired: ${sums}, neither clearly fuller. Try both, keep the fuller.`
      : say`Start with the subwoofer ${startWith}: ${sums}. Try both, keep the fuller.`,
  );
}

/** The sums stand with the advice. */
function shortStart(sum: HandOverSum | undefined): Sentence[] {
  if (sum === undefined) return [];
  const polarity = sum.startWith === 'either' ? 'as wired' : sum.startWith;
  return [say`Start with the subwoofer ${polarity}. Try both, keep the fuller.`];
}

export function equalizerWords(item: RecommendationOf<'equalizer'>): RecommendationWords {
  const name = feedName(item);
  const bands = item.bands.map(
    ({ shape, frequencyHz, gainDb, q }) =>
      `${shape === undefined || shape === 'peak' ? '' : `${shape} `}${plainDb(gainDb)} at ${plainHz(frequencyHz)}, Q ${fixed(q, 1)}`,
  );
  const headroom =
    (item.headroomDb ?? 0) < LEAST_SHOWN_DB
      ? []
      : [
          known(
            say`Set it before the gains: its boost takes ${plainDb(item.headroomDb!)} of headroom from them.`,
          ),
        ];
  return {
    title: "EQ that undoes the radio's own",
    of: name,
    statements: [
      known(say`In a processor, set ${listed(bands)}.`),
      known(
        say`That brings the unevenness from ${plainDb(item.rippleBeforeDb)} down to ${plainDb(Math.max(LEAST_SHOWN_DB, item.rippleAfterDb))}.`,
      ),
      ...headroom,
    ],
    step: {
      where: `EQ: ${name}`,
      setTo: say`${bands.join('; ')}.`,
      check: say`Record again and compare.`,
      known: true,
    },
  };
}

export function bassReachWords(item: RecommendationOf<'bass-reach'>): RecommendationWords {
  const isWhole = (item.counted ?? 'travel, power and box') === 'travel, power and box';
  const felt = !isWhole
    ? item.counted === 'travel'
      ? 'Its box is not noted: with less power or a small box it ends earlier.'
      : 'In its ported box the cone is free below the tuning: set a high-pass there. What the port adds is not counted.'
    : item.felt
      ? 'It moves enough air to be felt as well as heard.'
      : 'It fills in the sound and no more. To be felt in the chest, bass needs more cone or more travel.';
  const limits = item.limits.map(
    ({ frequencyHz, travelLimitedDb }) => `${plainDb(travelLimitedDb)} at ${plainHz(frequencyHz)}`,
  );
  return {
    title: 'What the woofer can do',
    of: item.woofer,
    statements: [
      known(
        item.reachesTarget === false
          ? say`Outside the car, at 1 m, these watts never make ${fixed(item.targetDb, 0)} dB. ${felt}`
          : say`Outside the car, at 1 m, ${isWhole ? 'it plays' : 'its travel allows'} ${fixed(item.targetDb, 0)} dB down to ${plainHz(item.lowestHzAtTarget)}. ${felt}`,
      ),
      ...boxStatement(item.box),
      ...(limits.length === 0 ? [] : [known(say`Its travel allows ${listed(limits)}.`)]),
    ],
    step: null,
  };
}

export function seatWords(item: RecommendationOf<'seat'>): RecommendationWords {
  const gain =
    item.gainFromInvertingDb === null
      ? ''
      : ` Inverting changes the sum by ${plainDb(item.gainFromInvertingDb)}.`;
  const polarity = seatPolarity(item.polarity, gain);
  return {
    title: 'Subwoofer and mains at the seat',
    statements: [
      polarity,
      known(
        say`At ${plainHz(item.handOverHz)} the subwoofer is ${plainDb(item.levelSubwooferAgainstMainsDb)} against the mains.`,
      ),
      measuredOr({
        what: 'the phase between them',
        answer: item.phaseDegrees,
        sentence: ({ value, plusMinus }) =>
          say`There they are apart by ${fixed(value, 0)} ± ${fixed(plusMinus, 0)} degrees.`,
      }),
    ],
    step: {
      where: 'Subwoofer polarity',
      setTo: say`${item.polarity === 'cannot be told' ? 'Not known yet.' : `${capitalised(item.polarity)}.`}`,
      check: say`At the seat, keep the louder of the two at ${plainHz(item.handOverHz)}.`,
      known: item.polarity !== 'cannot be told',
    },
  };
}

function seatPolarity(polarity: RecommendationOf<'seat'>['polarity'], gain: string): Statement {
  switch (polarity) {
    case 'as wired':
      return known(say`Leave the subwoofer's polarity as wired.${gain}`);
    case 'inverted':
      return known(say`Swap plus and minus of the subwoofer.${gain}`);
    case 'no difference':
      return known(say`The subwoofer's polarity makes no difference.${gain}`);
    case 'cannot be told':
      return notKnown({
        what: "the subwoofer's polarity at the seat",
        reason: 'the takes leave both answers open',
      });
  }
}

function boxStatement(box: RecommendationOf<'bass-reach'>['box']): Statement[] {
  if (box === null) return [];
  const { resonanceHz, q, minus3Hz, peakDb } = box;
  return [
    known(
      say`In its box it resonates at ${plainHz(resonanceHz)} with Q ${fixed(q, 2)}: 3 dB down at ${plainHz(minus3Hz)}, peak ${plainDb(peakDb)}.`,
    ),
  ];
}
