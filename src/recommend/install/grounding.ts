import { type FindingOf, findingsOf, type LineOrigin } from '../../model/finding.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { PlanContext } from '../plan-context.ts';

type Grounding = RecommendationOf<'grounding'>;
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
      order: 0,
      restsOn: findings.map(({ id }) => id),
      reasons: [
        REASONS[noise],
        ...new Set(own.flatMap(({ origin }) => (origin === null ? [] : seenIn(origin)))),
      ],
      noise,
      tapIds: [...new Set(findings.flatMap(({ tapIds }) => tapIds))],
      advice: [
        ...(noise === 'engine-related tones' && own.some(({ origin }) => origin?.moves === true)
          ? ADVICE[noise].slice(1)
          : ADVICE[noise]),
        ...(findings.some(({ mutesInSilence }) => mutesInSilence) ? [MUTES] : []),
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
function seenIn({ origin, moves, atVolumeZero, combs }: LineOrigin): string[] {
  if (origin === 'mains' || origin === 'steady') return [];
  const places = combs.map(({ engine, fundamentalHz }) => `${Math.round(fundamentalHz)} Hz ${SPEED[engine]}`);
  return [
    moves === true
      ? `the lines move with the engine: lowest ${places.join(', ')}`
      : `the lines come with the engine: lowest ${places.join(', ')}; another engine speed would show whether they move`,
    ...(atVolumeZero ? ['they are there at volume zero: the volume does not make them'] : []),
  ];
}

const SPEED = { off: 'with the engine off', idle: 'at idle', fast: 'at the higher speed' } as const;

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

const MUTES = 'the radio mutes in silence: judge noise under quiet music, not between tracks';

const REASONS: Readonly<Record<Kind, string>> = {
  hiss: 'an even floor without lines: gain structure decides how much of it is heard',
  'mains hum': 'lines at multiples of the mains frequency: from a bench charger or a mains-powered recorder',
  alternator: 'a comb of lines with the engine running: ripple of the alternator',
  'engine-related tones':
    'low tones with the engine running: noise cancelling or synthesised engine sound may be on these taps',
  'lines of unknown origin': 'steady lines that are no mains multiples',
  recorder: 'the recorder’s own noise is what was measured: the radio is quieter than it',
};

const ADVICE: Readonly<Record<Kind, readonly string[]>> = {
  hiss: ['converter hot, amplifier gain low', 'leave no channel open that is not used'],
  'mains hum': [
    'take the noise takes again with the charger off and the laptop on its battery',
    'if it stays, use isolated inputs',
  ],
  alternator: [
    'one ground point for converter and amplifier, bare metal, short and thick',
    'keep signal leads away from the supply wire',
    'if it stays: differential or isolated inputs at the amplifier, never a joined speaker minus',
  ],
  'engine-related tones': [
    'record again at idle and at a steady higher speed: tones that move with it belong to the engine',
    'settle noise cancelling by the maker’s information before a subwoofer is added: it may boom',
  ],
  'lines of unknown origin': ['record with the engine off, at idle and fast, and compare which lines move'],
  recorder: ['record with the pad’s loss reduced, or with a shorted take beside it'],
};
