import type { RecommendationOf } from '../../model/recommendation.ts';
import { listed } from '../../words/figures.ts';
import { formatSetting, plainDb, plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import type { RecommendationWords, Step } from './statement.ts';
import { asClause, known, notKnown, type Statement } from './statement.ts';

type Restoration = RecommendationOf<'restoration'>;

export function restorationWords(item: Restoration): RecommendationWords {
  const title = 'Bass restoration';
  switch (item.verdict) {
    case 'none needed':
      return {
        title,
        statements: [known(say`Nothing needs restoring.`)],
        step: { where: 'Bass restoration', setTo: say`Off.`, check: say`None needed.`, known: true },
      };
    case 'cannot be told':
      return {
        title,
        statements: [
          notKnown({
            what: 'whether the bass needs restoring',
            reason: item.reasons[0] ?? 'the bass change could not be told',
          }),
        ],
        step: {
          where: 'Bass restoration',
          setTo: say`Leave it off until that is known.`,
          check: say`Not known yet.`,
          known: false,
        },
      };
    case 'restore': {
      const from = item.fromSetting === null ? '' : ` above setting ${formatSetting(item.fromSetting)}`;
      const to = item.toSetting === null ? '' : ` at setting ${formatSetting(item.toSetting)}`;
      const atLeast = item.loss?.atLeast === true ? 'at least ' : '';
      const amount =
        item.amountDb < LEAST_RESTORED_DB
          ? say`The converter given restores none of the bass that is lost.`
          : item.sameAtEverySetting === true
            ? say`Set the subwoofer's restoration to ${plainDb(item.amountDb)} at ${plainHz(item.atHz)}, the same at every setting: that is ${plainDb(item.amountDb)} too much where the radio cuts nothing.`
            : say`Restore bass for the subwoofer only${from}. At ${plainHz(item.atHz)}${to} that is ${atLeast}${plainDb(item.amountDb)}.`;
      return {
        title,
        statements: [
          known(amount),
          ...lossStatement(item),
          ...holdStatement(item),
          ...shelfStatement(item),
          ...residualStatements(item),
          ...impossibleStatements(item),
        ],
        step: { where: title, ...restoreStep(item) },
      };
    }
  }
}

/** Printed, less is nothing. */
export const LEAST_RESTORED_DB = 0.05;

function restoreStep(item: Restoration): Omit<Step, 'where'> {
  const { waits = false, amountDb, atHz, loss } = item;
  if (waits)
    return {
      setTo: say`Leave it off until it is known how much bass is lost.`,
      check: say`Set nothing for the subwoofer before that.`,
      known: false,
    };
  if (amountDb < LEAST_RESTORED_DB)
    return {
      setTo: say`Nothing to set: the converter given restores none.`,
      check: say`The bass that is lost stays missing.`,
      known: true,
    };
  return {
    setTo: say`${plainDb(amountDb)} at ${plainHz(atHz)}, subwoofer feed only.${isBeyond(item) ? ` Not above setting ${formatSetting(item.holdsUpToSetting!)}.` : ''}`,
    check: say`Set every gain with it off. Then switch it on and read again.`,
    known: loss?.atLeast !== true,
  };
}

/** Where the boost that can be had is not enough at the highest clean setting, but is up to a lower one. */
function isBeyond({ limitedBy, holdsUpToSetting }: Restoration): boolean {
  return limitedBy === '12 dB' && holdsUpToSetting != null;
}

function lossStatement({ loss }: Restoration): Statement[] {
  if (loss == null || !loss.atLeast) return [];
  const [from, to] = loss.betweenSettings;
  return [
    known(
      say`The bass falls by at least ${plainDb(loss.db)} at ${plainHz(loss.atHz)} between settings ${formatSetting(from)} and ${formatSetting(to)}; no plateau was recorded, so this is provisional.`,
    ),
  ];
}

function holdStatement(item: Restoration): Statement[] {
  if (!isBeyond(item)) return [];
  const { holdsUpToSetting, reachesDownToHz, settings } = item;
  const top = settings[settings.length - 1];
  const reach =
    reachesDownToHz === undefined || top === undefined
      ? say``
      : say` At setting ${formatSetting(top.setting)}, 12 dB reach down to ${plainHz(reachesDownToHz)} only.`;
  const setting = formatSetting(holdsUpToSetting!);
  return [
    known(
      say`The plan holds up to setting ${setting}: above it more than 12 dB are missing.${reach} Stay at ${setting} or below, or take a source ahead of the radio's processor.`,
    ),
  ];
}

export function subwooferLawWords(item: RecommendationOf<'subwoofer-law'>): RecommendationWords {
  const verdicts = {
    'keeps with the mains': 'As you turn it up, the subwoofer keeps pace with the main speakers.',
    'falls behind': 'As you turn it up, the subwoofer falls behind the main speakers.',
    'runs off': 'As you turn it up, the subwoofer runs ahead of the main speakers.',
  };
  const steps = item.perSetting.map(
    ({ setting, againstMainsDb }) => `${plainDb(againstMainsDb)} at ${formatSetting(setting)}`,
  );
  return {
    title: 'Subwoofer level against the volume',
    statements: [known(say`${verdicts[item.verdict]}`), known(say`Against the mains: ${listed(steps)}.`)],
    step: null,
  };
}

function shelfStatement({ shelf }: Restoration): Statement[] {
  if (shelf === null) return [];
  return [known(say`The nearest plain shelf is ${plainDb(shelf.gainDb)} at ${plainHz(shelf.frequencyHz)}.`)];
}

/** Half a decibel is what settings of an unchanging tap differ by (common practice). */
const MISSING_WORTH_NAMING_DB = 0.5;

function residualStatements({
  limitedBy,
  settings,
  frequencyHz,
  holdsUpToSetting,
}: Restoration): Statement[] {
  const limit =
    limitedBy === 'nothing' || (limitedBy === '12 dB' && holdsUpToSetting != null)
      ? []
      : [
          known(
            say`More is not advised: ${limitedBy === '12 dB' ? 'beyond 12 dB, headroom, noise and cone travel go first' : `${limitedBy} sets the limit`}.`,
          ),
        ];
  const beyond =
    limitedBy === '12 dB' ? settings.find(({ setting }) => setting === holdsUpToSetting) : undefined;
  const last = beyond ?? settings[settings.length - 1];
  if (last === undefined || last.residualDb.length === 0) return limit;
  const worst = last.residualDb.reduce((best, value, i) => (value < last.residualDb[best] ? i : best), 0);
  const left = `${plainDb(last.residualDb[worst])} at ${plainHz(frequencyHz[worst])}`;
  if (last.residualDb[worst] > -MISSING_WORTH_NAMING_DB) {
    return [
      ...limit,
      known(say`At setting ${formatSetting(last.setting)} less than half a decibel stays missing.`),
    ];
  }
  return [...limit, known(say`At setting ${formatSetting(last.setting)} this stays missing: ${left}.`)];
}

function impossibleStatements({ impossible }: Restoration): Statement[] {
  return impossible.map((text) => known(say`No boost brings this back: ${asClause(text)}.`));
}
