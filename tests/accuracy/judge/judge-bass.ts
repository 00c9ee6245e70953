import { BASS_FREQUENCIES_HZ, type Finding, type FindingOf, findingsOf } from '../../../src/model/finding.ts';
import { truePlateau } from '../../../src/simulate/true-bass.ts';
import { MAIN_SWEEP_DRIVE_DB_FS } from '../../../src/tones/track.ts';
import { type Claim, given, judged, judgedName, type Reading } from '../outcome.ts';
import { stageOnset } from './true-stage.ts';
import { downDb, frequencies, hasLimiter, type TrueTap } from './true-tap.ts';

type BassChange = FindingOf<'bass-change'>;

/** Twice the threshold of half a decibel that a change counts from; below a third of a decibel nothing is there. */
const SURELY_CHANGED_DB = 1;
const SURELY_STEADY_DB = 0.3;
/** A bracket is right or wrong only where the truth does not lie this close to the threshold. */
const BRACKET_MARGIN_DB = 0.2;
/** Bass this far below the tap's strongest is leakage as likely as programme; the middle likewise. */
const CARRIED_DB = 28;
const MIDDLE_HZ = [300, 3000] as const;
/** A third of an octave must be there to be a middle. */
const FEWEST_MIDDLE = 16;
/** Plateaus need three settings; tables of the scenario begin to change between two. */
const FEWEST_PLATEAU = 3;
/** A subwoofer tap that loses the same everywhere cannot be told from one with another volume law. */
const EVEN_DB = 2;

/** Bass change and loudness contour of one tap. */
export function judgeBass(
  truth: TrueTap,
  all: readonly TrueTap[],
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const { tap, factory, settings } = truth;
  const found = findingsOf(findings, 'bass-change').find(({ tapIds }) => tapIds[0] === tap.id);
  const loudness = findingsOf(findings, 'loudness-contour').find(({ tapIds }) => tapIds[0] === tap.id);
  const common = { snrDb: factory.snrDb, where: tap.id };
  const plateau = truePlateau(factory.scenario, tap.id) ?? [];
  const carried = BASS_FREQUENCIES_HZ.filter((hz) => downDb(truth, hz) < CARRIED_DB);
  const reference =
    middleOf(truth).length >= FEWEST_MIDDLE
      ? truth
      : all.find((one) => middleOf(one).length >= FEWEST_MIDDLE);
  const changeDb = (setting: number, hz: number) =>
    plateau.length === 0
      ? 0
      : trueChange({ truth, reference: reference ?? truth, plateau: plateau[0], setting, hz });
  const above = settings.filter((setting) => setting > (plateau[0] ?? Number.POSITIVE_INFINITY));
  const below = settings.filter((setting) => setting < (plateau[0] ?? Number.POSITIVE_INFINITY));
  const lossDb = most(above.flatMap((setting) => carried.map((hz) => -changeDb(setting, hz))));
  const liftDb = most(below.flatMap((setting) => carried.map((hz) => changeDb(setting, hz))));
  const last = settings[settings.length - 1];
  const evenDb =
    most(carried.map((hz) => changeDb(last, hz))) - -most(carried.map((hz) => -changeDb(last, hz)));
  const hidden =
    carried.length === 0 ||
    plateau.length < FEWEST_PLATEAU ||
    reference === undefined ||
    (reference !== truth && lossDb > SURELY_STEADY_DB && evenDb < EVEN_DB);
  const spoilt = hasLimiter(truth) || clipsOnSweep(truth, plateau);
  const answerable = !hidden && !spoilt;
  // What happens below what the tap carries may be claimed or not.
  const anywhereDb = most(
    above.flatMap((setting) => BASS_FREQUENCIES_HZ.map((hz) => -changeDb(setting, hz))),
  );
  const lost =
    presence(lossDb) === 'absent' && anywhereDb > SURELY_STEADY_DB ? 'borderline' : presence(lossDb);
  const liftAnywhereDb = most(
    below.flatMap((setting) => BASS_FREQUENCIES_HZ.map((hz) => changeDb(setting, hz))),
  );
  const lifted =
    presence(liftDb) === 'absent' && liftAnywhereDb > SURELY_STEADY_DB ? 'borderline' : presence(liftDb);
  const claims: Claim[] = [];
  const readings: Reading[] = [];
  const said = saidOf(found?.verdict);
  const detail = `truth ${(-lossDb).toFixed(2)} dB, said ${found?.verdict}: ${JSON.stringify(found?.reason ?? null)}`;
  claims.push({
    what: 'bass falls with volume',
    ...common,
    judgement: judged({
      truth: plateau.length < FEWEST_PLATEAU && lost === 'absent' ? 'borderline' : lost,
      said,
      answerable,
    }),
    detail,
  });
  claims.push({
    what: 'loudness contour',
    ...common,
    judgement: judged({
      truth: lifted,
      said: loudness !== undefined || (said === null ? null : false),
      answerable,
    }),
    detail: `truth ${liftDb.toFixed(2)} dB`,
  });
  if (found === undefined || said === null) return { claims, readings };
  if (found.onset !== null && lost === 'present') {
    const judgement = bracketJudgement(
      found.onset,
      (setting) => -changeDb(setting, found.onset!.atHz),
      above.filter((setting) => isJudged(found, setting)),
      plateau.filter((setting) => isJudged(found, setting)),
    );
    claims.push({ what: 'onset bracket', ...common, judgement, detail: JSON.stringify(found.onset) });
    claims.push(shapeClaim(truth, found, common));
  }
  for (const { setting, changeDb: values } of found.changes)
    values.forEach((value, i) => {
      const hz = BASS_FREQUENCIES_HZ[i];
      for (const { value: db, plusMinus } of given(value))
        readings.push({
          what: spoilt ? 'bass change (limiter or clipping in the main sweep)' : 'bass change',
          unit: 'dB',
          error: db - changeDb(setting, hz),
          plusMinus,
          // A sine of that frequency is what has to stand clear of the noise there.
          snrDb:
            factory.snrDb - Math.max(0, -truth.fixedDb(hz)) - Math.max(0, -truth.dependentDb(setting, hz)),
          where: `${tap.id} ${setting} ${hz} Hz`,
          detail: `truth ${changeDb(setting, hz).toFixed(2)}, plateau ${found.plateauSettings} (true ${plateau})`,
        });
    });
  return { claims, readings };
}

/** Bass against the middle, against the plateau. */
function trueChange(of: {
  truth: TrueTap;
  reference: TrueTap;
  plateau: number;
  setting: number;
  hz: number;
}): number {
  const { truth, reference, plateau, setting, hz } = of;
  const against = (one: number) => {
    const middle = middleOf(reference).map((frequencyHz) => reference.dependentDb(one, frequencyHz));
    return truth.dependentDb(one, hz) - middle.reduce((sum, db) => sum + db, 0) / middle.length;
  };
  return against(setting) - against(plateau);
}

function middleOf(truth: TrueTap): number[] {
  return frequencies(...MIDDLE_HZ).filter((hz) => downDb(truth, hz) < 30);
}

/** Whether the main sweep of a plateau's or a later setting clips. */
function clipsOnSweep(truth: TrueTap, plateau: readonly number[]): boolean {
  return truth.settings
    .filter((setting) => setting >= (plateau[0] ?? 0))
    .some((setting) =>
      [40, 55, 100, 300, 1000, 3000, 10_000].some((toneHz) => {
        const onset = stageOnset(truth, { setting, toneHz, programme: 'one side' });
        return onset !== null && onset.driveDbFs < MAIN_SWEEP_DRIVE_DB_FS;
      }),
    );
}

/** A take that the finding leaves out bounds nothing. */
function isJudged({ changes }: BassChange, setting: number): boolean {
  return changes.some((change) => change.setting === setting);
}

function bracketJudgement(
  onset: NonNullable<BassChange['onset']>,
  lossDb: (setting: number) => number,
  above: readonly number[],
  plateau: readonly number[],
): Claim['judgement'] {
  const settings = [...new Set([...plateau.slice(0, 1), ...above])].sort((one, other) => one - other);
  if (settings.some((setting) => Math.abs(lossDb(setting) - onset.thresholdDb) < BRACKET_MARGIN_DB))
    return 'borderline';
  const first = settings.findIndex((setting) => lossDb(setting) > onset.thresholdDb);
  return first > 0 && settings[first] === onset.firstChanged && settings[first - 1] === onset.lastIntact
    ? 'right claim'
    : 'false claim';
}

/** What each kind of loss may be called: order 1 and 2 that climb from a corner of their own are shelves exactly. */
function shapeClaim(truth: TrueTap, found: BassChange, common: { snrDb: number; where: string }): Claim {
  const cause = truth.tap.volumeDependent.find((entry) => entry.kind === 'high-pass');
  const plateau = found.plateauSettings[0];
  const base = cause?.kind === 'high-pass' ? (cause.cornerHz[`${plateau}`] ?? 0) : 0;
  const isShelf = cause === undefined;
  // A peak below the lowest frequency that is read looks like either; names of models are for those two.
  const isPeak = truth.tap.volumeDependent.some((entry) => entry.kind === 'peak');
  const accepted = [
    'shelf or high-pass',
    ...(!isShelf && cause.kind === 'high-pass' && cause.order <= 2 && base > 0 ? ['shelf'] : []),
  ];
  const clean = truth.tap.volumeDependent.length === 1 && !hasLimiter(truth) && !isPeak;
  return {
    what: 'shape of the loss',
    ...common,
    judgement: judgedName({
      truth: isPeak ? 'peak' : isShelf ? 'shelf' : 'high-pass',
      said: found.shape?.model ?? null,
      accepted,
      answerable: clean,
    }),
    detail: `${JSON.stringify(cause ?? truth.tap.volumeDependent[0])} said ${found.shape?.model}`,
  };
}

function presence(db: number): 'present' | 'absent' | 'borderline' {
  return db >= SURELY_CHANGED_DB ? 'present' : db <= SURELY_STEADY_DB ? 'absent' : 'borderline';
}

function saidOf(verdict: BassChange['verdict'] | undefined): boolean | null {
  return verdict === undefined || verdict === 'cannot be told' ? null : verdict === 'falls with volume';
}

function most(values: readonly number[]): number {
  return values.length === 0 ? 0 : Math.max(...values);
}
