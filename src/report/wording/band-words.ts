import type { BandEdge, FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../model/measured.ts';
import { listed } from '../../words/figures.ts';
import { fixed, formatHz, plainDb, plainHz } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import {
  capitalised,
  type FindingWords,
  known,
  measuredOr,
  notKnown,
  type Statement,
  type TapLabel,
  whyNotKnown,
} from './statement.ts';

type BandFinding = FindingOf<'band'>;

export function bandWords(finding: BandFinding): FindingWords {
  return {
    subject: 'Band',
    statements: [
      bandVerdict(finding),
      ...(finding.lowEdgeMayBeRecorder === true ? [recorderDoubt()] : []),
      ...edgeStatements(finding),
      ...eqStatements(finding.fixedEq),
    ],
  };
}

/** Beside a low edge that the recorder may have made. */
export function recorderDoubt(): Statement {
  return notKnown({
    what: 'whether the radio or the recorder loses the lowest bass',
    reason: 'every output and setting loses it alike, as a capacitor or transformer at the recorder would',
    recordNext: LOOP_TAKE,
  });
}

const LOOP_TAKE = 'a loop take: the player straight into the same pad, adapter and recorder';

export function crossoverWords(finding: FindingOf<'crossover'>, tapLabel: TapLabel): FindingWords {
  return {
    subject: 'Crossover',
    statements: [
      known(
        say`${capitalised(tapLabel(finding.lowTapId))} takes what is below, ${tapLabel(finding.highTapId)} what is above ${formatHz(finding.frequencyHz)}. Together they make one full band.`,
      ),
    ],
  };
}

export function commonCeilingWords(finding: FindingOf<'common-ceiling'>): FindingWords {
  return {
    subject: 'Common ceiling',
    statements: [
      known(
        say`Every output ends at ${plainHz(finding.ceilingHz)}. That is the player or a lossy file, no crossover. To be sure, play the uncompressed track.`,
      ),
    ],
  };
}

/** "from 2.4 kHz up", "up to 80 Hz", "from 60 Hz to 3 kHz": by the −3 dB points, or −6 dB where those are not known. */
export function bandSpan({ lowEdge, highEdge }: Pick<BandFinding, 'lowEdge' | 'highEdge'>): string {
  const low = lowEdge === null ? null : edgePoint(lowEdge);
  const high = highEdge === null ? null : edgePoint(highEdge);
  if (low !== null && high !== null) return `from ${low} to ${high}`;
  if (low !== null) return `from ${low} up`;
  if (high !== null) return `up to ${high}`;
  return 'part of the band';
}

function edgePoint({ minus3Hz, minus6Hz }: BandEdge): string | null {
  const known = [minus3Hz, minus6Hz].find((point) => !isNotMeasurable(point));
  return known === undefined || isNotMeasurable(known) ? null : plainHz(known.value);
}

function bandVerdict(finding: BandFinding): Statement {
  switch (finding.verdict) {
    case 'full range':
      return known(say`Full range.`);
    case 'band-limited':
      return known(say`Band-limited: it plays ${bandSpan(finding)} (−3 dB).`);
    case 'cannot be told':
      return notKnown({
        what: 'what band it carries',
        reason: finding.reason ?? 'the recordings do not show it',
      });
  }
}

function edgeStatements({ lowEdge, highEdge }: BandFinding): Statement[] {
  return [
    ...(lowEdge === null ? [] : oneEdge('low edge', 'high-pass', lowEdge)),
    ...(highEdge === null ? [] : oneEdge('high edge', 'low-pass', highEdge)),
  ];
}

function oneEdge(name: string, pass: string, edge: BandEdge): Statement[] {
  return [
    pointStatement(
      `the −3 dB point of the ${name}`,
      edge.minus3Hz,
      (hz) => say`Its ${name} is 3 dB down at ${hz}.`,
    ),
    pointStatement(
      `the −6 dB point of the ${name}`,
      edge.minus6Hz,
      (hz) => say`Its ${name} is 6 dB down at ${hz}.`,
    ),
    typeof edge.slopeDbPerOctave === 'number'
      ? known(say`It falls by ${fixed(edge.slopeDbPerOctave, 0)} dB an octave.`)
      : whyNotKnown(`the slope of the ${name}`, edge.slopeDbPerOctave),
    isNotMeasurable(edge.filter)
      ? whyNotKnown(`the filter behind the ${name}`, edge.filter)
      : known(
          say`It is a ${familyName(edge.filter.family)} ${pass} of order ${edge.filter.order}, corner at ${formatHz(edge.filter.cornerHz)}.`,
        ),
  ];
}

function pointStatement(
  what: string,
  answer: MeasuredOrReason,
  sentence: (hz: string) => Sentence,
): Statement {
  return measuredOr({ what, answer, sentence: (hz) => sentence(formatHz(hz)) });
}

function familyName(family: 'butterworth' | 'linkwitz-riley' | 'bessel'): string {
  const names = { butterworth: 'Butterworth', 'linkwitz-riley': 'Linkwitz-Riley', bessel: 'Bessel' };
  return names[family];
}

function eqStatements(fixedEq: BandFinding['fixedEq']): Statement[] {
  if (fixedEq.length === 0) return [];
  const bands = fixedEq.map(
    ({ frequencyHz, gainDb, q }) => `${plainDb(gainDb)} at ${plainHz(frequencyHz)} (Q ${fixed(q, 1)})`,
  );
  return [known(say`The radio's own EQ, by fit: ${listed(bands)}.`)];
}
