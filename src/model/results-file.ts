import { z } from 'zod';
import { SteptoneError } from './errors.ts';
import { jsonText } from './json-text.ts';
import { fromOlderResults } from './older-results.ts';
import { packedMeasurementSchema, packMeasurement, unpackMeasurement } from './packed-measurement.ts';
import { type MeasurementRecord, type Results, resultsSchema } from './results.ts';
import { resultsFault } from './results-fault.ts';

/** Results as they stand in the file. */
export const resultsFileSchema = resultsSchema.extend({
  /** In place of `measurements` where there are many. */
  packedMeasurements: z.array(packedMeasurementSchema).optional(),
  /** SHA-256 of the file's content without this field, as JSON without blanks; absent from files of older versions. */
  checksum: z.string().optional(),
});

/** Written out, a measurement takes some 45 kB: with this many a file is no longer small. */
const MOST_WRITTEN_OUT = 160;

interface TextHash {
  /** SHA-256 of a text in UTF-8, hexadecimal. */
  readonly sha256Hex: (text: string) => string;
}

/**
 * Results as the text of their file.
 *
 * @throws Error as `jsonText` does
 */
export function resultsText(results: Results, { sha256Hex }: TextHash): string {
  const { measurements, ...rest } = results;
  const many = measurements.length > MOST_WRITTEN_OUT;
  const content = jsonText({
    ...rest,
    measurements: many ? [] : measurements,
    ...(many ? { packedMeasurements: measurements.map(packMeasurement) } : {}),
  });
  return `${content.slice(0, -1)},"checksum":"${sha256Hex(content)}"}\n`;
}

/**
 * Results from the text of their file, held to their checksum and to themselves.
 *
 * @param of.where name of the file
 * @throws SteptoneError 'usage' where it is another file or of another version, or was damaged or edited
 */
export function readResultsText(
  { text, where }: { text: string; where: string },
  { sha256Hex }: TextHash,
): Results {
  const found = parsed(text);
  checkSum(found, { where, sha256Hex });
  const checked = resultsFileSchema.safeParse(fromOlderResults(found));
  if (!checked.success) {
    const [issue] = checked.error.issues;
    throw notResults({
      found:
        found === null
          ? 'no JSON of results'
          : `a wrong field ${issue.path.join('.')}: ${issue.message.toLowerCase()}`,
      where,
    });
  }
  const { packedMeasurements = [], checksum: _, ...results } = checked.data;
  const unpacked = packedMeasurements.map(unpackMeasurement);
  const damaged = unpacked.indexOf(null);
  if (damaged >= 0)
    throw notResults({ found: `a curve that cannot be read in packedMeasurements.${damaged}`, where });
  const whole = {
    ...results,
    measurements: [...results.measurements, ...(unpacked as MeasurementRecord[])],
  };
  const fault = resultsFault(whole);
  if (fault === null) return whole;
  throw notResults({ expected: fault.expected, found: fault.found, where: `${where}, ${fault.field}` });
}

/** Files of older versions have none. */
function checkSum(found: unknown, { where, sha256Hex }: { where: string } & TextHash): void {
  if (typeof found !== 'object' || found === null || !('checksum' in found)) return;
  const { checksum, ...content } = found;
  if (checksum === sha256Hex(JSON.stringify(content))) return;
  throw new SteptoneError({
    code: 'usage',
    expected: 'results that match the checksum in the file',
    found: 'results that do not match it',
    where,
    likelyCause: 'a bad copy, a bad disk, or somebody edited the file',
    nextStep: 'use another copy; if you edited it on purpose, delete the checksum at its end',
  });
}

function notResults(of: { expected?: string; found: string; where: string }): SteptoneError {
  return new SteptoneError({
    code: 'usage',
    expected: 'a results file from steptone analyse',
    ...of,
    likelyCause: 'another file, an edited one, or one from another version',
    nextStep: 'give the results.json beside the report',
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
