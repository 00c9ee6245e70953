import { type Finding, findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { BASS_TONE_HZ } from '../../../src/tones/track.ts';
import { type Claim, given, judged, judgedName, type Reading } from '../outcome.ts';
import { limiterAction, stageOnset } from './true-stage.ts';
import { downDb, type TrueTap } from './true-tap.ts';

/** A limiter that takes this much off the bass ladder's top must be found; one that takes less than that may be. */
const SURELY_SEEN_DB = 3;
/** Clipping that sets in this soon above the threshold hides a limiter. */
const ROOM_BELOW_CLIP_DB = 5;
const CARRIED_DB = 25;
/** Places are told apart by settings that differ in gain. */
const FEWEST_GAIN_DB = 3;

export function judgeLimiter(
  truth: TrueTap,
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const { tap, factory, settings } = truth;
  const common = { snrDb: factory.snrDb, where: tap.id };
  const found = findingsOf(findings, 'bass-limiter').find(({ tapIds }) => tapIds[0] === tap.id);
  const actions = settings.map((setting) => ({
    setting,
    action: limiterAction(truth, { setting, toneHz: BASS_TONE_HZ }),
  }));
  const clear = actions.filter(({ setting, action }) => {
    if (action === null || action.lossAtFullDriveDb < SURELY_SEEN_DB) return false;
    const clip = stageOnset(truth, { setting, toneHz: BASS_TONE_HZ });
    return clip === null || clip.driveDbFs > action.thresholdDriveDbFs + ROOM_BELOW_CLIP_DB;
  });
  const exists = actions.some(({ action }) => action !== null);
  const seen = clear.length > 0 && downDb(truth, BASS_TONE_HZ) < CARRIED_DB;
  const claims: Claim[] = [
    {
      what: 'bass limiter',
      ...common,
      judgement: judged({
        // One that holds the middle too may be called a gain that changes by itself.
        truth: seen && !holdsMiddle(truth) ? 'present' : exists ? 'borderline' : 'absent',
        said: found === undefined && saysHeld(tap.id, findings) ? null : found !== undefined,
        answerable: true,
      }),
      detail: JSON.stringify(
        actions.map(({ setting, action }) => [
          setting,
          action?.thresholdDriveDbFs.toFixed(1),
          action?.lossAtFullDriveDb.toFixed(1),
        ]),
      ),
    },
  ];
  if (found === undefined || !exists) return { claims, readings: [] };
  const law = 'atSetting' in tap.volume ? tap.volume.dbPerStep : 0;
  const spanDb = clear.length < 2 ? 0 : law * (clear[clear.length - 1].setting - clear[0].setting);
  claims.push({
    what: 'place of the limiter',
    ...common,
    judgement: judgedName({
      truth: tap.limiterBefore !== null ? 'before the volume control' : 'after the volume control',
      said: found.place === 'cannot be told' ? null : found.place,
      answerable: spanDb >= FEWEST_GAIN_DB,
    }),
    detail: found.place,
  });
  const readings = found.perSetting.flatMap(({ setting, thresholdDriveDbFs }): Reading[] => {
    const action = actions.find((one) => one.setting === setting)?.action;
    return given(thresholdDriveDbFs).map(({ value, plusMinus }) => ({
      what: 'threshold of the limiter',
      unit: 'dB',
      error: value - (action?.thresholdDriveDbFs ?? Number.NaN),
      plusMinus,
      snrDb: factory.snrDb,
      where: `${tap.id} ${setting}`,
      detail: `truth ${action?.thresholdDriveDbFs.toFixed(2)}`,
    }));
  });
  return { claims, readings };
}

const MIDDLE_HZ = 997;

function holdsMiddle(truth: TrueTap): boolean {
  return truth.settings.some(
    (setting) =>
      (limiterAction(truth, { setting, toneHz: MIDDLE_HZ })?.lossAtFullDriveDb ?? 0) > SURELY_SEEN_DB,
  );
}

/** Whether the analysis says that something holds the bass tone's level, and that noise or a gain of its own hides whether it is a limiter. */
function saysHeld(tapId: string, findings: readonly Finding[]): boolean {
  return findingsOf(findings, 'clipping')
    .filter(({ tapIds, toneHz }) => tapIds[0] === tapId && toneHz === BASS_TONE_HZ)
    .flatMap(({ perSetting }) => perSetting)
    .some(
      ({ driveDbFs }) =>
        isNotMeasurable(driveDbFs) &&
        ['level held by clip or limiter', 'gain follows the level'].includes(
          codeOf(driveDbFs.notMeasurable) ?? '',
        ),
    );
}
