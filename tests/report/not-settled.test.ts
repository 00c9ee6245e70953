import { describe, expect, it } from 'vitest';
import type { Doubt } from '../../src/model/doubt.ts';
import { findingsOf } from '../../src/model/finding.ts';
import type { Results } from '../../src/model/results.ts';
import { plainText } from '../../src/report/sentence.ts';
import { summaryLines } from '../../src/report/verdicts.ts';
import { withTapNames } from '../../src/report/with-tap-names.ts';
import { verdictLines } from '../../src/report/wording/verdict/verdict-lines.ts';
import { verdictTitle } from '../../src/report/wording/verdict/verdict-title.ts';
import { findingWords } from '../../src/report/wording.ts';
import { exampleResults } from './example-results.ts';

const results = exampleResults();
const label = (tapId: string) => tapId;
const firstLine = (of: Results) => {
  const [{ name, sentence, known }] = verdictLines(of, label);
  return { name, text: plainText(sentence), known };
};
const doubtAbout = (reason: Doubt['reason'], settings: number[] | null = [34]): Results => ({
  ...results,
  doubts: [{ kind: 'take', reason, tapIds: ['dash-l', 'dash-r'], settings }],
});

describe('What is not settled stands before all answers.', () => {
  it.each<[string, Doubt['reason'], string]>([
    [
      'a dead tap',
      { code: 'nothing on this channel' },
      'On the dash outputs at setting 34: nothing of the track',
    ],
    [
      'a gain that creeps',
      { code: 'gain changed within the take', changeDb: 1.2 },
      'On the dash outputs at setting 34: the closing sweep is 1.2 dB louder',
    ],
    [
      'lost samples',
      { code: 'samples lost or added', after: 'sweep left', before: 'sweep right', milliseconds: -2.08 },
      'On the dash outputs at setting 34: the recording lost 2.08 ms',
    ],
    [
      'leads exchanged at one setting',
      { code: 'outputs exchanged', tapIds: ['dash-l', 'dash-r'], settings: [34] },
      'On the dash outputs: the leads of dash left and dash right look exchanged at setting 34',
    ],
  ])('%s', (_, reason, words) => {
    const doubted = withTapNames(doubtAbout(reason));
    expect(firstLine(doubted)).toMatchObject({ name: 'Not settled', known: false });
    expect(firstLine(doubted).text).toContain(words);
    expect(summaryLines(doubted)[0]).toBe('What is not settled?');
    expect(summaryLines(doubted)[1]).toContain(words);
    const titles = { 'do it': /settled/, 'do it with limits': /settled/, 'not like this': /^Not like this/ };
    expect(verdictTitle(doubted, label)!.title).toMatch(titles[doubted.chain!.verdict]);
  });

  it('labels that the routing contradicts at every setting', () => {
    const findings = results.findings.map((finding) =>
      finding.kind === 'routing' && finding.tapIds[0] === 'rear-l'
        ? { ...finding, carries: 'right' as const, agreesWithSession: false }
        : finding,
    );
    expect(firstLine({ ...results, findings }).text).toBe(
      'On the rear-l output: the notes say left, but the channel carries right.',
    );
  });

  it('an output of which nothing was heard, and nowhere that it plays another side', () => {
    const findings = results.findings.map((finding) =>
      finding.kind === 'routing' && finding.tapIds[0] === 'rear-l'
        ? { ...finding, carries: 'nothing' as const, agreesWithSession: false }
        : finding,
    );
    const dead: Results = {
      ...results,
      findings,
      doubts: [
        { kind: 'take', reason: { code: 'nothing on this channel' }, tapIds: ['rear-l'], settings: null },
      ],
    };
    expect(firstLine(dead).text).toMatch(
      /^On the rear-l output: nothing of the track stands clear of the noise on this channel/,
    );
    expect(summaryLines(dead).join('\n')).not.toMatch(/another side|swapped channels/);
    const words = findingWords(findings.find(({ id }) => id === 'routing:rear-l')!, label);
    expect(words.statements.map(({ sentence }) => plainText(sentence)).join(' ')).not.toContain('swapped');
  });

  it('volts that one finding withholds', () => {
    const [clipping] = findingsOf(results.findings, 'clipping');
    const doubts: Doubt[] = [
      {
        kind: 'limit',
        reason: { code: 'recorder may be what clips' },
        tapIds: clipping.tapIds,
        settings: null,
      },
    ];
    const findings = results.findings.map((one) => (one === clipping ? { ...clipping, doubts } : one));
    expect(firstLine({ ...results, findings }).text).toContain('its own input may be what clips');
  });

  it('says three points and counts the rest', () => {
    const reasons = ['one.wav', 'two.wav', 'three.wav', 'four.wav', 'five.wav'].map(
      (file, i): Doubt => ({
        kind: 'take',
        reason: { code: 'knock in a sweep', file, atSeconds: 3 },
        tapIds: [results.session.taps[i].id],
        settings: [34],
      }),
    );
    expect(firstLine({ ...results, doubts: reasons }).text).toMatch(/ 2 more stand with the takes\.$/);
  });

  it('says once what was seen of the same outputs at several settings with other figures', () => {
    const doubts = [22, 30, 26].map(
      (setting): Doubt => ({
        kind: 'take',
        reason: { code: 'gain changed within the take', changeDb: setting / 10 },
        tapIds: ['rear-l'],
        settings: [setting],
      }),
    );
    expect(firstLine({ ...results, doubts }).text).toMatch(
      /^On the rear-l output at setting 22: the closing sweep is 2\.2 dB .* Much the same at settings 26 and 30\.$/,
    );
  });

  it('is not there where all is settled, or where a microphone alone is in doubt', () => {
    const microphone: Doubt = {
      kind: 'microphone',
      reason: { code: 'heard by a microphone' },
      tapIds: ['dash-l'],
      settings: null,
    };
    for (const settled of [results, { ...results, doubts: [microphone] }])
      expect(firstLine(settled).name).not.toBe('Not settled');
  });
});
