import { describe, expect, it } from 'vitest';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { resultsSchema } from '../../src/model/results.ts';
import { parseSessionFile } from '../../src/model/session-file.ts';
import { exampleResults } from '../report/example-results.ts';
import { thrown } from '../thrown.ts';

function resolved(text: string) {
  const { input, locate } = parseSessionFile({ fileName: 'session.yaml', text });
  return resolveSession(input, { folderFiles: [], locate });
}

const recordings = 'settings: 10\nrecordings: [{ file: a.wav, setting: 10 }]\n';

describe('what is noted of a tap', () => {
  it('is written out: a word is a colour, a number a pin, a name a photo', () => {
    const { taps, photos } = resolved(`${recordings}
taps:
  - id: front-left
    plus: { colour: white, pin: 3 }
    minus: white/black
    connector: grey, 16 pins
    note: behind the glove box
    photos: [photos/plug.jpg, { file: pins.png, caption: the pins }]
  - rear-left
photos: [dash.jpg]
`);
    expect(taps[0]).toMatchObject({
      plus: { colour: 'white', pin: '3' },
      minus: { colour: 'white/black' },
      connector: 'grey, 16 pins',
      note: 'behind the glove box',
      photos: [
        { file: 'photos/plug.jpg', caption: 'photos/plug.jpg' },
        { file: 'pins.png', caption: 'the pins' },
      ],
    });
    expect(photos).toEqual([{ file: 'dash.jpg', caption: 'dash.jpg' }]);
  });

  it('leaves no trace where nothing was noted, so that older results stay as they are', () => {
    const session = resolved(`${recordings}taps: [front-left]\n`);
    expect(Object.keys(session.taps[0]).sort()).toEqual(
      ['id', 'label', 'side', 'position', 'load', 'connection'].sort(),
    );
    expect(session).not.toHaveProperty('photos');
  });

  it('is kept in the results file', () => {
    const results = exampleResults();
    const [first, ...others] = results.session.taps;
    const noted = {
      ...first,
      plus: { colour: 'white', pin: 'A3' },
      photos: [{ file: 'a.jpg', caption: 'a' }],
    };
    const written = { ...results, session: { ...results.session, taps: [noted, ...others] } };
    expect(resultsSchema.parse(JSON.parse(JSON.stringify(written))).session.taps[0]).toEqual(noted);
  });

  it.each([
    ['/home/me/plug.jpg', /beside the session/],
    ['../plug.jpg', /beside the session/],
    ['photos/../../plug.jpg', /beside the session/],
    ['C:plug.jpg', /beside the session/],
    ['photos\\plug.jpg', /beside the session/],
    ['file:plug.jpg', /beside the session/],
  ])('A photo has no place of this machine in its name: %s', (file, says) => {
    const error = thrown(() => resolved(`${recordings}taps: [{ id: a, photos: [{ file: '${file}' }] }]\n`));
    expect(error).toMatchObject({ code: 'session-field' });
    expect(error.message).toMatch(says);
  });

  it.each([
    ['plus: { color: white }', /colour/],
    ['conector: grey', /connector/],
    ['photos: [{ file: a.jpg, capton: x }]', /caption/],
    ["plus: ''", /letter/],
  ])('%s is met with the right word', (line, says) => {
    const error = thrown(() => resolved(`${recordings}taps:\n  - id: a\n    ${line}\n`));
    expect(error.message).toMatch(says);
  });
});
