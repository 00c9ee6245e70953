import type { RecommendationOf } from '../../model/recommendation.ts';
import { fixed, listed, plainHz } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import type { RecommendationWords } from './recommendation-words.ts';
import { type Statement, type TapLabel, told } from './statement.ts';

type Protection = RecommendationOf<'protection'>;
type RadioSounds = RecommendationOf<'radio-sounds'>;

/** The caution stands at the step: a tweeter does not live through a bass tone. */
export function protectionWords(item: Protection, tapLabel: TapLabel): RecommendationWords {
  const taps = listed(item.tapIds.map(tapLabel));
  const { cornerHz, slopeDbPerOctave } = item.radioHighPass;
  const slope = slopeDbPerOctave === null ? '' : `, ${fixed(slopeDbPerOctave, 0)} dB an octave`;
  const action = protectionAction(item, taps);
  const check = say`Tweeters last. With them off, read a tone at ${plainHz(cornerHz / 2)} and one at ${plainHz(cornerHz * 2)} at their wires: the lower must read 12 dB less (a quarter of the volts) or more.`;
  return {
    title: `Tweeter protection: ${item.output}`,
    statements: [
      action,
      told(
        say`So far the radio kept everything below ${plainHz(cornerHz)}${slope} from ${taps}; the summed channel does not.`,
      ),
      told(check),
      ...(item.factorySpeakerLosesFeed
        ? [told(say`The factory speaker on ${taps} loses its feed: it no longer plays from the radio.`)]
        : []),
      ...(item.parallelOhms === null
        ? []
        : [
            told(say`Door and tweeter in parallel load the channel with ${fixed(item.parallelOhms, 1)} ohm.`),
          ]),
    ],
    step: {
      where: `Tweeter protection: ${item.output}`,
      setTo: action.sentence,
      check,
      told: action.told,
    },
  };
}

function protectionAction(item: Protection, taps: string): Statement {
  switch (item.answer) {
    case 'crossover':
      return told(
        say`Connect the ${item.output} channels to the passive crossover of the speakers, never straight to a tweeter.`,
      );
    case 'own channel':
      return told(say`Give the tweeters ${ownChannel(item)}.`);
    case 'capacitor':
      return told(
        say`Give the tweeters ${ownChannel(item)}; the capacitor before them is a last protection, no crossover.`,
      );
    case 'ask': {
      const { ohms, microfarads } = item.capacitor;
      return {
        told: false,
        sentence: say`Find out how door and tweeter are wired, and choose before anything is connected: speakers with a passive crossover of their own take the channel; or the tweeters get ${ownChannel(item)}; or ${taps} stay with the radio's amplifier and the doors alone are fed. At the very least ${fixed(microfarads, 1)} µF in series with a tweeter of ${fixed(ohms, 0)} ohm.`,
      };
    }
  }
}

function ownChannel({ highPass }: Protection): string {
  const { notBelowHz, leastSlopeDbPerOctave, slopeDbPerOctave, gainToneHz } = highPass;
  return `a channel of their own, high-pass at ${plainHz(notBelowHz)} or above, ${leastSlopeDbPerOctave} or better ${slopeDbPerOctave} dB an octave, gain set at low level with ${plainHz(gainToneHz)} or more, never with 100 Hz`;
}

export function radioSoundsWords(item: RadioSounds, tapLabel: TapLabel): RecommendationWords {
  const title = item.sound === 'announcements' ? 'Chimes and prompts' : 'Cancelling and engine sound';
  const action = soundsAction(item, tapLabel);
  const carried = listed(item.tapIds.map(tapLabel));
  return {
    title,
    statements: [told(action), told(say`They are on ${carried}.`)],
    step:
      item.action === 'nothing'
        ? null
        : {
            where: title,
            setTo: action,
            check:
              item.sound === 'announcements'
                ? say`Door open, ignition on: listen to the chime at the loudness that the customer uses.`
                : say`Engine running in open air, volume at zero: nothing booms.`,
            told: true,
          },
  };
}

function soundsAction({ action, inUse, instead }: RadioSounds, tapLabel: TapLabel): Sentence {
  switch (action) {
    case 'nothing':
      return say`The outputs in use do not carry them: they stay with the radio's own amplifier.`;
    case 'feed from others': {
      const swaps = instead.map(({ tapId, byTapId }) => `${tapLabel(byTapId)} instead of ${tapLabel(tapId)}`);
      return say`Feed from ${listed(swaps)}: the same band without them.`;
    }
    case 'louder':
      return say`Tell the customer that they become louder through ${listed(inUse.map(tapLabel))}; or leave that output with the radio and take the sound elsewhere.`;
    case 'settle first':
      return say`Before a subwoofer plays, settle them by the maker's procedure (microphones unplugged or the function coded out), or it booms.`;
  }
}
