import { describe, expect, it } from 'vitest';
import { embeddedJson, html } from '../../src/report/html.ts';
import { plainText, say, sentenceHtml, volts } from '../../src/report/sentence.ts';

describe('markup', () => {
  it('escapes every sign that means something in HTML, in content and in attributes', () => {
    expect(html`<a title="${'"\'&<>'}">${'<script>'}</a>`.text).toBe(
      '<a title="&#34;&#39;&#38;&#60;&#62;">&#60;script&#62;</a>',
    );
  });

  it('takes markup of its own as it is, once and in lists', () => {
    expect(html`<ul>${['a', '<'].map((text) => html`<li>${text}</li>`)}</ul>`.text).toBe(
      '<ul><li>a</li><li>&#60;</li></ul>',
    );
  });

  it('embeds JSON that reads back the same and cannot close its element', () => {
    const value = { tap: '</script><!-- & \u2028' };
    const { text } = embeddedJson(value);
    expect(text).not.toMatch(/[<>&\u2028]/);
    expect(JSON.parse(text)).toEqual(value);
  });
});

describe('a sentence with quantities', () => {
  it('reads in volts on a terminal and carries both units to the page', () => {
    const sentence = say`Clips at ${volts(8.62, 0.13)}.`;
    expect(plainText(sentence)).toBe('Clips at 8.62 ± 0.13 V.');
    expect(sentenceHtml(sentence).text).toBe(
      'Clips at <span class="in-volts">8.62 ± 0.13 V</span><span class="in-dbu">20.9 ± 0.1 dBu</span>.',
    );
  });

  it('shows wire by area and by gauge; 0 and below count as 1/0, 2/0', () => {
    expect(plainText(say`${{ mm2: 53.5, awg: 0 }}`)).toBe('54 mm² (AWG 1/0)');
    expect(plainText(say`${{ mm2: 67.4, awg: -1 }}`)).toBe('67 mm² (AWG 2/0)');
  });
});
