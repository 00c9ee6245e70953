import { voltsWithheld } from '../findings/clipping/rail.ts';
import type { TakeFacts } from '../model/check.ts';
import type { Doubt } from '../model/doubt.ts';
import type { Amplifier, Equipment, Output } from '../model/equipment.ts';
import { type Finding, type FindingOf, findingsOf } from '../model/finding.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Reason } from '../model/reason.ts';
import type { Position, Session, Tap } from '../model/session.ts';
import { undoubted } from './undoubted.ts';

/** What recommendations are made from; results read back from a file serve as well as fresh ones. */
export interface PlanInput {
  readonly session: Session;
  readonly measurements: readonly TapMeasurement[];
  readonly findings: readonly Finding[];
  /** Null or with empty parts where nothing is given yet: the order sheet then says what class is needed. */
  readonly equipment: Equipment | null;
  /** What was seen in each take, chimes and prompts among it; absent where nobody looked. */
  readonly takes?: readonly TakeFacts[];
  /** What keeps takes from saying what they seem to say: nothing rests on those. */
  readonly doubts?: readonly Doubt[] | undefined;
}

/** A tap with the part it plays: from the session, and from the findings where the session leaves it open. */
export interface TapRole {
  readonly tapId: string;
  readonly output: Output;
  readonly position: Position;
  readonly side: 'left' | 'right' | 'both';
  /** Carries the difference of the sides, or nothing: in no feed. */
  readonly unfit: boolean;
  readonly band: FindingOf<'band'> | undefined;
}

export interface PlanContext extends PlanInput {
  readonly taps: readonly TapRole[];
  /** Recorded settings with no bass change and no loudness contour in the middle of which sums are judged. */
  readonly judgedSettings: readonly number[];
  /** Why no volts are given although the recordings are calibrated; null where they can be believed. */
  readonly voltsWithheld: Reason | null;
}

/** A low-pass below this makes a tap of unknown place a subwoofer output (common practice: they end at 60 to 200 Hz). */
const SUBWOOFER_EDGE_BELOW_HZ = 250;

export function planContext(given: PlanInput): PlanContext {
  const input = { ...given, measurements: undoubted(given.measurements, given.doubts ?? []) };
  return {
    ...input,
    taps: input.session.taps
      .filter((tap) => tap.position !== 'microphone' && isMeasured(input, tap.id))
      .map((tap) => roleOf(tap, input.findings)),
    judgedSettings: judgedSettings(input),
    voltsWithheld: voltsWithheld(input.findings) ?? inDoubt(input, 'volts'),
  };
}

/** Volts are one calibration's: a doubt about some is one about all. */
function inDoubt({ doubts = [] }: PlanInput, kind: Doubt['kind']): Reason | null {
  return doubts.find((doubt) => doubt.kind === kind)?.reason ?? null;
}

export function roleOfTap(context: PlanContext, tapId: string): TapRole {
  return context.taps.find((role) => role.tapId === tapId)!;
}

/** The findings about a tap, or about any of several. */
export function findingsAbout<Kind extends Finding['kind']>(
  context: PlanInput,
  kind: Kind,
  tapIds: readonly string[],
): FindingOf<Kind>[] {
  return findingsOf(context.findings, kind).filter((finding) =>
    finding.tapIds.some((id) => tapIds.includes(id)),
  );
}

/** A tap whose bass is filtered away has none that a limiter could hold. */
const CARRIES_BASS_BELOW_HZ = 150;

export function limitersOn(context: PlanContext, tapIds: readonly string[]): FindingOf<'bass-limiter'>[] {
  const withBass = tapIds.filter((tapId) => {
    const edge = roleOfTap(context, tapId).band?.lowEdge?.minus6Hz;
    return edge === undefined || !('value' in edge) || edge.value < CARRIES_BASS_BELOW_HZ;
  });
  return findingsAbout(context, 'bass-limiter', withBass);
}

export function idsOf(findings: readonly Finding[]): string[] {
  return [...new Set(findings.map(({ id }) => id))];
}

/** Equal to true for a tap that lacks bass as a subwoofer output lacks treble: its own mid band is no reference. */
export function endsBelowHz(role: TapRole, frequencyHz: number): boolean {
  const edge = role.band?.highEdge?.minus6Hz;
  if (edge !== undefined && 'value' in edge) return edge.value < frequencyHz;
  return role.output === 'subwoofer';
}

function isMeasured({ measurements }: PlanInput, tapId: string): boolean {
  return measurements.some((measurement) => measurement.tapId === tapId);
}

function roleOf(tap: Tap, findings: readonly Finding[]): TapRole {
  const routing = findingsOf(findings, 'routing').find(({ tapIds }) => tapIds.includes(tap.id));
  const band = findingsOf(findings, 'band').find(({ tapIds }) => tapIds.includes(tap.id));
  return {
    tapId: tap.id,
    position: tap.position,
    output: outputOf(tap, band),
    side: sideOf(tap, routing),
    unfit: isUnfit(routing),
    band,
  };
}

function outputOf(tap: Tap, band: FindingOf<'band'> | undefined): Output {
  switch (tap.position) {
    case 'subwoofer':
    case 'rear':
    case 'centre':
      return tap.position;
    case 'unknown': {
      const edge = band?.highEdge?.minus3Hz;
      return edge !== undefined && 'value' in edge && edge.value < SUBWOOFER_EDGE_BELOW_HZ
        ? 'subwoofer'
        : 'front';
    }
    default:
      return 'front';
  }
}

/** What was measured goes before what was noted down: channels get swapped. */
function sideOf(tap: Tap, routing: FindingOf<'routing'> | undefined): 'left' | 'right' | 'both' {
  switch (routing?.carries) {
    case 'left':
      return 'left';
    case 'right':
      return 'right';
    case 'left and right':
      return 'both';
    default:
      return tap.side === 'unknown' ? 'both' : tap.side;
  }
}

/** The difference of left and right has no place in a stereo feed. */
function isUnfit(routing: FindingOf<'routing'> | undefined): boolean {
  return routing?.carries === 'difference' || routing?.carries === 'nothing';
}

/** The plateau of the bass findings, or every setting; ordered from its middle outwards. */
function judgedSettings({ session, findings }: PlanInput): number[] {
  const plateau = findingsOf(findings, 'bass-change').find(
    ({ plateauSettings }) => plateauSettings.length > 0,
  );
  const settings = [...(plateau?.plateauSettings ?? session.settings)].sort((a, b) => a - b);
  const middle = (settings.length - 1) / 2;
  const inner = settings
    .map((setting, i) => ({ setting, distance: Math.abs(i - middle) }))
    .sort((a, b) => a.distance - b.distance)
    .map(({ setting }) => setting);
  return [...inner, ...session.settings.filter((setting) => !inner.includes(setting))];
}

/** The amplifier that an output's feed goes to. */
export function amplifierFor({ equipment }: PlanContext, output: Output): Amplifier | undefined {
  return equipment?.amplifiers.find(({ feeds }) => feeds.includes(output));
}
