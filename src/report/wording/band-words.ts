import type { BandEdge, FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../model/measured.ts';
import { fixed, formatHz, listed, plainDb, plainHz } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import {
  capitalised,
  type FindingWords,
  measuredOr,
  type Statement,
  type TapLabel,
  told,
  untold,
  untoldAnswer,
} from './statement.ts';

type Band = FindingOf<'band'>;

export function bandWords(finding: Band): FindingWords {
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
  return untold({
    what: 'Whether the radio or the recorder’s own input loses the lowest bass',
    reason:
      'it falls alike at every tap and setting, as behind a coupling capacitor or a transformer of the recorder or its adapter',
    recordNext: LOOP_TAKE,
  });
}

const LOOP_TAKE = 'the loop take: the player straight into the same pad, adapter and recorder';

export function crossoverWords(finding: FindingOf<'crossover'>, tapLabel: TapLabel): FindingWords {
  return {
    subject: 'Crossover',
    statements: [
      told(
        say`${capitalised(tapLabel(finding.lowTapId))} below and ${tapLabel(finding.highTapId)} above meet at ${formatHz(finding.frequencyHz)}. Together they carry what neither carries alone.`,
      ),
    ],
  };
}

export function commonCeilingWords(finding: FindingOf<'common-ceiling'>): FindingWords {
  return {
    subject: 'Common ceiling',
    statements: [
      told(
        say`Every tap ends at ${plainHz(finding.ceilingHz)}. That is the player or a lossy file, not a crossover; play the track as an uncompressed file to be sure.`,
      ),
    ],
  };
}

/** "from 2.4 kHz up", "up to 80 Hz", "from 60 Hz to 3 kHz": by the −3 dB points, or −6 dB where those are not known. */
export function bandSpan({ lowEdge, highEdge }: Pick<Band, 'lowEdge' | 'highEdge'>): string {
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

function bandVerdict(finding: Band): Statement {
  switch (finding.verdict) {
    case 'full range':
      return told(say`Full range: no edge of 6 dB an octave or more within the trusted band.`);
    case 'band-limited':
      return told(say`Band-limited: it carries the range ${bandSpan(finding)} (−3 dB).`);
    case 'cannot be told':
      return untold({
        what: 'What band it carries',
        reason: finding.reason ?? 'the recordings do not show it',
      });
  }
}

function edgeStatements({ lowEdge, highEdge }: Band): Statement[] {
  return [
    ...(lowEdge === null ? [] : oneEdge('low edge', 'high-pass', lowEdge)),
    ...(highEdge === null ? [] : oneEdge('high edge', 'low-pass', highEdge)),
  ];
}

function oneEdge(name: string, pass: string, edge: BandEdge): Statement[] {
  return [
    pointStatement(
      `The −3 dB point of the ${name}`,
      edge.minus3Hz,
      (hz) => say`Its ${name} is 3 dB down at ${hz}.`,
    ),
    pointStatement(
      `The −6 dB point of the ${name}`,
      edge.minus6Hz,
      (hz) => say`Its ${name} is 6 dB down at ${hz}.`,
    ),
    typeof edge.slopeDbPerOctave === 'number'
      ? told(say`It falls by ${fixed(edge.slopeDbPerOctave, 0)} dB an octave.`)
      : untoldAnswer(`The slope of the ${name}`, edge.slopeDbPerOctave),
    isNotMeasurable(edge.filter)
      ? untoldAnswer(`The filter behind the ${name}`, edge.filter)
      : told(
          say`It fits a ${familyName(edge.filter.family)} ${pass} of order ${edge.filter.order} with its corner at ${formatHz(edge.filter.cornerHz)}.`,
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

function eqStatements(fixedEq: Band['fixedEq']): Statement[] {
  if (fixedEq.length === 0) return [];
  const bands = fixedEq.map(
    ({ frequencyHz, gainDb, q }) => `${plainDb(gainDb)} at ${plainHz(frequencyHz)} (Q ${fixed(q, 1)})`,
  );
  return [told(say`The radio's own fixed EQ, as fitted: ${listed(bands)}.`)];
}
