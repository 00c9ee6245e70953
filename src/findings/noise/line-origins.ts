import type { LineOrigin, NoiseTake } from '../../model/finding.ts';
import { humOf } from './hum.ts';
import { fitComb } from './line-comb.ts';
import { movedLines } from './moved-lines.ts';

type Line = NoiseTake['lines'][number];
type Running = 'idle' | 'fast';
type RunningTake = NoiseTake & { readonly engine: Running };

/** Lines within this of each other in two takes are one: the reading of a line, and mains that wanders. */
const SAME_LINE_HZ = 1;
const SAME_LINE_RATIO = 0.003;
/** Engine speeds where none was noted (common practice: 700 to 900, and what a driver holds on request). */
const USUAL_RPM: Readonly<Record<Running, number>> = { idle: 800, fast: 2500 };
/**
 * Periods in a revolution of the engine. Sounds of the engine, and what a car adds or cancels, are its low orders; an
 * alternator turns 2 to 3.5 times as fast, has 6 to 8 pole pairs and six ripples a period: from 12 (phases alone) and
 * mostly from 72 on (common practice). Between them lies the limit.
 */
const ALTERNATOR_FROM_PER_REVOLUTION = 12;

/** What the lines of a tap's noise takes belong to: those that stay with the engine off, and those that come with it. */
export function lineOrigins(takes: readonly NoiseTake[]): LineOrigin[] {
  const off = takes.filter(({ engine }) => engine === 'off');
  const running = takes.filter((take): take is RunningTake => take.engine !== 'off');
  const stays = (line: Line) => stillThere(line, { off, running });
  const steady = strongest(takes.flatMap(({ lines }) => lines.filter(stays)));
  const engine = running.map((take) => ({ ...take, lines: take.lines.filter((line) => !stays(line)) }));
  return [...steadyOrigins(steady, takes), ...engineOrigins(engine)];
}

function stillThere(
  line: Line,
  { off, running }: { off: readonly NoiseTake[]; running: readonly NoiseTake[] },
) {
  const inTake = ({ lines }: NoiseTake) => lines.some((other) => isSame(line, other));
  if (off.length > 0) return off.some(inTake);
  // Without a take with the engine off: what stands still between two speeds does not belong to it.
  const speeds = new Set(running.map(({ engine }) => engine));
  return speeds.size > 1 && running.every(inTake);
}

function isSame(one: Line, other: Line): boolean {
  const tolerance = Math.max(SAME_LINE_HZ, SAME_LINE_RATIO * other.frequencyHz);
  return Math.abs(one.frequencyHz - other.frequencyHz) <= tolerance;
}

/** Each line once, ascending. */
function strongest(lines: readonly Line[]): Line[] {
  const byLevel = [...lines].sort((a, b) => b.levelDbFs - a.levelDbFs);
  return byLevel
    .filter((line, i) => !byLevel.slice(0, i).some((other) => isSame(line, other)))
    .sort((a, b) => a.frequencyHz - b.frequencyHz);
}

function steadyOrigins(lines: readonly Line[], takes: readonly NoiseTake[]): LineOrigin[] {
  if (lines.length === 0) return [];
  const mainsHz = humOf(lines.map(({ frequencyHz }) => frequencyHz));
  const atVolumeZero = takes.some(
    ({ setting, lines: own }) => setting === 0 && own.some((line) => lines.some((one) => isSame(one, line))),
  );
  return [
    {
      origin: mainsHz === null ? 'steady' : 'mains',
      moves: new Set(takes.map(({ engine }) => engine)).size > 1 ? false : null,
      atVolumeZero,
      combs: [
        {
          engine: 'off',
          fundamentalHz: mainsHz ?? lines[0].frequencyHz,
          perRevolution: null,
          lines: [...lines],
        },
      ],
    },
  ];
}

function engineOrigins(takes: readonly RunningTake[]): LineOrigin[] {
  const states = { idle: ofState(takes, 'idle'), fast: ofState(takes, 'fast') };
  const moved = movedLines(states);
  const lines = moved === null ? byOwnSpeed(states) : byIdleSpeed(moved, states);
  return (['alternator', 'engine sound'] as const).flatMap((origin) => {
    const own = lines.filter(
      ({ perRevolution }) => isAlternator(perRevolution) === (origin === 'alternator'),
    );
    const combs = (['idle', 'fast'] as const).flatMap((engine) => {
      const here = own.filter((one) => one.engine === engine).map(({ line }) => line);
      return here.length === 0 ? [] : [combOf({ engine, lines: here, rpm: states[engine].rpm })];
    });
    const atVolumeZero = takes.some(
      ({ setting, lines: heard }) =>
        setting === 0 && heard.some((line) => own.some((one) => isSame(one.line, line))),
    );
    return combs.length === 0 ? [] : [{ origin, moves: moved === null ? null : true, atVolumeZero, combs }];
  });
}

interface PlacedLine {
  readonly engine: Running;
  readonly line: Line;
  readonly perRevolution: number;
}

function byOwnSpeed(states: Readonly<Record<Running, State>>): PlacedLine[] {
  return (['idle', 'fast'] as const).flatMap((engine) => {
    const rpm = states[engine].rpm ?? USUAL_RPM[engine];
    return states[engine].lines.map((line) => ({
      engine,
      line,
      perRevolution: (line.frequencyHz * 60) / rpm,
    }));
  });
}

/** A pair is placed by its line at idle: idle speeds differ little from car to car, higher ones a lot. */
function byIdleSpeed(
  { ratio, pairs }: NonNullable<ReturnType<typeof movedLines<Line>>>,
  { idle, fast }: Readonly<Record<Running, State>>,
): PlacedLine[] {
  const rpm = idle.rpm ?? (fast.rpm === null ? USUAL_RPM.idle : fast.rpm / ratio);
  return pairs.flatMap(({ slow, quick }) => {
    const perRevolution = (slow.frequencyHz * 60) / rpm;
    return [
      { engine: 'idle' as const, line: slow, perRevolution },
      { engine: 'fast' as const, line: quick, perRevolution },
    ];
  });
}

function isAlternator(perRevolution: number): boolean {
  return perRevolution >= ALTERNATOR_FROM_PER_REVOLUTION;
}

function combOf(of: {
  engine: Running;
  lines: readonly Line[];
  rpm: number | null;
}): LineOrigin['combs'][number] {
  const fundamentalHz = fitComb(of.lines);
  return {
    engine: of.engine,
    fundamentalHz,
    perRevolution: of.rpm === null ? null : (fundamentalHz * 60) / of.rpm,
    lines: [...of.lines],
  };
}

interface State {
  readonly lines: readonly Line[];
  readonly rpm: number | null;
}

function ofState(takes: readonly RunningTake[], engine: Running): State {
  const own = takes.filter((take) => take.engine === engine);
  return { lines: strongest(own.flatMap(({ lines }) => lines)), rpm: rpmOf(takes, engine) };
}

function rpmOf(takes: readonly RunningTake[], engine: Running): number | null {
  return takes.find((take) => take.engine === engine && take.rpm !== null)?.rpm ?? null;
}
