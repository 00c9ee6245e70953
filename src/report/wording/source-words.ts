import type { Chain } from '../../model/chain.ts';
import type { FindingOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, plainDb, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { type FindingWords, known, measuredOr, notKnown, type Statement } from './statement.ts';

type OtherSource = FindingOf<'other-source'>;
type HeldSource = NonNullable<Chain['player']['others']>[number];

export function otherSourceWords(finding: OtherSource): FindingWords {
  const { source, comparedWith, ceilingHz, tone, movesDb, clip } = finding;
  return {
    subject: `Played from ${source}`,
    statements: [
      measuredOr({
        what: `how loud ${source} plays against ${comparedWith}`,
        answer: finding.levelDb,
        sentence: ({ value, plusMinus }) =>
          Math.abs(value) < Math.max(ALIKE_DB, plusMinus)
            ? say`From ${source} it plays as loud as from ${comparedWith}.`
            : say`From ${source} it plays ${plainDb(Math.abs(value))} ${value > 0 ? 'louder' : 'quieter'} than from ${comparedWith}.`,
      }),
      ...(ceilingHz === null
        ? []
        : [known(say`Its treble ends at ${plainHz(ceilingHz)}. The file or the link loses it.`)]),
      ...(tone === null
        ? []
        : [
            known(
              say`Its tone differs most at ${plainHz(tone.frequencyHz)}, by ${plainDb(tone.differsDb)}. Look for an equaliser in the player.`,
            ),
          ]),
      ...(movesDb === null
        ? []
        : [
            known(
              say`Its level moves by ${plainDb(movesDb)} by itself. Turn off what evens out loudness in the player.`,
            ),
          ]),
      ...(clip === null
        ? []
        : [
            known(
              say`It clips by itself: at setting ${formatSetting(clip.setting)} from ${plainDb(clip.driveDbFs)} below full scale. Turn the player down.`,
            ),
          ]),
    ],
  };
}

/** For the customer: how far up the volume may go from each source that was recorded beside the usual one. */
export function howLoudFromOthers({ chain }: Results): Statement[] {
  return (chain?.player.others ?? []).map(fromOther);
}

function fromOther({ source, levelDb, cleanSetting, movesDb }: HeldSource): Statement {
  if (cleanSetting === null)
    return notKnown({
      what: `the highest clean setting from ${source}`,
      reason:
        movesDb === null ? { code: 'no clean setting was recorded' } : { code: 'source moves its level' },
    });
  const louder = levelDb === null || Math.abs(levelDb) < ALIKE_DB ? null : levelDb;
  return known(
    louder === null
      ? say`From ${source} the same setting holds: ${formatSetting(cleanSetting)}.`
      : say`From ${source} stop at ${formatSetting(cleanSetting)}: it plays ${plainDb(Math.abs(louder))} ${louder > 0 ? 'louder' : 'quieter'}.`,
  );
}

const ALIKE_DB = 0.1;
