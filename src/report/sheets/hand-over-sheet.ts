import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting, listed, significant } from '../format.ts';
import { html } from '../html.ts';
import { NO_IMAGES, type PhotoImages } from '../photos.ts';
import { say } from '../sentence.ts';
import { notedTaps, tapNotesTable } from '../tap-notes.ts';
import { tapLabelOf } from '../verdicts.ts';
import { feedName } from '../wording/feed-words.ts';
import { type Statement, told, untold } from '../wording/statement.ts';
import { photoSection } from './photo-section.ts';
import { blank, sheetList, sheetPage, sheetSection, tickBox } from './sheet-page.ts';

/** For the customer, in plain words: what was done, how loud it may be played, what to expect, how to undo it. */
export function renderHandOverSheet(results: Results, images: PhotoImages = NO_IMAGES): string {
  const { source, name, doubts = [] } = results.session;
  const notes = results.session.notes.filter((note) => !doubts.includes(note));
  const tapped = notedTaps(results).length > 0;
  return sheetPage({
    title: 'Your car: what was done and how to use it',
    name,
    body: html`
${sheetSection('What was done', sheetList(doneStatements(results)))}
${sheetSection('How loud', sheetList(loudStatements(results)))}
<p>Other sources that were tried, and their highest clean setting: ${blank()} ${blank()}</p>
${sheetSection('What to expect from the bass', sheetList(bassStatements(results)))}
${sheetSection('What stays as it came', sheetList(staysStatements(results)))}
${sheetSection('Fuse and wire', sheetList(supplyStatements(results)))}
<p>Fitted: fuse ${blank()} wire ${blank()} place ${blank()}</p>
${sheetSection('To undo it', html`<ol>${undoSteps(tapped).map((step) => html`<li>${step}</li>`)}</ol>`)}
${tapped ? tapNotesTable(results) : ''}
<p>Where the adapters and fuses are: ${blank()} ${blank()}</p>
${notes.length === 0 ? '' : sheetSection('Notes', sheetList(notes.map((note) => told(say`${note}`))))}
${sheetSection('Handed over', html`<p>${LEFT_IN_ORDER.map((one) => html`${tickBox()} ${one} `)}</p>`)}
<p>Measured while playing from: ${source}.</p>
${photoSection(results, images)}`,
  });
}

/** Done before the car leaves (common practice). */
const LEFT_IN_ORDER = [
  'test stick taken out',
  'sleep current checked',
  'airbag lamp off',
  'camera and chimes work',
];

function doneStatements(results: Results): Statement[] {
  const { recommendations } = results;
  const label = tapLabelOf(results);
  const feeds = recommendationsOf(recommendations, 'feed');
  const alone = feeds.filter(({ taps }) => taps.length === 1);
  const joined = feeds.filter(({ taps }) => taps.length > 1);
  const statements = [
    ...(alone.length === 0
      ? []
      : [
          told(
            say`${alone.length > 1 ? 'Each with its own factory output, through an amplifier, play' : 'With its own factory output, through an amplifier, plays'} now: ${listed(alone.map(feedName))}.`,
          ),
        ]),
    ...joined.map((feed) =>
      told(
        say`The ${feedName(feed)} now plays from the factory outputs ${listed(feed.taps.map(({ tapId }) => label(tapId)))} joined together, through an amplifier.`,
      ),
    ),
    ...recommendationsOf(recommendations, 'restoration')
      .filter(({ verdict }) => verdict === 'restore')
      .map(() =>
        told(say`The radio takes bass away when it is turned up; that is put back for the subwoofer.`),
      ),
  ];
  return statements.length > 0
    ? statements
    : [untold({ what: 'What was done', reason: 'the results hold no plan' })];
}

function loudStatements(results: Results): Statement[] {
  const [highest] = recommendationsOf(results.recommendations, 'highest-clean-setting');
  if (highest === undefined || highest.recorded === null) {
    return [untold({ what: 'The highest clean setting', reason: 'it was not recorded' })];
  }
  const above =
    highest.firstClippingRecorded === null
      ? 'Above that nobody has looked whether the radio itself distorts; distortion can destroy tweeters.'
      : 'Above that the radio itself distorts, and that can destroy tweeters.';
  return [
    told(
      say`Playing from ${results.session.source}, turn the volume no higher than ${formatSetting(highest.recorded)}. ${above}`,
    ),
    told(say`Loud music damages hearing for good. If it hurts or ears ring afterwards, it was too loud.`),
  ];
}

function bassStatements({ recommendations }: Results): Statement[] {
  const reach = recommendationsOf(recommendations, 'bass-reach');
  if (reach.length === 0) return [told(say`Nothing was worked out for the subwoofer.`)];
  return reach.map(({ felt, lowestHzAtTarget }) => {
    const lowest = `${significant(lowestHzAtTarget, 2)} Hz`;
    return told(
      felt
        ? say`The subwoofer reaches down to about ${lowest} at full level, deep enough to be felt.`
        : say`The subwoofer fills in the sound down to about ${lowest}. It will not shake the seat: that takes a larger one.`,
    );
  });
}

function staysStatements(results: Results): Statement[] {
  const { session, recommendations } = results;
  const label = tapLabelOf(results);
  const silent = recommendationsOf(recommendations, 'protection').filter(
    ({ factorySpeakerLosesFeed }) => factorySpeakerLosesFeed,
  );
  const speakers = (session.equipment?.speakers ?? []).filter(
    ({ factory, feeds }) => factory && !silent.some(({ output }) => output === feeds),
  );
  return [
    told(
      say`The radio with its screen, camera, prompts and chimes stays as it came. Chimes may be louder than before.`,
    ),
    ...(speakers.length === 0
      ? []
      : [told(say`The factory speakers stay: ${listed(speakers.map(({ feeds }) => feeds))}.`)]),
    ...silent.map(({ tapIds }) =>
      told(say`The small factory speakers on ${listed(tapIds.map(label))} no longer play from the radio.`),
    ),
  ];
}

function supplyStatements({ recommendations, session }: Results): Statement[] {
  const supply = recommendationsOf(recommendations, 'supply');
  if (supply.length === 0) return [told(say`See what is written below.`)];
  const fitted = session.equipment?.supplyWire?.fuseAmps ?? null;
  return supply.flatMap(({ currentAmps, fuseAmps, wire }) => {
    const fuse = fitted ?? fuseAmps;
    return [
      told(say`At full power the amplifiers draw ${significant(currentAmps, 3)} A.`),
      ...(fuse === null
        ? []
        : [told(say`Main fuse: ${significant(fuse, 3)} A. Replace it only by the same.`)]),
      ...(wire === null ? [] : [told(say`Supply wire: ${{ mm2: wire.mm2, awg: wire.nearestAwg }}.`)]),
    ];
  });
}

function undoSteps(tapped: boolean): string[] {
  return [
    'Disconnect the battery and keep the waiting time of the maker; then take the main fuse out.',
    tapped
      ? 'At each output of this table take the adapter off and put the factory plug back on; keep away from airbag plugs.'
      : 'At each tapped output take the adapter off and put the factory plug back on; keep away from airbag plugs.',
    "Take out the wires and parts added, then follow the maker's service information. No setting of the radio has to be undone.",
  ];
}
