import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, plainHz, significant } from '../format.ts';
import { html } from '../html.ts';
import { NO_IMAGES, type PhotoImages } from '../photos.ts';
import { say } from '../sentence.ts';
import { notedTaps, tapNotesTable } from '../tap-notes.ts';
import { feedName } from '../wording/feed-words.ts';
import { type Statement, told, untold } from '../wording/statement.ts';
import { photoSection } from './photo-section.ts';
import { blank, sheetList, sheetPage, sheetSection } from './sheet-page.ts';

/** For the customer, in plain words: what was done, how loud it may be played, what to expect, how to undo it. */
export function renderHandOverSheet(results: Results, images: PhotoImages = NO_IMAGES): string {
  const { source, notes, name } = results.session;
  return sheetPage({
    title: 'Your car: what was done and how to use it',
    name,
    body: html`
${sheetSection('What was done', sheetList(doneStatements(results)))}
${sheetSection('How loud', sheetList(loudStatements(results)))}
<p>Other sources that were tried, and their highest clean setting: ${blank()} ${blank()}</p>
${sheetSection('What to expect from the bass', sheetList(bassStatements(results)))}
${sheetSection('What stays as it came', sheetList(STAYS))}
${sheetSection('Fuse and wire', sheetList(supplyStatements(results)))}
<p>Fitted: fuse ${blank()} wire ${blank()} place ${blank()}</p>
${sheetSection('To undo it', sheetList(UNDO))}
${notedTaps(results).length === 0 ? '' : tapNotesTable(results)}
<p>Where the adapters and fuses are: ${blank()} ${blank()}</p>
${notes.length === 0 ? '' : sheetSection('Notes', sheetList(notes.map((note) => told(say`${note}`))))}
<p>Measured while playing from: ${source}.</p>
${photoSection(results, images)}`,
  });
}

function doneStatements({ recommendations }: Results): Statement[] {
  const feeds = recommendationsOf(recommendations, 'feed').map((feed) =>
    told(
      say`The ${feedName(feed)} now plays from ${feed.taps.length > 1 ? `${feed.taps.length} factory outputs joined together` : 'its own factory output'}, through an amplifier.`,
    ),
  );
  const restored = recommendationsOf(recommendations, 'restoration').flatMap((item) =>
    item.verdict === 'restore'
      ? [told(say`The radio takes bass away when it is turned up; that is put back for the subwoofer.`)]
      : [],
  );
  const statements = [...feeds, ...restored];
  return statements.length > 0
    ? statements
    : [untold({ what: 'What was done', reason: 'the results hold no plan' })];
}

function loudStatements(results: Results): Statement[] {
  const [highest] = recommendationsOf(results.recommendations, 'highest-clean-setting');
  if (highest === undefined || highest.recorded === null) {
    return [untold({ what: 'The highest clean setting', reason: 'it was not recorded' })];
  }
  return [
    told(
      say`From ${results.session.source} turn the volume no higher than ${formatSetting(highest.recorded)}. Above that the radio itself distorts, and that can destroy tweeters.`,
    ),
    told(say`Loud music damages hearing for good. If it hurts or ears ring afterwards, it was too loud.`),
  ];
}

function bassStatements({ recommendations }: Results): Statement[] {
  const reach = recommendationsOf(recommendations, 'bass-reach');
  if (reach.length === 0) return [told(say`Nothing was worked out for the subwoofer.`)];
  return reach.map((item) =>
    told(
      item.felt
        ? say`The subwoofer reaches down to about ${plainHz(item.lowestHzAtTarget)} at full level, deep enough to be felt.`
        : say`The subwoofer fills in the sound down to about ${plainHz(item.lowestHzAtTarget)}. It will not shake the seat: that takes a larger one.`,
    ),
  );
}

function supplyStatements({ recommendations }: Results): Statement[] {
  const supply = recommendationsOf(recommendations, 'supply');
  if (supply.length === 0) return [told(say`See what is written below.`)];
  return supply.flatMap(({ currentAmps, fuseAmps, wire }) => [
    told(say`At full power the amplifiers draw ${significant(currentAmps, 3)} A.`),
    ...(fuseAmps === null
      ? []
      : [told(say`Main fuse: ${significant(fuseAmps, 3)} A. Replace it only by the same.`)]),
    ...(wire === null ? [] : [told(say`Supply wire: ${{ mm2: wire.mm2, awg: wire.nearestAwg }}.`)]),
  ]);
}

const STAYS = [
  told(
    say`The radio with its screen, camera, prompts and chimes stays as it came. Chimes may be louder than before.`,
  ),
];

const UNDO = [
  told(
    say`Whoever undoes it: disconnect the battery, take the main fuse out first, then follow the maker's service information.`,
  ),
];
