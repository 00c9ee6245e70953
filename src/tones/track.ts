import { ratioOf } from '../dsp/decibels.ts';
import { type Sweep, sweepValues } from '../dsp/sweep.ts';

/**
 * The test tracks as functions of time. Both sample rates carry the same sound (the sweep ends at 20 kHz at either), so
 * nothing downstream has to know which file was played. The reasons for each section stand beside it.
 */
export interface Track {
  readonly name: 'full' | 'response only';
  readonly durationSeconds: number;
  readonly sections: readonly Section[];
}

export type Section = SweepSection | LadderSection | TonesSection | SilenceSection;
export type Programme = 'left' | 'right' | 'both';

interface Span {
  readonly id: SectionId;
  readonly startSeconds: number;
  readonly durationSeconds: number;
}

export type SectionId =
  | 'lead-in'
  | 'sweep left'
  | 'sweep right'
  | 'sweep both low'
  | 'ladder bass'
  | 'ladder middle'
  | 'ladder treble'
  | 'closing left'
  | 'closing right'
  | 'quiet tone'
  | 'silence';

export interface SweepSection extends Span {
  readonly kind: 'sweep';
  readonly programme: Programme;
  readonly driveDbFs: number;
  readonly sweep: Sweep;
}

/** A tone in steps of whole cycles, left = right in phase, ascending. */
export interface LadderSection extends Span {
  readonly kind: 'ladder';
  readonly toneHz: number;
  readonly driveDbFs: readonly number[];
  readonly cyclesPerStep: number;
  /** The last cycles of a step, after it has settled. */
  readonly cyclesUsed: number;
}

interface TonesSection extends Span {
  readonly kind: 'tones';
  readonly tonesHz: readonly number[];
  readonly driveDbFs: number;
  readonly fadeSeconds: number;
}

interface SilenceSection extends Span {
  readonly kind: 'silence';
}

/** 55 and not 50 or 60 Hz: harmonics 1 to 9 stay 5 Hz or more from mains lines. 997 Hz as AES17; 6007 Hz for tweeter taps. */
export const BASS_TONE_HZ = 55;
export const MIDDLE_TONE_HZ = 997;
export const TREBLE_TONE_HZ = 6007;
export const LADDER_TONES_HZ = [BASS_TONE_HZ, MIDDLE_TONE_HZ, TREBLE_TONE_HZ];

/** The main sweep leaves 18 dB so that few radios clip on it; the low one another 18 dB, to tell limiters from fixed EQ. */
export const MAIN_SWEEP_DRIVE_DB_FS = -18;
export const LOW_SWEEP_DRIVE_DB_FS = -36;

const MAIN_SWEEP = sweepOf(6);
const LOW_SWEEP = sweepOf(5);
const CLOSING_SWEEP = sweepOf(1.5);

/** Coarse where nothing clips, 0.5 dB where radios do. */
const LADDER_DRIVES_DB_FS = [...stepsDb(-40, -26, 2), ...stepsDb(-24, -13, 1), ...stepsDb(-12, 0, 0.5)];
/** Tweeters get no full-scale steps. */
const TREBLE_LADDER_DRIVES_DB_FS = LADDER_DRIVES_DB_FS.filter((drive) => drive <= -3);

/** Both tracks begin alike. */
const OPENING: readonly Section[] = [
  // Opens mutes and swallows fade-ins; never analysed. It ends before what is read with the first sweep begins.
  tones('lead-in', { startSeconds: 0, durationSeconds: 1.25, driveDbFs: -40 }),
  sweep('sweep left', {
    startSeconds: 1.5,
    programme: 'left',
    driveDbFs: MAIN_SWEEP_DRIVE_DB_FS,
    sweep: MAIN_SWEEP,
  }),
  sweep('sweep right', {
    startSeconds: 8.2,
    programme: 'right',
    driveDbFs: MAIN_SWEEP_DRIVE_DB_FS,
    sweep: MAIN_SWEEP,
  }),
];

export const fullTrack: Track = {
  name: 'full',
  durationSeconds: 44,
  sections: [
    ...OPENING,
    sweep('sweep both low', {
      startSeconds: 14.9,
      programme: 'both',
      driveDbFs: LOW_SWEEP_DRIVE_DB_FS,
      sweep: LOW_SWEEP,
    }),
    ladder('ladder bass', { startSeconds: 20.6, toneHz: BASS_TONE_HZ, cyclesPerStep: 8, cyclesUsed: 5 }),
    ladder('ladder middle', {
      startSeconds: 27.5,
      toneHz: MIDDLE_TONE_HZ,
      cyclesPerStep: 60,
      cyclesUsed: 40,
    }),
    ladder('ladder treble', {
      startSeconds: 30.4,
      toneHz: TREBLE_TONE_HZ,
      cyclesPerStep: 169,
      cyclesUsed: 120,
    }),
    // Far from the opening sweeps: the ratio of the two clocks.
    sweep('closing left', {
      startSeconds: 32.2,
      programme: 'left',
      driveDbFs: MAIN_SWEEP_DRIVE_DB_FS,
      sweep: CLOSING_SWEEP,
    }),
    sweep('closing right', {
      startSeconds: 34.1,
      programme: 'right',
      driveDbFs: MAIN_SWEEP_DRIVE_DB_FS,
      sweep: CLOSING_SWEEP,
    }),
    // Noise with muting held open.
    tones('quiet tone', { startSeconds: 36.3, durationSeconds: 4, driveDbFs: -60 }),
    // Last: a mute that releases slowly would spoil what follows it.
    { id: 'silence', kind: 'silence', startSeconds: 40.3, durationSeconds: 3.7 },
  ],
};

/** For further pairs: response, routing, timing and clock only. */
export const responseTrack: Track = {
  name: 'response only',
  durationSeconds: 19.5,
  sections: [
    ...OPENING,
    sweep('closing left', {
      startSeconds: 14.9,
      programme: 'left',
      driveDbFs: MAIN_SWEEP_DRIVE_DB_FS,
      sweep: CLOSING_SWEEP,
    }),
    sweep('closing right', {
      startSeconds: 16.8,
      programme: 'right',
      driveDbFs: MAIN_SWEEP_DRIVE_DB_FS,
      sweep: CLOSING_SWEEP,
    }),
    { id: 'silence', kind: 'silence', startSeconds: 18.8, durationSeconds: 0.7 },
  ],
};

/** Value of a section at `seconds` after the track's start, full scale = 1; the same for every channel of its programme. */
export function sectionValues(section: Section): (seconds: number) => number {
  const inside = valuesInside(section);
  const { startSeconds, durationSeconds } = section;
  return (seconds) => {
    const at = seconds - startSeconds;
    return at < 0 || at >= durationSeconds ? 0 : inside(at);
  };
}

function valuesInside(section: Section): (inside: number) => number {
  switch (section.kind) {
    case 'sweep': {
      const peak = ratioOf(section.driveDbFs);
      const value = sweepValues(section.sweep);
      return (inside) => peak * value(inside);
    }
    case 'ladder': {
      const peaks = section.driveDbFs.map(ratioOf);
      return (inside) => {
        const cycle = inside * section.toneHz;
        const peak = peaks[Math.floor(cycle / section.cyclesPerStep)];
        return peak === undefined ? 0 : peak * Math.sin(2 * Math.PI * cycle);
      };
    }
    case 'tones': {
      const peak = ratioOf(section.driveDbFs);
      const { fadeSeconds, durationSeconds, tonesHz } = section;
      return (inside) => {
        const edge = Math.min(1, inside / fadeSeconds, (durationSeconds - inside) / fadeSeconds);
        const fade = 0.5 * (1 - Math.cos(Math.PI * edge));
        const sum = tonesHz.reduce((total, toneHz) => total + Math.sin(2 * Math.PI * toneHz * inside), 0);
        return peak * fade * sum;
      };
    }
    case 'silence':
      return () => 0;
  }
}

/** Whether a section is heard on the left and on the right channel. */
export function sectionProgramme(section: Section): Programme {
  return section.kind === 'sweep' ? section.programme : 'both';
}

export function sectionOf<Kind extends Section['kind']>(
  track: Track,
  kind: Kind,
  id: SectionId,
): Extract<Section, { kind: Kind }> | undefined {
  return track.sections.find(
    (section): section is Extract<Section, { kind: Kind }> => section.kind === kind && section.id === id,
  );
}

/** Whether a section is played on one side alone, by its name; null for all others. */
export function sideOfSection(id: string): 'left' | 'right' | null {
  const section = fullTrack.sections.find((one) => one.id === id);
  return section?.kind !== 'sweep' || section.programme === 'both' ? null : section.programme;
}

/** Start of a ladder's step, seconds after the track's start. */
export function ladderStepStartSeconds(ladder: LadderSection, step: number): number {
  return ladder.startSeconds + (step * ladder.cyclesPerStep) / ladder.toneHz;
}

function sweepOf(durationSeconds: number): Sweep {
  return { startHz: 10, endHz: 20_000, durationSeconds, fadeInSeconds: 0.1, fadeOutSeconds: 0.005 };
}

function sweep(id: SectionId, part: Omit<SweepSection, 'id' | 'kind' | 'durationSeconds'>): SweepSection {
  return { id, kind: 'sweep', durationSeconds: part.sweep.durationSeconds, ...part };
}

function ladder(
  id: SectionId,
  part: Omit<LadderSection, 'id' | 'kind' | 'durationSeconds' | 'driveDbFs'>,
): LadderSection {
  const driveDbFs = part.toneHz === TREBLE_TONE_HZ ? TREBLE_LADDER_DRIVES_DB_FS : LADDER_DRIVES_DB_FS;
  const durationSeconds = (driveDbFs.length * part.cyclesPerStep) / part.toneHz;
  return { id, kind: 'ladder', durationSeconds, driveDbFs, ...part };
}

function tones(
  id: SectionId,
  part: Omit<TonesSection, 'id' | 'kind' | 'tonesHz' | 'fadeSeconds'>,
): TonesSection {
  return { id, kind: 'tones', tonesHz: LADDER_TONES_HZ, fadeSeconds: 0.2, ...part };
}

function stepsDb(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => from + i * step);
}
