import { type FindingOf, findingsOf, type LineOrigin } from '../../model/finding.ts';
import { isSameReason, type Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { PlanContext } from '../plan-context.ts';

type Grounding = AdviceOf<'grounding'>;
type Noise = FindingOf<'noise'>;
type Kind = Grounding['noise'];

/** An alternator's rectifier whines above this; engine-related tones that a radio makes on purpose lie below (common practice). */
const WHINE_FROM_HZ = 200;
/** Lines in a row at equal spacing that make a comb. */
const COMB_LINES = 3;
const COMB_TOLERANCE = 0.03;

/** What the noise takes say about grounds and isolation: one item for each kind of noise. */
export function groundingAdvice(context: PlanContext): Grounding[] {
  const engineRunning = context.session.supply.engineRunning === true;
  const heard = findingsOf(context.findings, 'noise').flatMap((finding) =>
    heardOn(finding, engineRunning).map((one) => ({ ...one, finding })),
  );
  const kinds = [...new Set(heard.map(({ noise }) => noise))];
  return kinds.map((noise) => {
    const own = heard.filter((one) => one.noise === noise);
    const findings = [...new Set(own.map(({ finding }) => finding))];
    return {
      kind: 'grounding',
      id: `grounding-${noise.replaceAll(' ', '-')}`,
      restsOn: findings.map(({ id }) => id),
      reasons: [
        REASONS[noise],
        ...own
          .flatMap(({ origin }) => (origin === null ? [] : seenIn(origin)))
          .filter((seen, i, all) => all.findIndex((other) => isSameReason(other, seen)) === i),
      ],
      noise,
      tapIds: [...new Set(findings.flatMap(({ tapIds }) => tapIds))],
      advice: [
        ...(noise === 'engine-related tones' && own.some(({ origin }) => origin?.moves === true)
          ? ADVICE[noise].slice(1)
          : ADVICE[noise]),
        ...(findings.some(({ mutesInSilence }) => mutesInSilence)
          ? [{ code: 'judge noise under music' as const }]
          : []),
      ],
    };
  });
}

/** By the noise takes where there are any, else by the lines of the other takes. */
function heardOn(finding: Noise, engineRunning: boolean): { noise: Kind; origin: LineOrigin | null }[] {
  const { origins } = finding;
  if (origins === undefined || origins.length === 0)
    return [{ noise: kindOf(finding, engineRunning), origin: null }];
  return origins.map((origin) => ({ noise: KIND_OF_ORIGIN[origin.origin], origin }));
}

const KIND_OF_ORIGIN: Readonly<Record<LineOrigin['origin'], Kind>> = {
  mains: 'mains hum',
  steady: 'lines of unknown origin',
  alternator: 'alternator',
  'engine sound': 'engine-related tones',
};

/** What was seen of lines that come with the engine, in figures. */
function seenIn({ origin, moves, atVolumeZero, combs }: LineOrigin): Reason[] {
  if (origin === 'mains' || origin === 'steady') return [];
  const places = combs.map(({ engine, fundamentalHz }) => ({ engine, hz: fundamentalHz }));
  return [
    { code: moves === true ? 'lines move with the engine' : 'lines come with the engine', places },
    ...(atVolumeZero ? [{ code: 'lines at volume zero' as const }] : []),
  ];
}

function kindOf({ lines, mainsHz, limitedBy }: Noise, engineRunning: boolean): Kind {
  if (mainsHz !== null) return 'mains hum';
  if (lines.length > 0 && engineRunning) {
    return lines.some(({ frequencyHz }) => frequencyHz > WHINE_FROM_HZ) && isComb(lines)
      ? 'alternator'
      : 'engine-related tones';
  }
  if (lines.length > 0) return 'lines of unknown origin';
  return limitedBy === 'recorder' ? 'recorder' : 'hiss';
}

function isComb(lines: Noise['lines']): boolean {
  const hz = lines.map(({ frequencyHz }) => frequencyHz).sort((a, b) => a - b);
  if (hz.length < COMB_LINES) return hz.length > 0;
  const spacing = hz[1] - hz[0];
  return hz.slice(1).every((frequency, i) => Math.abs((frequency - hz[i]) / spacing - 1) < COMB_TOLERANCE);
}

const REASONS: Readonly<Record<Kind, Reason>> = {
  hiss: { code: 'an even floor' },
  'mains hum': { code: 'lines at mains multiples' },
  alternator: { code: 'a comb with the engine' },
  'engine-related tones': { code: 'low tones with the engine' },
  'lines of unknown origin': { code: 'lines that are no mains multiples' },
  recorder: { code: 'recorder noise was measured' },
};

const ADVICE: Readonly<Record<Kind, readonly Reason[]>> = {
  hiss: [{ code: 'converter hot, gain low' }, { code: 'leave no channel open' }],
  'mains hum': [{ code: 'noise takes on the battery' }, { code: 'isolated inputs if it stays' }],
  alternator: [
    { code: 'one ground point' },
    { code: 'signal leads away from supply' },
    { code: 'differential inputs if it stays' },
  ],
  'engine-related tones': [{ code: 'record at two engine speeds' }, { code: 'settle noise cancelling' }],
  'lines of unknown origin': [{ code: 'compare which lines move' }],
  recorder: [{ code: 'reduce the pad’s loss' }],
};
