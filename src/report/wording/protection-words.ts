import type { RecommendationOf } from '../../model/recommendation.ts';
import { TREBLE_DRIVE_DB_FS } from '../../tones/meter-tone.ts';
import { meterToneName } from '../../tones/stick-files.ts';
import { listed } from '../../words/figures.ts';
import { fixed, plainHz } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import type { RecommendationWords } from './statement.ts';
import { known, type Statement, type TapLabel } from './statement.ts';

type Protection = RecommendationOf<'protection'>;
type RadioSounds = RecommendationOf<'radio-sounds'>;

/** The caution stands at the step: a tweeter does not live through a bass tone. */
export function protectionWords(item: Protection, tapLabel: TapLabel): RecommendationWords {
  const taps = listed(item.tapIds.map(tapLabel));
  const { cornerHz, slopeDbPerOctave } = item.radioHighPass;
  const slope = slopeDbPerOctave === null ? '' : `, ${fixed(slopeDbPerOctave, 0)} dB an octave`;
  const action = protectionAction(item, taps);
  const { lowHz, highHz, driveDbFs } = item.proof ?? USUAL_PROOF;
  const [low, high] = [lowHz, highHz].map((toneHz) => meterToneName({ toneHz, driveDbFs }));
  const check = say`Connect the tweeters last. First read ${low} and ${high} at their wires: the lower tone must read a quarter of the volts, or less.`;
  return {
    title: 'Tweeter protection',
    of: item.output,
    statements: [
      action,
      known(
        item.byRadio === false
          ? say`This channel carries bass. Nothing that is noted keeps it from the tweeters.`
          : say`Until now the radio kept everything below ${plainHz(cornerHz)}${slope} from ${taps}. The summed channel does not.`,
      ),
      known(check),
      ...(item.factorySpeakerLosesFeed
        ? [known(say`The factory speaker on ${taps} loses its feed: the radio no longer plays through it.`)]
        : []),
      ...(item.parallelOhms === null
        ? []
        : [known(say`Door and tweeter in parallel are a load of ${fixed(item.parallelOhms, 1)} ohm.`)]),
    ],
    step: {
      where: `Tweeter protection: ${item.output}`,
      setTo: action.sentence,
      check,
      known: action.known,
    },
  };
}

/** For results of older versions. */
const USUAL_PROOF = { lowHz: 997, highHz: 6000, driveDbFs: TREBLE_DRIVE_DB_FS } as const;

function protectionAction(item: Protection, taps: string): Statement {
  switch (item.answer) {
    case 'crossover':
      return known(
        say`Feed the ${item.output} through the crossover of the speakers, never straight into a tweeter.`,
      );
    case 'own channel':
      return known(say`Give the tweeters ${ownChannel(item)}.`);
    case 'capacitor':
      return known(
        say`Give the tweeters ${ownChannel(item)}. The capacitor before them is a last protection, no crossover.`,
      );
    case 'ask': {
      const stay = item.byRadio === false ? '' : ` Or leave ${taps} on the radio and feed the doors alone.`;
      const { ohms, microfarads } = item.capacitor;
      return {
        known: false,
        sentence: say`Find out how door and tweeter are wired, then choose. Speakers with their own passive crossover take the channel. Or give the tweeters ${ownChannel(item)}.${stay} At the very least put ${fixed(microfarads, 1)} µF in series with a ${fixed(ohms, 0)} ohm tweeter.`,
      };
    }
  }
}

function ownChannel({ highPass }: Protection): string {
  const { notBelowHz, leastSlopeDbPerOctave, slopeDbPerOctave, gainToneHz } = highPass;
  return `their own channel, high-pass ${plainHz(notBelowHz)} or higher, ${leastSlopeDbPerOctave} or better ${slopeDbPerOctave} dB an octave. Set its gain with ${meterToneName({ toneHz: gainToneHz, driveDbFs: TREBLE_DRIVE_DB_FS })}, never with 100 Hz`;
}

export function radioSoundsWords(item: RadioSounds, tapLabel: TapLabel): RecommendationWords {
  const title = item.sound === 'announcements' ? 'Chimes and prompts' : 'Cancelling and engine sound';
  const action = soundsAction(item, tapLabel);
  const carried = listed(item.tapIds.map(tapLabel));
  return {
    title,
    statements: [known(action), known(say`They are on ${carried}.`)],
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
            known: true,
          },
  };
}

function soundsAction({ action, inUse, instead }: RadioSounds, tapLabel: TapLabel): Sentence {
  switch (action) {
    case 'nothing':
      return say`The outputs in use do not carry them: they stay on the radio's own amplifier.`;
    case 'feed from others': {
      const swaps = instead.map(({ tapId, byTapId }) => `${tapLabel(byTapId)} instead of ${tapLabel(tapId)}`);
      return say`They get louder through the outputs of the wiring plan. If the customer minds, feed both sides from the place without them: ${listed(swaps)}, the same band.`;
    }
    case 'louder':
      return say`Tell the customer that they get louder through ${listed(inUse.map(tapLabel))}. Or leave that output on the radio and take the music from another.`;
    case 'settle first':
      return say`Settle them by the maker's procedure before a subwoofer plays: unplug the microphones or code the function out. Else it booms.`;
  }
}
