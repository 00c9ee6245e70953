import type { Equipment, EquipmentInput } from '../../../src/model/equipment.ts';
import { equipmentSchema } from '../../../src/model/equipment.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { Session } from '../../../src/model/session.ts';
import { type FeedWithTone, withTone } from '../../../src/recommend/chain/knob-tone.ts';
import { type FeedToSolve, solvedFeed } from '../../../src/recommend/chain/solved-feed.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { type PlanContext, planContext } from '../../../src/recommend/plan-context.ts';
import { pair, planInput, type SyntheticRadio } from '../synthetic.ts';

/** Two flat front outputs, 1 dB a setting, 8 V at 30; what is given changes them. */
export function contextOf(
  of: Partial<SyntheticRadio> & { session?: Partial<Session>; without?: readonly Finding['kind'][] } = {},
): PlanContext {
  const { session, without = [], findings = [], ...radio } = of;
  const input = planInput({
    taps: pair('front'),
    settings: [20, 25, 30, 35],
    volts: { at: 30, rms: 8 },
    railVoltsPeak: 12.6,
    ...radio,
  });
  return planContext({
    ...input,
    session: { ...input.session, ...session },
    // A rail is what these tests give themselves.
    findings: [
      ...input.findings.filter(({ kind }) => kind !== 'rail' && !without.includes(kind)),
      ...findings,
    ],
  });
}

export function equipmentOf(input: EquipmentInput): Equipment {
  return equipmentSchema.parse(input);
}

/** A finding with what every one has. */
export function finding(
  part: { kind: Finding['kind']; tapIds: readonly string[] } & Readonly<Record<string, unknown>>,
): Finding {
  return { id: `${part.kind}-${part.tapIds.join('-')}`, evidence: [], ...part } as unknown as Finding;
}

const FLAT = new Float64Array(gridFrequencyHz.length);

/** One output's feed of the named taps, solved for a setting; boost and equaliser flat unless given. */
export function solvedOf(
  context: PlanContext,
  of: Partial<FeedToSolve> & { tapIds?: readonly (readonly string[])[]; summed?: boolean } = {},
): FeedWithTone {
  const { tapIds = [['front left'], ['front right']], summed = false, ...wanted } = of;
  const feeds = tapIds.map((ids, i) => ({
    output: wanted.output ?? 'front',
    side: ids.length > 1 && tapIds.length === 1 ? 'both' : i === 0 ? 'left' : 'right',
    summed,
    setting: 30,
    taps: ids.map((tapId) => ({ tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 })),
  })) as unknown as Feed[];
  const solved = solvedFeed(context, {
    output: 'front',
    feeds,
    setting: 30,
    boostDb: FLAT,
    equalizerDb: FLAT,
    filters: [],
    direct: null,
    padDb: 0,
    ...wanted,
  })!;
  return withTone(context, solved);
}

/** Decibels below a frequency, nothing above. */
export function bassDb(db: number, belowHz = 150): Float64Array {
  return gridFrequencyHz.map((hz) => (hz < belowHz ? db : 0));
}
