import type { RecommendationOf } from '../../model/recommendation.ts';
import { listed } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { fixed, plainDb, plainHz } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import { feedName } from './feed-words.ts';
import type { RecommendationWords } from './statement.ts';
import { known, type Statement } from './statement.ts';

type Delay = RecommendationOf<'delay'>;
type Balance = RecommendationOf<'balance'>;

/** Shorter waits are not set. */
const SHOWN_SECONDS = 5e-5;

export function delayWords(item: Delay): RecommendationWords {
  const waiting = item.feeds.filter(({ delaySeconds }) => delaySeconds >= SHOWN_SECONDS);
  const waits = waiting.map((feed) => `${feedName(feed)} by ${milliseconds(feed.delaySeconds)}`);
  const arrivals = item.feeds.map(
    (feed) =>
      `${feedName(feed)} ${feed.arrivesSeconds < SHOWN_SECONDS ? 'first' : `${milliseconds(feed.arrivesSeconds)} later`}`,
  );
  const counted = item.distancesCounted
    ? say`The distances to the seat are counted in.`
    : say`The distances to the seat are not noted: the feeds then agree at the outputs, not at the ear. Add 2.9 ms a metre to whatever sits nearer.`;
  const action = delayAction(item, waits);
  return {
    title: 'Delays',
    statements: [known(action), known(say`They arrive: ${listed(arrivals)}.`), known(counted)],
    step: {
      where: 'Delays',
      setTo: action,
      check: say`At the seat it sounds fuller where the two meet.`,
      known: item.by === 'converter',
    },
  };
}

function delayAction({ by, firstNullHz, reasons }: Delay, waits: readonly string[]): Sentence {
  switch (by) {
    case 'converter':
      return say`Delay ${listed(waits)}.`;
    case 'to order':
      return say`With the processor to order, delay ${listed(waits)}.${otherwise({ firstNullHz, reasons })}`;
    case 'nothing needed':
      return say`No delay is needed: ${listed(waits)} would make them agree, and that is not worth a part.`;
    case 'nothing':
      return say`Nothing here can delay ${listed(waits)}.${otherwise({ firstNullHz, reasons })}`;
  }
}

/** What helps without a delay. */
function otherwise({ firstNullHz, reasons }: Pick<Delay, 'firstNullHz' | 'reasons'>): string {
  const agree = reasons.find((one) => typeof one !== 'string' && one.code === 'use outputs that agree');
  const instead = agree === undefined ? '' : ` Without one ${reasonText(agree)}.`;
  const nulls =
    firstNullHz === null
      ? ''
      : ` Keep crossovers away from ${plainHz(firstNullHz)}, where the two cancel first.`;
  return instead + nulls;
}

function milliseconds(seconds: number): string {
  return `${fixed(seconds * 1000, seconds < 1e-3 ? 2 : 1)} ms`;
}

export function balanceWords({ levels, rearFill, centre }: Balance): RecommendationWords {
  const started = levels.flatMap(({ output, againstFrontDb }) =>
    againstFrontDb === null || output === 'front' ? [] : [`${output} ${plainDb(againstFrontDb)}`],
  );
  const subwoofer = levels.some(({ output }) => output === 'subwoofer')
    ? [say`Start the subwoofer at its gain from the table, then turn it at the seat.`]
    : [];
  const start = started.length === 0 ? [] : [say`Start below the front: ${listed(started)}.`];
  const [levelText = say`One feed alone has no other to match.`, ...more] = [...start, ...subwoofer];
  const statements = [
    known(levelText),
    ...more.map(known),
    ...rearStatements(rearFill),
    ...centreStatements(centre),
  ];
  return {
    title: 'Levels between the feeds',
    statements,
    step: {
      where: 'Levels between the feeds',
      setTo: levelText,
      check: say`At the seat, with music that the customer knows.`,
      known: true,
    },
  };
}

function rearStatements(rearFill: Balance['rearFill']): Statement[] {
  if (rearFill === null) return [];
  const { bandHz, delaySeconds, canDelay } = rearFill;
  const late = `${fixed(delaySeconds[0] * 1000, 0)} to ${fixed(delaySeconds[1] * 1000, 0)} ms`;
  return [
    known(
      say`Rears that only fill in play ${plainHz(bandHz[0])} to ${plainHz(bandHz[1])}, ${late} behind the front${canDelay ? '' : '; nothing here delays that far, so keep them low'}.`,
    ),
  ];
}

function centreStatements(centre: Balance['centre']): Statement[] {
  switch (centre) {
    case 'not asked for':
      return [];
    case 'own output':
      return [known(say`The centre is fed from its own output alone.`)];
    case 'stays with the radio':
      return [known(say`Leave the centre on the radio: no other output has what it decodes.`)];
    case 'no output of its own':
      return [
        known(
          say`No output carries a centre. Left plus right through a centre speaker narrows the stage and doubles the middle within that speaker's band: leave the channel unused.`,
        ),
      ];
  }
}
