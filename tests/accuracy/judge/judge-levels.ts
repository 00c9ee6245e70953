import { type Finding, findingsOf } from '../../../src/model/finding.ts';
import { noiseVoltsRms, pairVoltsRms, routingOf } from '../../../src/simulate/tap-levels.ts';
import { type Claim, given, inDecibels, judged, judgedName, type Reading } from '../outcome.ts';
import { downDb, frequencies, hasLimiter, type TrueTap } from './true-tap.ts';

const MIDDLE_HZ = [300, 3000] as const;
/** A tap whose whole middle is within this of its strongest has its level read there. */
const MIDDLE_DB = 9;
/** White noise to 24 kHz, of which a finding states 20 Hz to 20 kHz. */
const STATED_NOISE_PART = Math.sqrt((20_000 - 20) / 24_000);

/** Routing, volume law and volts, noise, the rail, and what no system of the study has. */
export function judgeLevels(
  truth: TrueTap,
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const { tap, factory } = truth;
  const { scenario, snrDb } = factory;
  const of = <Kind extends Finding['kind']>(kind: Kind) =>
    findingsOf(findings, kind).find(({ tapIds }) => tapIds.includes(tap.id));
  const common = { snrDb, where: tap.id };
  const { left, right } = routingOf(tap);
  const routing = of('routing');
  const law = of('volume-law');
  const rail = of('rail');
  const claims: Claim[] = [
    {
      what: 'routing',
      ...common,
      judgement: judgedName({
        truth: right === 0 ? 'left' : left === 0 ? 'right' : 'left and right',
        // 'nothing' says that nothing rises clear of the noise.
        said: routing === undefined || routing.carries === 'nothing' ? null : routing.carries,
        answerable: true,
      }),
      detail: `said ${routing?.carries}`,
    },
    {
      what: 'recorder clipping',
      ...common,
      judgement: judged({ truth: 'absent', said: of('recorder-clipping') !== undefined, answerable: true }),
      detail: '',
    },
  ];
  if (law !== undefined)
    claims.push({
      what: 'fixed level',
      ...common,
      judgement: judged({ truth: 'absent', said: !law.followsVolume, answerable: true }),
      detail: '',
    });
  if (rail !== undefined && rail.verdict !== 'not told')
    claims.push({
      what: 'rail against supply',
      ...common,
      judgement: judgedName({ truth: 'as the supply allows', said: rail.verdict, answerable: true }),
      detail: `${JSON.stringify(rail.clipVoltsPeak)} of ${tap.railVoltsPeak}`,
    });
  const readings: Reading[] = [];
  if (rail !== undefined)
    readings.push({
      what: 'volts at the rail',
      unit: 'dB',
      ...inDecibels(rail.clipVoltsPeak, tap.railVoltsPeak!),
      ...common,
      detail: rail.verdict,
    });
  const middle = frequencies(...MIDDLE_HZ);
  if (middle.every((hz) => downDb(truth, hz) < MIDDLE_DB) && !hasLimiter(truth))
    for (const { setting, voltsRms } of law?.levels ?? [])
      for (const volts of given(voltsRms)) {
        const meanDb =
          middle.reduce((sum, hz) => sum + truth.fixedDb(hz) + truth.dependentDb(setting, hz), 0) /
          middle.length;
        const weight = Math.max(Math.abs(left), Math.abs(right), left === right ? left + right : 0);
        readings.push({
          what: 'volts of the middle',
          unit: 'dB',
          ...inDecibels(volts, pairVoltsRms(tap, setting) * weight * 10 ** (meanDb / 20)),
          snrDb,
          where: `${tap.id} ${setting}`,
          detail: '',
        });
      }
  const { padRatio, fullScaleVoltsRms, noiseDbFs } = scenario.recorder;
  for (const { setting, underQuietToneVolts } of of('noise')?.perSetting ?? [])
    for (const volts of tap.lines.length > 0 ? [] : given(underQuietToneVolts))
      readings.push({
        what: 'noise',
        unit: 'dB',
        ...inDecibels(
          volts,
          STATED_NOISE_PART *
            Math.hypot(
              noiseVoltsRms(tap, setting),
              scenario.files.shorted ? 0 : padRatio * fullScaleVoltsRms * 10 ** (noiseDbFs / 20),
            ),
        ),
        snrDb,
        where: `${tap.id} ${setting}`,
        detail: '',
      });
  return { claims, readings };
}

/** No system of the study has a player or file that ends early. */
export function judgeCeiling(taps: readonly TrueTap[], findings: readonly Finding[]): Claim[] {
  const found = findingsOf(findings, 'common-ceiling');
  return [
    {
      what: 'common ceiling',
      snrDb: taps[0].factory.snrDb,
      where: 'all taps',
      judgement: judged({ truth: 'absent', said: found.length > 0, answerable: true }),
      detail: found.map(({ ceilingHz }) => `${ceilingHz.toFixed(0)} Hz`).join(),
    },
  ];
}
