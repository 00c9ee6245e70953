import { expect, it } from 'vitest';
import { fullTrack } from '../../src/tones/track.ts';
import { describeWith } from '../outside-programs.ts';
import { type JobPage, press, show, startChromium, waitFor } from './job-page.ts';
import { endPlaying, playInto, standInForSound } from './stand-in-sound.ts';
import { radioAt } from './taps-to-record.ts';

/** From opening the page to the first take that is kept, by somebody who has read nothing else. */
const GOAL_SECONDS = 180;
/** Keystroke-level model: Card, Moran, Newell, CACM 23 (1980) 396: a key of an average typist, pointing with a mouse, its
 * button, hands from one to the other and back, and making up one's mind. */
const KEY = 0.28;
const POINT = 1.1;
const BUTTON = 0.2;
const HOME = 0.4;
const MIND = 1.35;
/** Silent reading of plain English: Brysbaert, Journal of Memory and Language 109 (2019): 238 words a minute. */
const WORD_SECONDS = 60 / 238;
/** In the browser's own window: the folder, the button, and its question whether the page may write there. */
const PRESSES_FOR_FOLDER = 3;
const PRESSES_FOR_MICROPHONE = 1;
/** Stick from the laptop into the radio, cable into the recorder's input, volume to its setting (a walk round the door: guessed). */
const IN_THE_CAR_SECONDS = 20;

/** Does what a person would, and counts what it takes. */
class Person {
  presses = 0;
  letters = 0;
  words = 0;
  private readonly page: JobPage;
  private readonly seen = new Set<string>();
  constructor(page: JobPage) {
    this.page = page;
  }

  get seconds(): number {
    return (
      this.presses * (MIND + POINT + BUTTON) +
      this.letters * KEY +
      (this.letters > 0 ? 2 * HOME : 0) +
      this.words * WORD_SECONDS
    );
  }

  /** Everything from the top of the step down to what is pressed is read, once. */
  async press(mark: string): Promise<void> {
    await waitFor(this.page, `!!${mark}`);
    const lines = await this.page.evaluate<string[]>(`(() => {
      const place = ${mark};
      const lines = [];
      const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
      for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
        const isPast = node.compareDocumentPosition(place) & Node.DOCUMENT_POSITION_PRECEDING;
        if (isPast && !place.contains(node)) break;
        const owner = node.parentElement;
        if (owner.closest('main, .next') !== null && owner.checkVisibility() && owner.closest('option') === null) lines.push(node.data);
      }
      place.click();
      place.focus();
      return lines;
    })()`);
    this.presses++;
    for (const line of lines)
      if (!this.seen.has(line)) {
        this.seen.add(line);
        this.words += line.split(/\s+/).filter((word) => /\w/.test(word)).length;
      }
  }

  async type(text: string): Promise<void> {
    await this.page.type(text);
    this.letters += text.length;
  }
}

const button = (text: string) =>
  `[...document.querySelectorAll('button')].find((one) => one.textContent.trim().startsWith(${JSON.stringify(text)}) && !one.disabled)`;
const labelled = (text: string) =>
  `[...document.querySelectorAll('input')].find(({ labels }) => labels?.[0]?.innerText.trim().startsWith(${JSON.stringify(text)}))`;

describeWith(['chromium'], 'a person new to the page', () => {
  it(`comes from opening it to the first take that is kept in less than ${GOAL_SECONDS} s.`, async () => {
    const started = await startChromium();
    try {
      const page = await started.open();
      await standInForSound(page);
      const person = new Person(page);
      await person.press(labelled('Volume settings'));
      await person.type('10-38/4');
      for (const output of ['rear left', 'rear right']) await person.press(labelled(output));
      await person.press(button('Go there'));
      // What the browser asks on its own is counted, and the files are written by another test.
      await waitFor(page, `document.querySelector('h2').innerText === 'Stick'`);
      await person.press(button('Or save'));
      person.presses += PRESSES_FOR_FOLDER;
      await press(page, 'Stop');
      await show(page, 'record');
      person.presses++;
      await person.press(button('Open the input'));
      person.presses += PRESSES_FOR_MICROPHONE;
      await person.press(button('Listen for the track'));
      await playInto(page, radioAt({ setting: 10, sampleRateHz: 48_000, track: 'full' }));
      const verdict = await waitFor<string>(page, `document.querySelector('.verdict')?.innerText`);
      await endPlaying(page);
      expect(verdict).toMatch(/^Good/);
      expect(person.presses).toBeLessThanOrEqual(14);
      expect(person.seconds + fullTrack.durationSeconds + IN_THE_CAR_SECONDS).toBeLessThan(GOAL_SECONDS);
    } finally {
      await started.stop();
    }
  });
});
