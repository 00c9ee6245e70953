import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { listed } from '../../words/figures.ts';
import { formatSetting, plainDbFs, plainHz } from '../format.ts';
import { say, volts } from '../sentence.ts';
import { type FindingWords, known, notKnown, type Statement } from './statement.ts';

type Noise = FindingOf<'noise'>;

/** More lines than this are a picture, not a sentence. */
export const LINES_IN_WORDS = 5;

export function noiseWords(finding: Noise): FindingWords {
  return {
    subject: 'Noise',
    statements: [
      ...floorStatements(finding),
      limitStatement(finding),
      ...lineStatements(finding),
      ...mutingStatement(finding),
    ],
  };
}

function floorStatements({ perSetting }: Noise): Statement[] {
  const top = perSetting[perSetting.length - 1];
  if (top === undefined) return [notKnown({ what: 'the noise', reason: 'no take holds the quiet tone' })];
  const level = isNotMeasurable(top.underQuietToneVolts)
    ? say`${plainDbFs(top.underQuietToneDbFs)} in the recording`
    : say`${volts(top.underQuietToneVolts.value, top.underQuietToneVolts.plusMinus)}`;
  return [known(say`At setting ${formatSetting(top.setting)} the noise from 20 Hz to 20 kHz is ${level}.`)];
}

function limitStatement({ limitedBy }: Noise): Statement {
  switch (limitedBy) {
    case 'radio':
      return known(say`The radio makes it: the recorder is quieter.`);
    case 'recorder':
      return known(say`The recorder makes it: the radio is quieter.`);
    case 'not told':
      return notKnown({
        what: 'whether the radio or the recorder makes it',
        reason: "there is no take of the recorder's own noise",
        recordNext: 'a take with the inputs shorted',
      });
  }
}

function lineStatements({ lines, mainsHz }: Noise): Statement[] {
  if (lines.length === 0) return [known(say`No hum and no whine stand out of it.`)];
  const strongest = [...lines].sort((a, b) => b.levelDbFs - a.levelDbFs).slice(0, LINES_IN_WORDS);
  const words = strongest.map(
    ({ frequencyHz, levelDbFs }) => `${plainHz(frequencyHz)} (${plainDbFs(levelDbFs)})`,
  );
  const mains =
    mainsHz === null
      ? ''
      : ` Multiples of ${mainsHz} Hz are mains hum: a bench charger, or a ground loop through the recorder.`;
  return [known(say`Steady tones stand out at ${listed(words)}.${mains}`)];
}

function mutingStatement({ mutesInSilence }: Noise): Statement[] {
  if (!mutesInSilence) return [];
  return [known(say`The output mutes in silence: a reading taken then would flatter it.`)];
}
