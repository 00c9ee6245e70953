import { describe, expect, it } from 'vitest';
import { equipmentSchema } from '../../src/model/equipment.ts';
import { asWritten, type Reason } from '../../src/model/reason.ts';
import { escapeHtml } from '../../src/report/html.ts';
import { renderComebackSheet } from '../../src/report/sheets/comeback-sheet.ts';
import { renderDialInSheet } from '../../src/report/sheets/dial-in-sheet.ts';
import { estimatePage } from '../../src/report/sheets/estimate-sheet.ts';
import { renderHandOverSheet } from '../../src/report/sheets/hand-over-sheet.ts';
import { renderOrderSheet } from '../../src/report/sheets/order-sheet.ts';
import { SHEETS } from '../../src/report/sheets.ts';
import { exampleNotKnown, exampleResults, exampleWithLabel } from './example-results.ts';

const results = exampleResults();

describe('every sheet', () => {
  it.each(SHEETS.map((sheet) => [sheet.fileName, sheet] as const))(
    '%s is the same for the same results, runs nothing and fetches nothing',
    (_, { render }) => {
      const page = render(results);
      expect(render(exampleResults())).toBe(page);
      expect(page).not.toMatch(/<script|\ssrc=|https?:|undefined|NaN|\[object/);
      expect(page).toContain("default-src 'none'");
    },
  );

  it.each(SHEETS.map((sheet) => [sheet.fileName, sheet] as const))(
    '%s keeps text of the user as text',
    (_, { render }) => {
      const evil = '<img src=x onerror=alert(1)>';
      const page = render(exampleWithLabel(evil));
      expect(page).not.toContain('<img');
      expect(page).toContain(escapeHtml(evil));
    },
  );

  it.each(SHEETS.map((sheet) => [sheet.fileName, sheet] as const))(
    '%s can be made where nothing is known yet',
    (_, { render }) => {
      expect(render(exampleNotKnown())).toMatch(/<\/html>\s*$/);
    },
  );
});

describe('the dial-in sheet', () => {
  const page = renderDialInSheet(results);

  it('has a row with a box to tick, a blank and a way out for every setting, in the order of work', () => {
    const rows = [...page.matchAll(/<tr><td>(\d+)<\/td><th scope="row">([^<]*)/g)].map(([, n, where]) => [
      Number(n),
      where,
    ]);
    expect(rows).toEqual([
      [1, 'Wiring: front'],
      [2, 'Wiring: subwoofer'],
      [3, 'Radio volume'],
      [4, 'Converter: subwoofer'],
      [5, 'Amplifier: subwoofer'],
      [6, 'Bass restoration'],
      [7, 'Filters: subwoofer'],
    ]);
    expect([...page.matchAll(/class="box"/g)]).toHaveLength(7);
  });

  it('gives target volts with tolerance, and says to begin quiet', () => {
    expect(page).toContain('17.8 V</span>');
    expect(page).toContain('± 3 %');
    expect(page).toContain('Step up from quiet');
  });
});

describe('the readings of the dial-in sheet', () => {
  const page = renderDialInSheet(results);

  it('name tone file, setting and state of the restoration, and have a blank to write into', () => {
    const row = /Amplifier: subwoofer<\/th>(.*?)<\/tr>/.exec(page)?.[1] ?? '';
    expect(row).toMatch(/<td data-name="Play">meter-\d+hz-(0|minus-\d+)db at 30, restoration off<\/td>/);
    expect(row).toContain('class="blank"');
    expect(row).toMatch(/<small>check [^:<]+: /);
  });

  it('say in their own row what a wrong reading means', () => {
    const rows = [...page.matchAll(/<tr><td>\d+<\/td>(.*?)<\/tr>/g)].map(([, cells]) => cells);
    expect(rows).toHaveLength(7);
    for (const cells of rows) expect(cells).toMatch(/data-name="If wrong">([A-Z][^<]+\.|see \d+)<\/td>$/);
  });
});

describe('the order sheet', () => {
  it('names class, inputs, restoration, input volts and load', () => {
    const page = renderOrderSheet(results);
    for (const text of [
      'summing with restoration',
      '6 speaker-level inputs',
      '7.2 dB',
      '11.0 ± 0.2 V',
      'Keep the factory speakers connected',
    ]) {
      expect(page).toContain(text);
    }
  });

  it('says which outputs go straight into which inputs', () => {
    const recommendations = results.recommendations.map((item) =>
      item.kind === 'order'
        ? {
            ...item,
            nothingToOrder: true,
            straight: [
              { output: 'front' as const, into: 'speaker' as const },
              { output: 'subwoofer' as const, into: 'line' as const },
            ],
          }
        : item,
    );
    const page = renderOrderSheet({ ...results, recommendations });
    expect(page).toContain('Run the front feed straight into the speaker-level inputs');
    expect(page).toContain('Run the subwoofer feed straight into the line inputs');
    expect(page).toContain('Keep the factory speakers connected');
  });

  it('puts what must be recorded or given up before the parts', () => {
    const page = renderOrderSheet(results);
    expect(page.indexOf('To record next')).toBeLessThan(page.indexOf('What to order'));
  });
});

describe('the hand-over sheet', () => {
  it('tells the customer the highest clean setting of the source, the wire and the fuse', () => {
    const page = renderHandOverSheet(results);
    expect(page).toContain('Turn the volume up to 30, no higher, when you play from USB stick.');
    expect(page).toContain('Above 30 the radio itself distorts');
    // The chain's figures, as on every other sheet.
    expect(page).toContain('draw 92 A');
    expect(page).toContain('only by the same: 100 A.');
    expect(page).toContain('16 mm²');
  });

  it('claims no distortion above a setting that nothing was recorded above', () => {
    const recommendations = results.recommendations.map((item) =>
      item.kind === 'highest-clean-setting' ? { ...item, firstClippingRecorded: null } : item,
    );
    const page = renderHandOverSheet({ ...results, recommendations });
    expect(page).toContain('Nobody has tried what happens above 30.');
    expect(page).not.toContain('the radio itself distorts');
  });

  it('tells the fuse that is fitted, where that was given', () => {
    const { equipment } = results.session;
    const supplyWire = {
      lengthMetres: 5,
      mm2: 16,
      fuseAmps: 50,
      metal: 'copper',
      return: 'chassis',
      supplyVolts: 14.4,
    } as const;
    const given = { ...equipmentSchema.parse(equipment ?? {}), supplyWire };
    const page = renderHandOverSheet({ ...results, session: { ...results.session, equipment: given } });
    expect(page).toContain('only by the same: 50 A.');
  });

  it('keeps what people noted, and not what the tool had to assume', () => {
    const notes = ['Key in the glove box.', 'Names were taken as settings.'].map(asWritten);
    const newer: Reason[] = [notes[0], { code: 'controls at centre' }];
    for (const [written, doubts] of [
      [newer, []],
      [notes, notes.slice(1)],
    ]) {
      const session = { ...results.session, notes: written, doubts };
      const page = renderHandOverSheet({ ...results, session });
      expect(page).toContain('Key in the glove box.');
      expect(page).not.toMatch(/Names were taken|stood at centre/);
    }
  });

  it('does not make up a setting that was not recorded', () => {
    expect(renderHandOverSheet(exampleNotKnown())).toContain('Not known: the highest clean setting.');
  });
});

describe('the comeback sheet', () => {
  const page = renderComebackSheet(results);

  it('settles each complaint by two measurements, with this car’s own numbers', () => {
    const rows = [...page.matchAll(/<tr><th scope="row">([^<]*)<\/th>/g)].map(([, complaint]) => complaint);
    expect(rows).toEqual([
      'No bass',
      'Bass goes when it is loud',
      'Hiss',
      'Whine with the engine',
      'Thump when it turns on',
      'One side weak',
      'Cuts out when it is loud',
      'Harsh',
    ]);
    // The readings of the dial-in sheet, the clean setting, and the current of the chain.
    for (const figure of ['17.8 V', 'at 30 reads', '6.85 V', 'above 30 the radio', '92 A'])
      expect(page).toContain(figure);
  });

  it('names no volts where none are known', () => {
    expect(renderComebackSheet(exampleNotKnown())).toContain('No target is known.');
  });
});

describe('the estimate sheet', () => {
  it('has a box for every outcome before anything was recorded, and answers after', () => {
    const rows = (page: string) =>
      [...page.matchAll(/data-name="Found">(.*?)<\/td>/g)].map(([, cell]) => cell);
    expect(rows(estimatePage('A car', null)).every((cell) => cell.includes('class="box"'))).toBe(true);
    // The example cuts bass, splits its band and swaps a pair; no prices of ours.
    expect(rows(estimatePage('A car', results)).slice(0, 3)).toEqual(['not found', 'found', 'found']);
    expect(estimatePage('A car', results)).not.toMatch(/[€$£]/);
  });
});
