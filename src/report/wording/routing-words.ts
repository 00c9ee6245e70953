import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { formatDelay, plainDb } from '../format.ts';
import { say } from '../sentence.ts';
import {
  type FindingWords,
  known,
  notKnown,
  type Statement,
  type TapLabel,
  whyNotKnown,
} from './statement.ts';

type Routing = FindingOf<'routing'>;
type Timing = FindingOf<'timing'>;

export function routingWords(finding: Routing): FindingWords {
  // Where nothing plays, no channels are swapped.
  const warning =
    finding.agreesWithSession || finding.carries === 'nothing'
      ? []
      : [known(say`The session says otherwise. Before you go on, check for swapped channels or wires.`)];
  return { subject: 'Programme carried', statements: [known(carriesSentence(finding)), ...warning] };
}

export function timingWords(finding: Timing, tapLabel: TapLabel): FindingWords {
  const reference = tapLabel(finding.referenceTapId);
  return {
    subject: 'Polarity and delay',
    statements: [polarityStatement(finding, reference), delayStatement(finding, reference)],
  };
}

function carriesSentence({ carries, leftDb, rightDb }: Routing) {
  const levels = `left ${levelText(leftDb)}, right ${levelText(rightDb)}`;
  switch (carries) {
    case 'left':
      return say`It plays the left side; ${theOther('right', rightDb)}.`;
    case 'right':
      return say`It plays the right side; ${theOther('left', leftDb)}.`;
    case 'left and right':
      return say`It plays left and right together (${levels}).`;
    case 'difference':
      return say`It plays the difference of left and right, as a surround channel does (${levels}). Never sum it into a stereo feed.`;
    case 'nothing':
      return say`Neither side rises clear of the noise. Nothing is connected, it is muted, its level is far too low, or it is no output for music.`;
  }
}

function levelText(levelDb: number | null): string {
  return levelDb === null ? 'nothing' : plainDb(levelDb);
}

function theOther(side: 'left' | 'right', levelDb: number | null): string {
  return levelDb === null
    ? `nothing of the ${side} stands clear of the noise`
    : `the ${side} is weaker by ${plainDb(-levelDb)}`;
}

function polarityStatement({ polarity, reason }: Timing, reference: string): Statement {
  switch (polarity) {
    case 'same':
      return known(say`Same polarity as ${reference}.`);
    case 'inverted':
      return known(say`Plus and minus are swapped against ${reference}: summed as they are, the two cancel.`);
    case 'ambiguous':
      return notKnown({
        what: `its polarity against ${reference}`,
        reason: reason ?? 'delay and filters leave both answers open',
      });
  }
}

function delayStatement({ delaySeconds }: Timing, reference: string): Statement {
  if (isNotMeasurable(delaySeconds)) return whyNotKnown(`its delay against ${reference}`, delaySeconds);
  const { value, plusMinus } = delaySeconds;
  if (Math.abs(value) <= plusMinus) {
    return known(
      say`It arrives with ${reference}, within ${formatDelay({ value: plusMinus, plusMinus: 0 })}.`,
    );
  }
  const order = value > 0 ? 'later' : 'earlier';
  return known(
    say`It arrives ${order} than ${reference} by ${formatDelay({ value: Math.abs(value), plusMinus })}.`,
  );
}
