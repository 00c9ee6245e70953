import type { RecommendationOf } from '../../model/recommendation.ts';
import { fixed, LEAST_SHOWN_DB, listed, plainDb, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { feedName } from './feed-words.ts';
import type { RecommendationWords } from './recommendation-words.ts';
import { asClause, measuredOr, type Statement, told, untold } from './statement.ts';

export function filterWords(item: RecommendationOf<'filter'>): RecommendationWords {
  const setting = say`${plainHz(item.cornerHz)}, ${fixed(item.slopeDbPerOctave, 0)} dB an octave.`;
  return {
    title: `${item.type === 'high-pass' ? 'High-pass' : 'Low-pass'}: ${item.output}`,
    statements: [
      told(say`Set the ${item.type} of the ${item.output} to ${setting}`),
      ...(item.shortfall === null
        ? []
        : [told(say`The amplifier given falls short: ${asClause(item.shortfall)}.`)]),
    ],
    step: {
      where: `${item.type === 'high-pass' ? 'High-pass' : 'Low-pass'}: ${item.output}`,
      setTo: setting,
      check: say`A tone at ${plainHz(item.cornerHz)} reads 3 dB (Linkwitz-Riley: 6 dB) lower than one well inside the band.`,
      told: true,
    },
  };
}

export function equalizerWords(item: RecommendationOf<'equalizer'>): RecommendationWords {
  const name = feedName(item);
  const bands = item.bands.map(
    ({ frequencyHz, gainDb, q }) => `${plainDb(gainDb)} at ${plainHz(frequencyHz)}, Q ${fixed(q, 1)}`,
  );
  return {
    title: `EQ that undoes the radio's own: ${name}`,
    statements: [
      told(say`In a processor, set ${listed(bands)}.`),
      told(
        say`The response is then even within ${plainDb(Math.max(LEAST_SHOWN_DB, item.rippleAfterDb))} instead of ${plainDb(item.rippleBeforeDb)}.`,
      ),
    ],
    step: {
      where: `EQ: ${name}`,
      setTo: say`${bands.join('; ')}.`,
      check: say`Record again and compare.`,
      told: true,
    },
  };
}

export function bassReachWords(item: RecommendationOf<'bass-reach'>): RecommendationWords {
  const felt = item.felt
    ? 'It moves enough air to be felt as well as heard.'
    : 'It fills in the sound and no more: what is felt in the chest needs more cone area or travel.';
  const limits = item.limits.map(
    ({ frequencyHz, travelLimitedDb }) => `${plainDb(travelLimitedDb)} at ${plainHz(frequencyHz)}`,
  );
  return {
    title: `What the woofer can do: ${item.woofer}`,
    statements: [
      told(
        say`It reaches ${fixed(item.targetDb, 0)} dB (1 m, half space, without the cabin's gain) down to ${plainHz(item.lowestHzAtTarget)}. ${felt}`,
      ),
      ...boxStatement(item.box),
      ...(limits.length === 0 ? [] : [told(say`Limited by travel: ${listed(limits)}.`)]),
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
      told(
        say`At ${plainHz(item.handOverHz)} the subwoofer is ${plainDb(item.levelSubwooferAgainstMainsDb)} against the mains.`,
      ),
      measuredOr({
        what: 'The phase between them',
        answer: item.phaseDegrees,
        sentence: ({ value, plusMinus }) =>
          say`They are ${fixed(value, 0)} ± ${fixed(plusMinus, 0)} degrees apart there.`,
      }),
    ],
    step: {
      where: 'Subwoofer polarity',
      setTo: say`${item.polarity === 'cannot be told' ? 'Cannot be told yet.' : `${item.polarity}.`}`,
      check: say`The louder of the two at ${plainHz(item.handOverHz)} at the seat.`,
      told: item.polarity !== 'cannot be told',
    },
  };
}

function seatPolarity(polarity: RecommendationOf<'seat'>['polarity'], gain: string): Statement {
  switch (polarity) {
    case 'as wired':
      return told(say`Leave the subwoofer's polarity as wired.${gain}`);
    case 'inverted':
      return told(say`Invert the subwoofer.${gain}`);
    case 'no difference':
      return told(say`The subwoofer's polarity makes no difference.${gain}`);
    case 'cannot be told':
      return untold({
        what: "The subwoofer's polarity at the seat",
        reason: 'the takes leave both answers open',
      });
  }
}

function boxStatement(box: RecommendationOf<'bass-reach'>['box']): Statement[] {
  if (box === null) return [];
  const { resonanceHz, q, minus3Hz, peakDb } = box;
  return [
    told(
      say`In its box it resonates at ${plainHz(resonanceHz)} with Q ${fixed(q, 2)}: 3 dB down at ${plainHz(minus3Hz)}, peak ${plainDb(peakDb)}.`,
    ),
  ];
}
