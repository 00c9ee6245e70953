import { ratioOf } from '../../dsp/decibels.ts';
import type { TurnOn } from '../../model/equipment.ts';
import { measured } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { tapVolts } from '../chain/highest-clean-setting.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';

/** Quiet music under its full-scale peaks (common practice: 18 to 20 dB). */
const QUIET_MUSIC_DB = -20;
/** A part that is asked to wake at its very threshold drops out in quiet passages: twice the level is sure (common practice). */
const SURE_RATIO = 2;
const USUAL_THRESHOLD_VOLTS = 0.1;

/** Signal sense where the quietest recorded setting still wakes it, otherwise a switched line. */
export function turnOnAdvice(context: PlanContext, tapIds: readonly string[]): AdviceOf<'turn-on'> {
  const { equipment, session } = context;
  const quietestSetting = session.settings[0] ?? null;
  const each = tapIds.map((tapId) =>
    tapVolts(context, { tapId, setting: quietestSetting, frequencyHz: null }),
  );
  const known = each.filter((volts) => 'value' in volts);
  const loudest = known.reduce<number>((most, volts) => Math.max(most, volts.value), 0);
  const music = loudest * ratioOf(QUIET_MUSIC_DB);
  const sensing = equipment?.converter ?? equipment?.amplifiers[0] ?? null;
  const threshold = sensing?.senseThresholdVolts ?? null;
  const offered: readonly TurnOn[] = sensing?.turnOn ?? ['signal sense', 'switched line'];
  const wakes = known.length > 0 && music > SURE_RATIO * (threshold ?? USUAL_THRESHOLD_VOLTS);
  const use = choose(offered, wakes);
  return {
    kind: 'turn-on',
    id: 'turn-on',
    restsOn: idsOf(findingsAbout(context, 'volume-law', tapIds)),
    reasons: reasonsFor({ use, wakes, isKnown: known.length > 0, quietestSetting }),
    use,
    quietestSetting,
    quietestVoltsRms:
      known.length > 0
        ? measured({ value: music, plusMinus: 0.1 * music })
        : (each[0] ?? { notMeasurable: { code: 'no tap is in use' } }),
    thresholdVolts: threshold,
  };
}

function choose(offered: readonly TurnOn[], wakes: boolean): TurnOn {
  if (wakes && offered.includes('signal sense')) return 'signal sense';
  return 'switched line';
}

function reasonsFor({
  use,
  wakes,
  isKnown,
  quietestSetting,
}: {
  use: TurnOn;
  wakes: boolean;
  isKnown: boolean;
  quietestSetting: number | null;
}): Reason[] {
  // Without a setting there are no volts either.
  if (!isKnown || quietestSetting === null) return [{ code: 'quiet volts are not known' }];
  if (use === 'signal sense')
    return [{ code: 'quiet music wakes it', setting: quietestSetting }, { code: 'check that it sleeps' }];
  return [
    wakes ? { code: 'no signal sense' } : { code: 'quiet music may not wake it', setting: quietestSetting },
  ];
}
