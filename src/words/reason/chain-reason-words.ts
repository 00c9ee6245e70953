import type { chainReasons } from '../../model/reason/chain-reasons.ts';
import { amount, hertz, listed, oneDecimal, voltsText, wattsText } from '../figures.ts';
import type { ReasonWords } from './reason-words.ts';

export const chainReasonWords: ReasonWords<keyof typeof chainReasons> = {
  'no setting is clean': ({ settings }) =>
    settings.length === 1
      ? `the only setting recorded, ${settings[0]}, clips: record lower ones`
      : 'every setting that was recorded clips: record lower ones',
  'no clean setting known': () => 'the recordings do not show which setting is clean',
  'clips before the volume control': ({ driveDbFs }) =>
    `the radio clips ahead of its volume control above ${oneDecimal(driveDbFs)} dBFS: turn the player down by ${Math.ceil(-driveDbFs)} dB and record again, or use another source`,
  'no bass at any output': ({ fromHz }) =>
    `no output carries bass (the lowest starts at ${hertz(fromHz)}): the subwoofer needs another source`,
  'loss known as a minimum': ({ db, atHz, from, to }) =>
    `between ${amount(from)} and ${amount(to)} the radio cuts at least ${Math.floor(db)} dB at ${hertz(atHz)}, and it may be more: first record the settings that the sheets name`,
  'no amplifier for the woofer': ({ woofer }) => `no amplifier in the list plays ${woofer}`,
  'bass not judged': ({ tapIds }) => `nobody knows yet what the radio does to the bass on ${listed(tapIds)}`,
  'load below the lowest': ({ amplifier, loadOhms, lowestOhms }) =>
    `${amplifier} is rated for ${amount(lowestOhms)} Ω or more and gets ${amount(loadOhms)} Ω: rewire the load or use another amplifier`,
  'too loud for the first stage': ({ stage, volts, atMostVolts, padDb }) =>
    `the output gives ${voltsText(volts)}, and the ${stage} cannot be turned down below ${voltsText(atMostVolts)}: fit a ${oneDecimal(padDb)} dB pad ahead of it`,
  'volts not known': () => 'the recordings are not calibrated: go by the meter',
  'lowest load not noted': ({ amplifier, loadOhms, ratedOhms }) =>
    `${amplifier} gets ${amount(loadOhms)} Ω and is rated into ${amount(ratedOhms)} Ω: check its plate or rewire the load`,
  'rating not noted': ({ load }) => `check the rating of ${load} before you turn it up`,
  'sensitivity at speaker level not noted': ({ amplifier }) =>
    `look up how far the gain of ${amplifier} goes at its speaker-level inputs`,
  'gain overlap left out': ({ load, loadWatts, amplifierWatts }) =>
    `no gain overlap: ${load} takes ${wattsText(loadWatts)}, the amplifier makes ${wattsText(amplifierWatts)}`,
  'amplifier not filled': ({ amplifier, shortDb, outputVolts }) =>
    `${amplifier} stops ${oneDecimal(shortDb)} dB short of full power, at ${voltsText(outputVolts)}, with its gain fully up`,
  'bass held by the limiter': ({ thresholdVolts, fromSetting, outputVolts, watts, fullWatts }) =>
    [
      `the radio’s limiter holds the bass${thresholdVolts === null ? '' : ` at ${voltsText(thresholdVolts)}`}${fromSetting === null ? '' : `, reached by full-scale bass from about setting ${Math.round(fromSetting)}`}`,
      ...(outputVolts === null || watts === null
        ? []
        : [
            `the amplifier then puts out ${voltsText(outputVolts)}, ${wattsText(watts)}${fullWatts === null ? '' : ` of ${wattsText(fullWatts)}`}`,
          ]),
    ].join('; '),
  'tweeter without a filter': ({ output }) =>
    `first find out what keeps bass out of the ${output} tweeters: nobody noted it`,
  'tweeter not protected yet': ({ tapIds, notBelowHz }) =>
    `first protect the small speakers of ${listed(tapIds)}: so far the radio kept everything below ${hertz(notBelowHz)} from them`,
  'cones move': ({ cm3, count }) =>
    `${count === 1 ? 'the cone moves' : `the ${count} cones move`} ${amount(cm3)} cm³ of air at most`,
  'bass is felt': () => 'that is enough to be felt, not only heard',
  'bass fills in': () =>
    'that fills in the sound and no more: what is felt needs more cone area, travel or power',
  'travel ends below': ({ hz }) => `at full output the cones run out of travel below ${hertz(hz)}`,
  'high-pass counted in': ({ cornerHz }) => `the high-pass at ${hertz(cornerHz)} is counted in`,
  'ported box': ({ tuningHz }) =>
    `in a ported box the cone is free below the tuning${tuningHz === null ? '' : ` of ${hertz(tuningHz)}`}: set the high-pass there; only travel is counted here`,
  'box not known': () => 'the box is not known: only travel is counted',
  'volume ends early': ({ setting, highestRecorded }) =>
    `the radio clips above ${amount(setting)}, and you recorded up to ${amount(highestRecorded)}`,
  'amplifier takes no more above': ({ setting, atMostVolts }) =>
    `above ${amount(setting)} the radio overdrives the amplifier, whose gain ends at ${amount(atMostVolts)} V`,
  'restoration holds up to': ({ setting, mostDb }) =>
    `${amount(mostDb)} dB of restoration keeps the bass full up to ${amount(setting)}: stop there, or use a source ahead of the radio’s processor`,
  'feed keeps its level': ({ outputs }) =>
    `the radio’s volume does not turn the ${listed(outputs)} down: fit a level control`,
  'noise is high': ({ tapId, belowFullOutputDb }) =>
    `the noise on ${tapId} is only ${Math.round(belowFullOutputDb)} dB below full output`,
  'least headroom clips first': () => 'the stage with the least headroom clips first',
  'gains for': ({ outputs }) => `gains for ${listed(outputs)}`,
  'no gains until then': () => 'Steptone prints no gain until you settle that',
  'no output recorded for it': () => 'you recorded none of its outputs',
  'no pair carries bass': () =>
    'no pair of outputs gives bass on both sides: find out why the other side is silent, and record it',
  'record it or feed it from': ({ tapIds }) =>
    tapIds.length === 0
      ? 'recording its outputs'
      : `recording its outputs, or feeding it from ${listed(tapIds)}`,
  'full bass at high settings': () => 'full bass at high settings',
  'the amplifier’s full power': () => 'the amplifier’s full power',
  'the plan in full': () => 'the plan in full',
  'what the sheets list': () => 'what the sheets list',
  'line volts assumed': ({ volts }) =>
    `${voltsText(volts)} at the line is an assumption: you named no converter`,
  'converter hot': () => 'a hot converter and a low amplifier gain hiss least',
  'converter at its top': () => 'the converter’s level is fully up: it has no more to give',
  'converter turned down': () =>
    'the amplifier’s gain is fully down and still too hot: turn the converter down instead',
  'watts into ohms': ({ watts, ohms, volts }) =>
    `${wattsText(watts)} into ${amount(ohms)} Ω is ${voltsText(volts)}`,
  'gain before filters': () =>
    'set it with the amplifier’s filters and bass controls off, speakers unplugged or a load on',
  'filter in the way': ({ type, cornerHz, toneHz, leastDb, mostDb }) =>
    `through the ${type} at ${amount(cornerHz)} Hz the ${amount(toneHz)} Hz tone reads lower by ${
      mostDb - leastDb < 0.1
        ? `${oneDecimal(mostDb)} dB`
        : `${oneDecimal(leastDb)} (Butterworth) to ${oneDecimal(mostDb)} dB (Linkwitz-Riley)`
    }: set the gain first, then the filter`,
  'speaker rating ends it': () => 'the speaker’s rating is the limit, not the amplifier’s',
  'gain overlap': ({ overlapDb }) =>
    `gain overlap: the amplifier is full ${amount(overlapDb)} dB below full scale`,
  'limiter holds low tones': ({ aboveDriveDbFs, setting }) =>
    `at setting ${amount(setting)} the radio’s limiter holds low tones above ${Math.floor(aboveDriveDbFs)} dBFS`.replace(
      '-',
      '\u2212',
    ),
  'limiter holds every tone': () =>
    'the radio’s limiter holds even the quietest bass tone at the lowest setting recorded: record lower settings',
  'limiter holds this tone': () => 'the radio’s limiter holds this tone',
  'tone below the limiter': ({ setting }) =>
    `set it with the radio at ${amount(setting)}: there the limiter leaves the tone alone`,
  'line level taken from the volts': ({ volts }) =>
    `taken for line level: nothing was connected, and it gives at most ${voltsText(volts)}. Note ‘level: line’ to be sure`,
  'no clipping test': () => 'nobody recorded a clipping test on the outputs in use',
  'record the full track': () => 'record the full track',
  'no take for it': () => 'not recorded',
  'clean at the most boosted frequency': () =>
    'the highest recorded setting below 1 % distortion, where the radio boosts the output most',
  'no clean setting was recorded': () => 'no clean setting was recorded',
  'measure across the pair': () => 'record again across the pair, through the pad you noted',
  'tap was not recorded': () => 'nobody recorded this output',
  'recordings without volts': () => 'the recordings are not calibrated to volts',
  'read a tone on a meter': () => 'record one steady tone and read it on a meter at the same time',
  'the worst tap decides': () => 'the worst of the outputs in use decides',
  'a stage before the volume clips': () =>
    'a stage ahead of the volume control clips: turn the bass and treble controls down; the volume does not help',
  'holds for the source played': () =>
    'it holds for the source you played: check the customer’s own source with one take',
};
