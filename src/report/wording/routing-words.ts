import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { formatDelay, plainDb } from '../format.ts';
import { say } from '../sentence.ts';
import { type FindingWords, type Statement, type TapLabel, told, untold, untoldAnswer } from './statement.ts';

type Routing = FindingOf<'routing'>;
type Timing = FindingOf<'timing'>;

export function routingWords(finding: Routing): FindingWords {
  const warning = finding.agreesWithSession
    ? []
    : [
        told(
          say`This is not what the session says of this tap: check whether channels or wires were swapped before going on.`,
        ),
      ];
  return { subject: 'Programme carried', statements: [told(carriesSentence(finding)), ...warning] };
}

export function timingWords(finding: Timing, tapLabel: TapLabel): FindingWords {
  const reference = tapLabel(finding.referenceTapId);
  return {
    subject: 'Polarity and delay',
    statements: [polarityStatement(finding, reference), delayStatement(finding, reference)],
  };
}

function carriesSentence({ carries, leftDb, rightDb }: Routing) {
  const levels = `left ${levelText(leftDb)}, right ${levelText(rightDb)} against the stronger`;
  switch (carries) {
    case 'left':
      return say`Carries the left programme; ${theOther('right', rightDb)}.`;
    case 'right':
      return say`Carries the right programme; ${theOther('left', leftDb)}.`;
    case 'left and right':
      return say`Carries left and right together (${levels}).`;
    case 'difference':
      return say`Carries the difference of left and right, as derived channels do (${levels}). Never sum it into a stereo feed.`;
    case 'nothing':
      return say`Carries neither programme: nothing connected, muted, or not an output for music.`;
  }
}

function levelText(levelDb: number | null): string {
  return levelDb === null ? 'nothing' : plainDb(levelDb);
}

function theOther(side: 'left' | 'right', levelDb: number | null): string {
  return levelDb === null
    ? `of the ${side} one nothing stands clear of the noise`
    : `the ${side} one is ${plainDb(-levelDb)} weaker`;
}

function polarityStatement({ polarity, reason }: Timing, reference: string): Statement {
  switch (polarity) {
    case 'same':
      return told(say`Same polarity as ${reference}.`);
    case 'inverted':
      return told(say`Inverted against ${reference}: summing the two as they are cancels.`);
    case 'ambiguous':
      return untold({
        what: `Its polarity against ${reference}`,
        reason: reason ?? 'delay and filters leave both answers open',
      });
  }
}

function delayStatement({ delaySeconds }: Timing, reference: string): Statement {
  if (isNotMeasurable(delaySeconds)) return untoldAnswer(`Its delay against ${reference}`, delaySeconds);
  const { value, plusMinus } = delaySeconds;
  if (Math.abs(value) <= plusMinus) {
    return told(
      say`Arrives together with ${reference} (within ${formatDelay({ value: plusMinus, plusMinus: 0 })}).`,
    );
  }
  const order = value > 0 ? 'later' : 'earlier';
  return told(say`Arrives ${formatDelay({ value: Math.abs(value), plusMinus })} ${order} than ${reference}.`);
}
