import { clippedSineHarmonic } from '../../../src/dsp/clip-distortion.ts';
import { type Finding, type FindingOf, findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { onsetRatio } from '../../../src/simulate/true-clipping.ts';
import { TREBLE_TONE_HZ } from '../../../src/tones/track.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { type Claim, given, inDecibels, judged, judgedName, type Reading } from '../outcome.ts';
import { stageOnset } from './true-stage.ts';
import { downDb, hasLimiter, type TrueTap } from './true-tap.ts';

/** A ladder step of half a decibel above the onset shows it; less may escape, and a claim a little above the top may come from the curve. */
const STEP_DB = 0.5;
const TOP_DRIVE_DB_FS = { usual: 0, treble: -3 };
/** Tones further down say nothing by their distortion: the finding's own limit is 30 dB. */
const SURELY_HEARD_DB = 28;
/** Two stages this close to each other bend the curve of either. */
const STAGES_APART_DB = 2;
const FEWEST_GAIN_DB = 3;
/** Drives are given with one decimal. */
const ROUNDED_DB = 0.05;

/** Onset of clipping at every ladder tone and setting of a tap, and its place. */
export function judgeClipping(
  truth: TrueTap,
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const found = findingsOf(findings, 'clipping').filter(({ tapIds }) => tapIds[0] === truth.tap.id);
  const perTone = found.map((finding) => judgeTone(truth, finding));
  return {
    claims: perTone.flatMap(({ claims }) => claims),
    readings: perTone.flatMap(({ readings }) => readings),
  };
}

function judgeTone(truth: TrueTap, finding: FindingOf<'clipping'>): { claims: Claim[]; readings: Reading[] } {
  const { tap, factory } = truth;
  const { toneHz } = finding;
  const top = toneHz === TREBLE_TONE_HZ ? TOP_DRIVE_DB_FS.treble : TOP_DRIVE_DB_FS.usual;
  const heldBelowHz = tap.limiterAfter?.belowHz ?? tap.limiterBefore?.belowHz ?? 0;
  const limited = hasLimiter(truth) && toneHz < Math.max(300, 4 * heldBelowHz);
  const heard = downDb(truth, toneHz);
  const claims: Claim[] = [];
  const readings: Reading[] = [];
  const expected = finding.perSetting.map(({ setting }) => stageOnset(truth, { setting, toneHz }));
  finding.perSetting.forEach(({ setting, driveDbFs, voltsRms }, i) => {
    const onset = expected[i];
    const common = { snrDb: factory.snrDb - Math.max(0, heard), where: `${tap.id} ${setting} ${toneHz} Hz` };
    const clips = onset !== null && onset.driveDbFs < top - STEP_DB;
    const clean = onset === null || onset.driveDbFs > top + STEP_DB;
    const said = !isNotMeasurable(driveDbFs)
      ? true
      : noneSeenUpTo(reasonText(driveDbFs.notMeasurable)) >=
          Math.min(onset?.driveDbFs ?? top, top) - ROUNDED_DB
        ? false
        : null;
    const detail = `truth ${onset?.driveDbFs.toFixed(2)} ${onset?.place} (other ${onset?.otherAboveDb.toFixed(1)} dB), said ${JSON.stringify(driveDbFs)}`;
    claims.push({
      what: limited ? 'clipping of a limited tone' : 'clipping',
      ...common,
      judgement: judged({
        truth: clean ? 'absent' : clips && heard < SURELY_HEARD_DB && !limited ? 'present' : 'borderline',
        said,
        answerable: heard < SURELY_HEARD_DB,
      }),
      detail,
    });
    if (onset === null || clean || onset.otherAboveDb < STAGES_APART_DB) return;
    const what = `drive at 1 %${limited ? ', limited tone' : onset.place === 'before the volume control' && tap.crossover.length > 0 ? ', clipped before the filters' : ''}`;
    for (const { value, plusMinus } of given(driveDbFs))
      readings.push({ what, unit: 'dB', error: value - onset.driveDbFs, plusMinus, ...common, detail });
    if (onset.voltsRms !== null && !limited)
      for (const volts of given(voltsRms))
        readings.push({
          what: 'volts at 1 %',
          unit: 'dB',
          ...inDecibels(volts, fundamentalVoltsRms(onset.voltsRms, toneHz)),
          ...common,
          detail,
        });
  });
  const seen = finding.perSetting.flatMap(({ setting, driveDbFs }, i) =>
    isNotMeasurable(driveDbFs) || expected[i] === null ? [] : [{ setting, onset: expected[i]! }],
  );
  const places = [...new Set(seen.map(({ onset }) => onset.place))];
  if (seen.length > 0 && places.length === 1 && finding.place !== 'none seen' && !limited) {
    const law = 'atSetting' in tap.volume ? tap.volume.dbPerStep : 0;
    const spanDb = law * (seen[seen.length - 1].setting - seen[0].setting);
    claims.push({
      what: 'place of the clipping',
      snrDb: factory.snrDb - Math.max(0, heard),
      where: `${tap.id} ${toneHz} Hz`,
      judgement: judgedName({
        truth: places[0],
        said: finding.place === 'cannot be told' ? null : finding.place,
        answerable: spanDb >= FEWEST_GAIN_DB,
      }),
      detail: `${seen.length} settings, ${spanDb.toFixed(1)} dB apart, said ${finding.place}`,
    });
  }
  return { claims, readings };
}

/** RMS volts of the fundamental of a tone clipped to 1 % at a rail. */
function fundamentalVoltsRms(railVoltsPeak: number, toneHz: number): number {
  const ratio = onsetRatio(Math.min(10, Math.floor(20_000 / toneHz)));
  return ((clippedSineHarmonic({ harmonic: 1, ratio }) / ratio) * railVoltsPeak) / Math.SQRT2;
}

/** Drive up to which no clipping was seen; minus infinity where another reason is given. */
function noneSeenUpTo(reason: string): number {
  const [, dbFs] = /^none seen up to (\S+) dBFS/.exec(reason) ?? [];
  return dbFs === undefined ? Number.NEGATIVE_INFINITY : Number(dbFs);
}
