import { DB_PER_NEPER, ratioOf } from '../../dsp/decibels.ts';
import { median } from '../../dsp/statistics.ts';
import type { Finding, FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, measured } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { Session } from '../../model/session.ts';
import { COVERAGE } from '../coverage.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import { stagePlace } from './stage-place.ts';
import { limitPoints, type ToneSeries, toneSeries } from './tone-series.ts';

type Rail = FindingOf<'rail'>;

/** A bridged stage clips at the supply less this many volts peak (common practice). */
const STAGE_DROP_VOLTS = [1, 2] as const;
/** Supply where none was noted: smart charging lets it wander over this range (common practice). */
const USUAL_SUPPLY_VOLTS = [12.2, 15] as const;
/** Meter, supply reading and drop are each a few percent out. */
const SLACK = 0.06;
/** Below this part of what is expected a limiter or the processor is likely; below `WRONG_PAD` a wrong entry. */
const FAR_BELOW = 0.8;
const WRONG_PAD = 0.25;

/**
 * Holds the volts at which an output clips against what its supply allows: the commonest wrong number is a
 * calibration slip. Volts are across the pair, also where one leg was recorded. Null where nothing clips behind the volume control or nothing is calibrated.
 */
export function findRail({ series, session }: { series: TapSeries; session: Session }): Rail | null {
  const tones = toneSeries(series.takes);
  const clipping = tones.find(({ perSetting }) => clipsBehindVolume(perSetting, tones));
  if (clipping === undefined) return null;
  const points = clipping.perSetting.flatMap(({ take, tone: { onset } }) => {
    const { voltsPerFullScale } = take.measurement;
    if (isNotMeasurable(onset) || onset.clipPointLevelDbFs === null || voltsPerFullScale === null) return [];
    const volts = Math.SQRT2 * voltsPerFullScale.volts * ratioOf(onset.clipPointLevelDbFs);
    const relative = Math.hypot(
      voltsPerFullScale.relativeUncertainty,
      COVERAGE * (onset.driveSigmaDb / DB_PER_NEPER),
    );
    return [{ take, volts, relative }];
  });
  if (points.length === 0) return null;
  const value = median(points.map(({ volts }) => volts));
  const plusMinus = value * Math.max(...points.map(({ relative }) => relative));
  const supplies = points.flatMap(({ take }) => take.measurement.supplyVolts ?? session.supply.volts ?? []);
  const supply =
    supplies.length > 0 ? ([Math.min(...supplies), Math.max(...supplies)] as const) : USUAL_SUPPLY_VOLTS;
  const expected: [number, number] = [supply[0] - STAGE_DROP_VOLTS[1], supply[1] - STAGE_DROP_VOLTS[0]];
  return {
    kind: 'rail',
    id: `rail:${series.tap.id}`,
    tapIds: [series.tap.id],
    evidence: evidenceOf(points.map(({ take }) => take)),
    clipVoltsPeak: measured({ value, plusMinus }),
    expectedVoltsPeak: expected,
    ...judgedRail({
      value,
      plusMinus,
      expected,
      supplyVolts: supply[1],
      oneLeg: series.tap.connection === 'one leg',
    }),
  };
}

/** The question that has to be answered before any volts are used; null where there is none. */
export function voltsWithheld(findings: readonly Finding[]): Reason | null {
  const slip = findings.find(
    (finding): finding is Rail =>
      finding.kind === 'rail' &&
      (finding.verdict === 'half of it' ||
        finding.verdict === 'above the supply' ||
        (finding.verdict === 'far below' &&
          finding.clipVoltsPeak.value < WRONG_PAD * finding.expectedVoltsPeak[0])),
  );
  return slip?.question ?? null;
}

/**
 * Fixed level over two settings, or the loudest setting alone where the next quieter one took the same drive cleanly, unless
 * another tone shows that the tap clips before its volume control: then noise has hidden it at the quieter one.
 */
function clipsBehindVolume(perSetting: ToneSeries['perSetting'], tones: readonly ToneSeries[]): boolean {
  const points = limitPoints(perSetting);
  if (points.length !== 1) return stagePlace(points) === 'after the volume control';
  const clipsBefore = tones.some(
    (tone) => stagePlace(limitPoints(tone.perSetting)) === 'before the volume control',
  );
  const [{ setting, driveDbFs }] = points;
  const isLoudest = perSetting.every(({ take }) => take.setting <= setting);
  if (clipsBefore || !isLoudest) return false;
  const quieter = perSetting.filter(({ take }) => take.setting < setting);
  const next = Math.max(...quieter.map(({ take }) => take.setting));
  return quieter.some(({ take, tone }) => take.setting === next && tone.cleanUpToDriveDbFs > driveDbFs);
}

function judgedRail(of: {
  value: number;
  plusMinus: number;
  expected: readonly [number, number];
  supplyVolts: number;
  oneLeg: boolean;
}): Pick<Rail, 'verdict' | 'question'> {
  const { value, plusMinus, expected, supplyVolts, oneLeg } = of;
  const slack = Math.max(SLACK, plusMinus / value);
  const [low, high] = [expected[0] * (1 - slack), supplyVolts * (1 + slack)];
  const volts = { clipVoltsPeak: value, leastVolts: expected[0], mostVolts: expected[1] };
  if (value >= low && value <= high) return { verdict: 'as the supply allows', question: null };
  if (value > high) {
    return {
      verdict: 'above the supply',
      question: {
        code: oneLeg ? 'one leg noted, pair recorded' : 'boosted supply, or calibration too high',
        ...volts,
      },
    };
  }
  if (!oneLeg && value >= low / 2 && value <= high / 2) {
    return {
      verdict: 'half of it',
      question: { code: 'one leg instead of the pair', ...volts },
    };
  }
  return value < FAR_BELOW * expected[0]
    ? {
        verdict: 'far below',
        question: { code: 'limiter, or pad entered wrong', ...volts },
      }
    : { verdict: 'not told', question: null };
}
