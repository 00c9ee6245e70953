import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { type Html, html } from '../html.ts';
import { say } from '../sentence.ts';
import { tapLabelOf } from '../tap-label.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import { capitalised, known, notKnown } from '../wording/statement.ts';
import { sheetList, sheetPage, sheetSection } from './sheet-page.ts';

/** Kinds that name something to buy, and what would have to be known or given up first. */
const PARTS = ['order', 'pad', 'supply', 'turn-on', 'bass-reach'] as const;
const FIRST = ['cannot-be-done', 'record-next'] as const;

/** What to order, why, and the wiring that it is for. */
export function renderOrderSheet(results: Results): string {
  const label = tapLabelOf(results);
  const sections = (kinds: readonly (typeof PARTS | typeof FIRST)[number][]): Html[] => {
    const words = results.recommendations
      .filter(({ kind }) => kinds.some((one) => one === kind))
      .map((item) => recommendationWords(item, label));
    const titles = [...new Set(words.map(({ title }) => title))];
    return titles.map((title) => {
      const own = words.filter((one) => one.title === title);
      return sheetSection(title, sheetList(own.flatMap(({ statements }) => statements)));
    });
  };
  const feeds = recommendationsOf(results.recommendations, 'feed').map((feed) =>
    recommendationWords(feed, label),
  );
  const wiring = feeds.flatMap((words) =>
    words.statements.slice(0, 1).map(({ sentence, known }) => ({
      sentence: say`${capitalised(words.of ?? words.title)}: ${sentence}`,
      known,
    })),
  );
  const sheet = (body: Html) => sheetPage({ title: 'Order sheet', name: results.session.name, body });
  if (results.chain?.verdict === 'not like this')
    return sheet(html`${sections(FIRST)}${sheetSection('What to order', sheetList([NOTHING_YET]))}`);
  return sheet(
    html`${sections(FIRST)}${sections(PARTS)}${sheetSection(
      'Wiring plan',
      sheetList(wiring.length > 0 ? wiring : [NO_PLAN]),
    )}${sheetSection('Before ordering', sheetList(BEFORE))}`,
  );
}

const NOTHING_YET = known(say`Nothing yet: settle what stands above first.`);

const NO_PLAN = notKnown({ what: 'The wiring', reason: 'no feed follows from these recordings' });

const BEFORE = [
  known(
    say`Compare these figures with the maker's data of the part: input volts RMS, not "watts"; inputs that may float above chassis.`,
  ),
  known(say`Wire, fuse and ground follow local codes and licensed practice.`),
];
