import { expect, it } from 'vitest';
import { csvPieces } from '../../src/curves/csv.ts';
import { curveTables } from '../../src/curves/curve-tables.ts';
import type { Results } from '../../src/model/results.ts';
import { describeWith, runOutside } from '../outside-programs.ts';
import { resultsOf } from '../recommend/results-of.ts';
import { FULL_RANGE, pair, planInput } from '../recommend/synthetic.ts';

const NAME = 'front "left", high\nwire';

function results(): Results {
  const input = planInput({
    taps: pair('front', { band: FULL_RANGE }).map((tap, i) => (i === 0 ? { ...tap, id: NAME } : tap)),
    settings: [20, 30],
    volts: { at: 30, rms: 6.85 },
  });
  return resultsOf(input);
}

it('quotes what RFC 4180 wants quoted, and ends every line with CRLF (examples of its section 2)', () => {
  const pieces = csvPieces({
    header: ['aaa', 'b"bb', 'c\r\ncc'],
    rows: [[['zzz', 1.5, null]]],
  });
  expect([...pieces].join('')).toBe('aaa,"b""bb","c\r\ncc"\r\nzzz,1.5,\r\n');
});

it('has a unit in the header of every number', () => {
  for (const { pieces } of curveTables(results())) {
    const text = [...pieces].join('');
    const header = text.slice(0, text.indexOf('\r\n')).split(',');
    const numbers = header.filter((name) => !/^(tap|volume setting|programme|highest harmonic)/.test(name));
    expect(
      numbers.every((name) => name.includes('(')),
      header.join('; '),
    ).toBe(true);
  }
});

describeWith(['scipy'], 'Python’s csv module reads the tables', () => {
  it('every row has the columns of the header, names survive, and 6.85 V stands at setting 30', () => {
    const tables = Object.fromEntries(
      curveTables(results()).map(({ fileName, pieces }) => [fileName, [...pieces].join('')]),
    );
    const source = `
import csv, io, json, base64
text = base64.b64decode('${Buffer.from(tables['volume-law.csv']).toString('base64')}').decode()
rows = list(csv.reader(io.StringIO(text, newline=''), strict=True))
print(json.dumps(rows))`;
    const [header, ...rows]: string[][] = JSON.parse(runOutside('scipy', [source]));
    expect(rows).toHaveLength(4);
    expect(rows.every((row) => row.length === header.length)).toBe(true);
    const loud = rows.find((row) => row[0] === NAME && row[1] === '30');
    expect(Number(loud?.[header.indexOf('level (V RMS)')])).toBeCloseTo(6.85, 4);
  });
});
